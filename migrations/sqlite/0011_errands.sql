-- What is still to be done on a chat platform for nobody in particular, or for somebody who was erased: a greeting to
-- post, a card to make empty. The outbox is no place for it, because its messages go with their member. Nothing is kept
-- of what is done: the row is deleted. `task` is JSON; `nonce` is the same for every try.
create table errands (
    nonce         text primary key,
    task          text not null,
    tries         integer not null,
    not_before_ms integer not null
) strict;
