-- A member's pH meters. A hygrometer has no row: it is its chamber's.
create table meters (
    id          integer primary key,
    owner_id    integer not null references members (id) on delete cascade,
    name        text not null,
    folded_name text not null
) strict;

create unique index meters_by_name on meters (owner_id, folded_name);

-- An entry may also be of a meter. The check on the subject cannot be altered in place, so the rows move to a table
-- with the new one; none is changed.
create table events_with_meters (
    id                integer primary key,
    batch_id          integer references batches (id) on delete cascade,
    piece             integer,
    chamber_id        integer references chambers (id) on delete cascade,
    meter_id          integer references meters (id) on delete cascade,
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
    check ((batch_id is not null) + (chamber_id is not null) + (meter_id is not null) = 1),
    check (batch_id is not null or (piece is null and is_sample = 0))
) strict;

insert into events_with_meters (id, batch_id, piece, chamber_id, is_sample, at_ms, recorded_ms, author_id, zone, kind,
    tells_temperature, corrects, payload, typed, request)
select id, batch_id, piece, chamber_id, is_sample, at_ms, recorded_ms, author_id, zone, kind, tells_temperature,
    corrects, payload, typed, request
from events;

drop table events;
alter table events_with_meters rename to events;

create index events_of_batch on events (batch_id, at_ms, id) where batch_id is not null;
create index events_of_chamber on events (chamber_id, at_ms, id) where chamber_id is not null;
create index events_of_meter on events (meter_id, at_ms, id) where meter_id is not null;
create index events_by_author on events (author_id) where author_id is not null;
create index events_that_correct on events (corrects) where corrects is not null;
create index chamber_corrections on events (chamber_id) where corrects is not null;
create index chamber_temperatures on events (chamber_id, kind, at_ms, id) where tells_temperature = 1;
create index chamber_hygrometers on events (chamber_id, at_ms, id) where kind = 'hygrometer_check';
create index events_of_request on events (request) where request is not null;
create index events_in_chamber on events (chamber_id, id) where chamber_id is not null;
