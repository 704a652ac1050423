-- What a data logger measured in a chamber, one row each. The entry that brought the file stands in `events`: while it
-- counts, its rows count.
create table logged_air (
    event_id         integer not null references events (id) on delete cascade,
    at_ms            integer not null,
    degrees          real,
    is_fahrenheit    integer check (is_fahrenheit in (0, 1)),
    humidity_percent real,
    primary key (event_id, at_ms),
    check (degrees is not null or humidity_percent is not null),
    check ((degrees is null) = (is_fahrenheit is null))
) strict, without rowid;

create index air_logged_in_chamber on events (chamber_id, id) where kind = 'air_logged';
