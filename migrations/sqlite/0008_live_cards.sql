-- The message at the top of a batch's thread that shows where the batch stands. `changes` counts what was kept that may
-- be seen in it; it is out of date while that is another number than `shown_changes`, or once `ages_ms` is over.
create table live_cards (
    batch_id      integer primary key references batches (id) on delete cascade,
    place_id      integer not null,
    message_id    integer,
    card_id       integer,
    shown         text not null,
    changes       integer not null,
    shown_changes integer not null,
    not_before_ms integer not null,
    ages_ms       integer,
    failures      integer not null,
    posts         integer not null,
    tagged        text
) strict;

create index live_cards_out_of_date on live_cards (not_before_ms) where changes <> shown_changes;
create index live_cards_ageing on live_cards (ages_ms) where ages_ms is not null;
