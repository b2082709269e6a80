-- What was learned over the horses of all yards, round by round: pooled numbers, never changed afterwards.

create table priors (
    id text primary key,
    number bigint not null unique,
    learned_on text not null,
    engine_version text not null,
    horses bigint not null,
    body text not null,
    created_at text not null
);
