-- What was imported, or refused and why.
create table imports (
    id text primary key,
    key_id text not null,
    state text not null,
    body text not null,
    created_at text not null
);
create index imports_key on imports (key_id, id);
