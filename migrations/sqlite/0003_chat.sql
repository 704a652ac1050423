-- A chat platform: its own numbers for groups and members, the places they write in, what buttons stand for, and
-- messages that were laid out for a place already.
alter table groups add column chat_id integer;
create unique index groups_by_chat on groups (chat_id) where chat_id is not null;

alter table members add column chat_id integer;
create unique index members_by_chat on members (chat_id) where chat_id is not null;

create table places (
    id           integer primary key,
    group_id     integer not null references groups (id),
    kind         text not null,
    member_id    integer references members (id) on delete cascade,
    batch_id     integer references batches (id) on delete set null,
    seen         integer not null,
    is_reachable integer not null check (is_reachable in (0, 1))
) strict;

create unique index places_of_batch on places (batch_id) where batch_id is not null;
create index places_of_member on places (member_id) where member_id is not null;
create index places_of_group on places (group_id);

create table cards (
    id       integer primary key,
    owner_id integer not null references members (id) on delete cascade,
    made_ms  integer not null,
    buttons  text not null,
    pages    text
) strict;

create index cards_of_member on cards (owner_id);
create index cards_with_pages on cards (made_ms) where pages is not null;

-- Which batch a message of ours was about, so that a reply to it is about the same.
create table posted (
    message_id integer primary key,
    batch_id   integer not null references batches (id) on delete cascade
) strict;

create index posted_of_batch on posted (batch_id);

-- A message's place, the message it answers, how it looks, and what makes its tries one.
alter table outbox add column place_id integer;
alter table outbox add column answers_id integer;
alter table outbox add column body text;
alter table outbox add column nonce text;

create unique index outbox_by_nonce on outbox (nonce) where nonce is not null;
