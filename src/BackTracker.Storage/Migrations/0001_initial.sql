-- One text for SQLite and PostgreSQL. Days are 'YYYY-MM-DD', instants UTC ISO 8601 of fixed width, ids UUIDv7 text, lists JSON text.

create table settings (
    name text primary key,
    value text not null
);

create table yards (
    id text primary key,
    name text not null,
    time_zone text not null,
    closed_days text not null,
    latitude double precision,
    longitude double precision,
    nightly_on text,
    version bigint not null,
    created_at text not null
);

create table people (
    id text primary key,
    name text not null,
    role text not null,
    email text,
    booking_lead_days bigint,
    working_days text not null,
    version bigint not null,
    created_at text not null
);

create table person_yards (
    person_id text not null references people (id),
    yard_id text not null references yards (id),
    primary key (person_id, yard_id)
);
create index person_yards_yard on person_yards (yard_id);

create table api_keys (
    id text primary key,
    name text not null,
    secret_hash text not null unique,
    scopes text not null,
    every_yard bigint not null,
    person_id text references people (id),
    expires_on text,
    revoked_at text,
    last_used_at text,
    version bigint not null,
    created_at text not null
);

create table api_key_yards (
    key_id text not null references api_keys (id),
    yard_id text not null references yards (id),
    primary key (key_id, yard_id)
);

create table horses (
    id text primary key,
    yard_id text not null references yards (id),
    name text not null,
    born_on text,
    sex text,
    breed text,
    microchip text unique,
    ueln text unique,
    mature_height_mm double precision,
    notes text,
    status text not null,
    version bigint not null,
    created_at text not null
);
create index horses_yard on horses (yard_id, id);

create table moves (
    id text primary key,
    horse_id text not null references horses (id),
    on_day text not null,
    from_yard_id text not null references yards (id),
    to_yard_id text references yards (id),
    status text,
    created_at text not null
);
create index moves_horse on moves (horse_id, on_day);

create table phases (
    id text primary key,
    horse_id text not null references horses (id),
    from_day text not null,
    phase text not null,
    voided_at text,
    void_reason text,
    version bigint not null,
    created_at text not null
);
create index phases_horse on phases (horse_id, from_day);

create table events (
    id text primary key,
    horse_id text not null references horses (id),
    on_day text not null,
    kind text not null,
    planned bigint not null,
    note text,
    voided_at text,
    void_reason text,
    version bigint not null,
    created_at text not null
);
create index events_horse on events (horse_id, on_day);

create table measurements (
    id text primary key,
    horse_id text not null references horses (id),
    measured_at text not null,
    measured_on text not null,
    measured_by text references people (id),
    method text not null,
    exercise text not null,
    body text not null,
    advice text not null default '[]',
    corrects text references measurements (id),
    replaced_by text references measurements (id),
    voided_at text,
    void_reason text,
    version bigint not null,
    created_at text not null
);
create index measurements_horse on measurements (horse_id, measured_on, id);

create table observations (
    id text primary key,
    horse_id text not null references horses (id),
    observed_on text not null,
    kind text not null,
    side text,
    station text,
    severity text,
    score bigint,
    note text,
    outcome text,
    outcome_on text,
    outcome_by text references people (id),
    outcome_role text,
    outcome_note text,
    voided_at text,
    void_reason text,
    version bigint not null,
    created_at text not null
);
create index observations_horse on observations (horse_id, observed_on);

create table saddles (
    id text primary key,
    yard_id text not null references yards (id),
    label text not null,
    maker text,
    serial text,
    tree text not null,
    filling text not null,
    made_on text,
    version bigint not null,
    created_at text not null
);
create index saddles_yard on saddles (yard_id, id);

create table tree_shapes (
    id text primary key,
    saddle_id text not null references saddles (id),
    from_day text not null,
    body text not null,
    voided_at text,
    void_reason text,
    version bigint not null,
    created_at text not null
);
create index tree_shapes_saddle on tree_shapes (saddle_id, from_day);

create table pairings (
    id text primary key,
    horse_id text not null references horses (id),
    saddle_id text not null references saddles (id),
    from_day text not null,
    to_day text,
    tree_front_from_t8_mm double precision,
    pad_mm double precision,
    rider_weight_kg double precision,
    tack_weight_kg double precision,
    weekly_minutes bigint,
    tolerances text,
    version bigint not null,
    created_at text not null
);
create index pairings_horse on pairings (horse_id);
create index pairings_saddle on pairings (saddle_id);

create table assessments (
    id text primary key,
    horse_id text not null references horses (id),
    assessed_on text not null,
    engine_version text not null,
    inputs text not null,
    outputs text not null,
    signature text not null,
    created_at text not null
);
create index assessments_horse on assessments (horse_id, id);

create table checks (
    id text primary key,
    horse_id text not null references horses (id),
    pairing_id text references pairings (id),
    kind text not null,
    state text not null,
    urgency text not null,
    opens_on text not null,
    book_by text not null,
    due_on text not null,
    closes_on text not null,
    reasons text not null,
    assessment_id text references assessments (id),
    fitter_id text references people (id),
    visit_id text,
    booked_on text,
    postponed_until text,
    accepted_risk bigint not null,
    done_on text,
    done_by text references people (id),
    findings text,
    closing_note text,
    dropped_by_person bigint not null,
    version bigint not null,
    created_at text not null,
    opened_on text not null
);
create index checks_horse on checks (horse_id, id);
create index checks_due on checks (state, due_on);
create unique index checks_one_alive on checks (horse_id, coalesce(pairing_id, ''), kind) where state in ('open', 'booked');

create table check_history (
    id text primary key,
    check_id text not null references checks (id),
    action text not null,
    note text,
    days text not null,
    key_id text,
    created_at text not null
);
create index check_history_check on check_history (check_id, id);

create table adjustments (
    id text primary key,
    saddle_id text not null references saddles (id),
    check_id text references checks (id),
    done_on text not null,
    done_by text references people (id),
    kind text not null,
    zones text not null,
    note text,
    voided_at text,
    void_reason text,
    version bigint not null,
    created_at text not null
);
create index adjustments_saddle on adjustments (saddle_id, done_on);

create table work_queue (
    horse_id text primary key references horses (id),
    generation bigint not null,
    enqueued_at text not null
);
create index work_queue_order on work_queue (enqueued_at);

create table idempotency (
    key_id text not null,
    idempotency_key text not null,
    fingerprint text not null,
    status bigint not null,
    location text,
    etag text,
    body text,
    created_at text not null,
    primary key (key_id, idempotency_key)
);
create index idempotency_age on idempotency (created_at);

create table audit (
    id text primary key,
    key_id text,
    action text not null,
    resource text not null,
    resource_id text not null,
    created_at text not null
);
create index audit_resource on audit (resource_id, id);
