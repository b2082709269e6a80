-- Who is told of what, and the letters on their way to mail addresses.

create table subscriptions (
    id text primary key,
    channel text not null,
    url text,
    email text,
    person_id text references people (id),
    events text not null,
    secret text,
    old_secret text,
    old_secret_until text,
    confirmed_at text,
    confirm_hash text,
    ended_at text,
    key_id text,
    version bigint not null,
    created_at text not null
);
create index subscriptions_email on subscriptions (lower(email));
create index subscriptions_key on subscriptions (key_id);

create table subscription_yards (
    subscription_id text not null references subscriptions (id),
    yard_id text not null references yards (id),
    primary key (subscription_id, yard_id)
);
create index subscription_yards_yard on subscription_yards (yard_id);

create table messages (
    id text primary key,
    subscription_id text not null references subscriptions (id),
    yard_id text references yards (id),
    occasion text not null,
    body text not null,
    state text not null,
    attempts bigint not null,
    next_at text not null,
    last_error text,
    sent_at text,
    created_at text not null
);
create index messages_next on messages (state, next_at);
create index messages_subscription on messages (subscription_id, id);
