-- Members whom a batch's owner asked to help with it. They may do nothing there until they accept.
create table helpers (
    batch_id    integer not null references batches (id) on delete cascade,
    member_id   integer not null references members (id) on delete cascade,
    invited_ms  integer not null,
    accepted_ms integer,
    primary key (batch_id, member_id)
) strict;

create index helpers_by_member on helpers (member_id);

-- Since when the assistant is no longer let into a group; what is the group's goes 30 days later. Null: it is there.
alter table groups add column left_ms integer;
