-- Recipes that members keep, each under a name of its owner's, and whether the owner's group sees it.
create table formulations (
    owner_id    integer not null references members (id) on delete cascade,
    folded_name text not null,
    name        text not null,
    group_id    integer not null references groups (id),
    content     text not null,
    saved_ms    integer not null,
    shared_ms   integer,
    primary key (owner_id, folded_name)
) strict;

create index formulations_of_group on formulations (group_id, shared_ms) where shared_ms is not null;
