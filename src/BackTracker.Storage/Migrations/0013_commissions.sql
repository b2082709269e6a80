-- Saddles that are being made for a horse: where each stands and how it came there, the templates as they were sent, the trials of the bare
-- tree, and how the panel packs down.
create table commissions (
    id text primary key,
    horse_id text not null references horses (id),
    saddle_id text not null references saddles (id),
    saddler_id text not null references people (id),
    ordered_on text not null,
    delivery_on text not null,
    ordered_tree text not null,
    tree_front_from_t8_mm double precision,
    pad_mm double precision,
    note text,
    stage text not null,
    round bigint not null,
    told_at_risk bigint not null,
    version bigint not null,
    created_at text not null
);
create index commissions_horse on commissions (horse_id, id);
create index commissions_saddle on commissions (saddle_id);

create table commission_steps (
    id text primary key,
    commission_id text not null references commissions (id),
    stage text not null,
    on_day text not null,
    note text,
    override_reason text,
    -- An import writes its measurements last.
    measurement_id text references measurements (id) deferrable initially deferred,
    measured_on text,
    created_at text not null
);
create index commission_steps_commission on commission_steps (commission_id, id);

create table commission_templates (
    id text primary key,
    commission_id text not null references commissions (id),
    measurement_id text not null references measurements (id) deferrable initially deferred,
    measured_on text not null,
    sent_on text not null,
    body text not null,
    checksum text not null,
    created_at text not null
);
create index commission_templates_commission on commission_templates (commission_id, id);

create table commission_trials (
    id text primary key,
    commission_id text not null references commissions (id),
    round bigint not null,
    step text not null,
    on_day text not null,
    pad_mm double precision,
    items text not null,
    bears_load_by text references people (id),
    bears_load_on text,
    bears_load_text text,
    created_at text not null
);
create index commission_trials_commission on commission_trials (commission_id, id);

create table commission_clearances (
    id text primary key,
    commission_id text not null references commissions (id),
    on_day text not null,
    clearance_mm double precision not null,
    verdict text not null,
    note text,
    created_at text not null
);
create index commission_clearances_commission on commission_clearances (commission_id, id);
