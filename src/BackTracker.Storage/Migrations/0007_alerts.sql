-- Alerts, the steps of their life, whom they were told to and why, and the times in which nobody is told.

alter table yards add column digest_on text;

create table alerts (
    id text primary key,
    yard_id text not null references yards (id),
    horse_id text not null references horses (id),
    identity text not null,
    concern text not null,
    cause text not null,
    pairing_id text references pairings (id),
    measure text,
    station text,
    side text,
    check_id text references checks (id),
    state text not null,
    urgency text not null,
    text text not null,
    book_by text not null,
    due_on text not null,
    booked_on text,
    overdue_since text,
    news text not null,
    change_no bigint not null,
    waits text not null,
    raised_on text not null,
    acknowledged_at text,
    acknowledged_by text references people (id),
    acknowledged_note text,
    settled_at text,
    settled_why text,
    version bigint not null,
    created_at text not null
);
create unique index alerts_one_open on alerts (horse_id, identity) where state <> 'settled';
create index alerts_horse on alerts (horse_id, id);
create index alerts_yard on alerts (yard_id, id);
create index alerts_open on alerts (yard_id, id) where state <> 'settled';
create index alerts_waiting on alerts (yard_id, id) where waits <> 'nobody';

create table alert_steps (
    id text primary key,
    alert_id text not null references alerts (id),
    action text not null,
    note text not null,
    key_id text,
    created_at text not null
);
create index alert_steps_alert on alert_steps (alert_id, id);

create table alert_decisions (
    id text primary key,
    alert_id text not null references alerts (id),
    subscription_id text not null references subscriptions (id),
    change_no bigint not null,
    news text not null,
    verdict text not null,
    reason text not null,
    message_id text references messages (id),
    created_at text not null
);
create index alert_decisions_alert on alert_decisions (alert_id, id);
create index alert_decisions_message on alert_decisions (message_id);
create unique index alert_decisions_told_once on alert_decisions (alert_id, subscription_id, change_no) where verdict = 'told';

create table quiet_periods (
    id text primary key,
    yard_id text not null references yards (id),
    horse_id text references horses (id),
    cause text,
    until_day text not null,
    reason text not null,
    person_id text references people (id),
    ended_at text,
    version bigint not null,
    created_at text not null
);
create index quiet_periods_yard on quiet_periods (yard_id, until_day);
