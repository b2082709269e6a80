-- What happened, written with what it reports, and its way to every webhook that wants to know.

alter table horses add column event_count bigint not null default 0;
alter table checks add column due_told_for text not null default '';
alter table checks add column overdue_told_for text not null default '';

create table outbox (
    id text primary key,
    type text not null,
    yard_id text references yards (id),
    horse_id text references horses (id),
    sequence text not null,
    happened_at text not null,
    body text not null
);
create index outbox_horse on outbox (horse_id, sequence);
create index outbox_age on outbox (happened_at);

alter table subscriptions add column every_yard bigint not null default 0;
alter table subscriptions add column lane_claim text not null default '';
alter table subscriptions add column lane_claimed_until text not null default '';
alter table subscriptions add column lane_resting_until text not null default '';
alter table subscriptions add column lane_rests bigint not null default 0;
alter table subscriptions add column succeeded_at text;
alter table subscriptions add column gone_at text;

create table deliveries (
    id text primary key,
    subscription_id text not null references subscriptions (id),
    event_id text not null references outbox (id),
    horse_id text references horses (id),
    sequence text not null,
    state text not null,
    attempts bigint not null,
    started_at text not null,
    next_at text not null,
    tried_at text,
    status bigint not null,
    error text not null,
    created_at text not null
);
create index deliveries_lane on deliveries (subscription_id, state, next_at);
create index deliveries_horse on deliveries (subscription_id, state, horse_id, sequence);
create index deliveries_page on deliveries (subscription_id, id);
create index deliveries_failing on deliveries (subscription_id, tried_at) where state = 'pending' and attempts > 0;
create unique index deliveries_once on deliveries (event_id, subscription_id);
