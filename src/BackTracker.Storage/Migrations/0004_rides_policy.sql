-- Rides, by which the hours of a saddle are counted, and the settings that a yard or a pairing has of its own.

create table rides (
    id text primary key,
    horse_id text not null references horses (id),
    saddle_id text not null references saddles (id),
    ridden_on text not null,
    minutes bigint not null,
    voided_at text,
    void_reason text,
    version bigint not null,
    created_at text not null
);
create index rides_horse on rides (horse_id, id);
create index rides_saddle on rides (saddle_id, ridden_on);

create table yard_policies (
    yard_id text primary key references yards (id),
    settings text not null,
    version bigint not null,
    changed_at text not null
);

create table pairing_policies (
    pairing_id text primary key references pairings (id),
    settings text not null,
    version bigint not null,
    changed_at text not null
);
