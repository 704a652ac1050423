-- 'taly' in ASCII: tells this record from any other program's database.
pragma application_id = 1952541817;

-- Small facts about the file itself, e.g. whether it was closed properly.
create table meta (
    name  text primary key,
    value text not null
) strict;

-- The highest number ever given out per kind, kept when rows are erased: a number is never given twice.
create table numbers (
    kind text primary key,
    last integer not null
) strict;

-- Requests that were kept, so that one that arrives twice is not kept twice.
create table requests (
    request text primary key
) strict;

create table groups (
    id          integer primary key,
    name        text not null,
    folded_name text not null,
    settings    text not null
) strict;

create index groups_by_name on groups (folded_name);

create table members (
    id       integer primary key,
    settings text not null
) strict;

create table memberships (
    member_id   integer not null references members (id) on delete cascade,
    group_id    integer not null references groups (id),
    name        text not null,
    folded_name text not null,
    role        text not null,
    primary key (member_id, group_id)
) strict;

create index memberships_by_name on memberships (group_id, folded_name);

create table chambers (
    id          integer primary key,
    owner_id    integer not null references members (id) on delete cascade,
    name        text not null,
    folded_name text not null
) strict;

create unique index chambers_by_name on chambers (owner_id, folded_name);

-- What a batch's events add up to; the columns beside the state are there to be searched.
create table batches (
    id          integer primary key,
    owner_id    integer not null references members (id) on delete cascade,
    group_id    integer not null references groups (id),
    chamber_id  integer not null,
    name        text not null,
    folded_name text not null,
    kind        text not null,
    stage       text not null,
    is_open     integer not null check (is_open in (0, 1)),
    started_ms  integer not null,
    last_ms     integer not null,
    version     integer not null,
    state       text not null
) strict;

create unique index batches_by_name on batches (owner_id, folded_name);
create index batches_of_group on batches (group_id, is_open);
create index batches_in_chamber on batches (chamber_id, is_open);

-- The record. Rows are only ever added; `corrects` names the event that an undo or a change speaks of.
create table events (
    id                integer primary key,
    batch_id          integer references batches (id) on delete cascade,
    piece             integer,
    chamber_id        integer references chambers (id) on delete cascade,
    is_sample         integer not null check (is_sample in (0, 1)),
    at_ms             integer not null,
    recorded_ms       integer not null,
    author_id         integer references members (id) on delete set null,
    zone              text not null,
    kind              text not null,
    tells_temperature integer not null check (tells_temperature in (0, 1)),
    corrects          integer,
    payload           text not null,
    typed             text not null,
    request           text,
    check ((batch_id is null) <> (chamber_id is null)),
    check (batch_id is not null or (piece is null and is_sample = 0))
) strict;

create index events_of_batch on events (batch_id, at_ms, id) where batch_id is not null;
create index events_of_chamber on events (chamber_id, at_ms, id) where chamber_id is not null;
create index events_by_author on events (author_id) where author_id is not null;
create index events_that_correct on events (corrects) where corrects is not null;
create index chamber_corrections on events (chamber_id) where corrects is not null;
create index chamber_temperatures on events (chamber_id, kind, at_ms, id) where tells_temperature = 1;
create index events_of_request on events (request) where request is not null;

create table reminders (
    id         integer primary key,
    member_id  integer not null references members (id) on delete cascade,
    batch_id   integer references batches (id) on delete cascade,
    kind       text not null,
    occurrence integer not null,
    due_ms     integer not null,
    text       text not null,
    every_days integer,
    state      text not null,
    tries      integer not null,
    lease_ms   integer,
    sent_ms    integer
) strict;

create unique index reminders_planned on reminders (batch_id, kind, occurrence) where kind <> 'own';
create index reminders_of_batch on reminders (batch_id) where batch_id is not null;
create index reminders_of_member on reminders (member_id);
create index reminders_unsent on reminders (due_ms, id) where state in ('scheduled', 'claimed');

create table outbox (
    id        integer primary key,
    member_id integer not null references members (id) on delete cascade,
    batch_id  integer references batches (id) on delete cascade,
    due_ms    integer not null,
    text      text not null,
    state     text not null,
    sent_ms   integer
) strict;

create index outbox_of_member on outbox (member_id);
create index outbox_of_batch on outbox (batch_id) where batch_id is not null;
create index outbox_waiting on outbox (due_ms, id) where state = 'waiting';

-- Finished batches on a group's board, with the record as it was when it was shared.
create table shares (
    batch_id  integer primary key references batches (id) on delete cascade,
    group_id  integer not null references groups (id),
    member_id integer not null references members (id) on delete cascade,
    shared_ms integer not null,
    record    text not null
) strict;

create index shares_of_group on shares (group_id, shared_ms);
create index shares_of_member on shares (member_id);
