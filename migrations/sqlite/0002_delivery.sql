-- Who holds a claim, so that only they can settle it; what a row waits for beyond its time; why the last try failed.
alter table reminders add column claimed_by integer;
alter table reminders add column not_before_ms integer;
alter table reminders add column failure text;

-- When one that comes again came first, as the clock of whom it goes to showed it: milliseconds since 1970 there.
alter table reminders add column anchor_ms integer;

alter table outbox add column tries integer not null default 0;
alter table outbox add column lease_ms integer;
alter table outbox add column claimed_by integer;
alter table outbox add column not_before_ms integer;
alter table outbox add column failure text;

drop index outbox_waiting;
create index outbox_unsent on outbox (due_ms, id) where state in ('waiting', 'claimed');

-- A request's id is the front end's own and may tell who asked: it goes with the member.
alter table requests add column member_id integer references members (id) on delete cascade;
create index requests_of_member on requests (member_id) where member_id is not null;
update requests set member_id = (select author_id from events where events.request = requests.request limit 1);
delete from requests where member_id is null;

-- The newest entry of a chamber, which a plan of reminders is held against.
create index events_in_chamber on events (chamber_id, id) where chamber_id is not null;
