-- Keys that protect the cookies of the pages; every instance on this store shares them.
create table protection_keys (
    id text primary key,
    xml text not null,
    created_at text not null
);
