-- Visits that bundle checks, calendars of people, and what a calendar must know of a check.
create table visits (
    id text primary key,
    yard_id text not null references yards (id),
    fitter_id text not null references people (id),
    on_day text not null,
    state text not null,
    note text,
    closing_note text,
    done_by text references people (id),
    sequence bigint not null,
    version bigint not null,
    changed_at text not null,
    created_at text not null
);
create index visits_yard on visits (yard_id, id);
create index visits_fitter on visits (fitter_id, id);

create table calendar_tokens (
    person_id text primary key references people (id),
    token_hash text not null unique,
    key_id text not null references api_keys (id),
    created_at text not null
);

create index checks_visit on checks (visit_id);
create index checks_fitter on checks (fitter_id, id);
alter table checks add column sequence bigint not null default 0;
alter table checks add column changed_at text not null default '';
update checks set
    sequence = (select count(*) from check_history s where s.check_id = checks.id and s.action <> 'open'),
    changed_at = coalesce((select max(s.created_at) from check_history s where s.check_id = checks.id), created_at);

alter table check_history add column booked_on text;
alter table check_history add column fitter_id text references people (id);
alter table check_history add column visit_id text references visits (id);
create index check_history_fitter on check_history (fitter_id, action);
-- The note of a booking was "for 2026-05-01". With whom an earlier one was is not known any more.
update check_history set booked_on = substr(note, 5) where action = 'book';
update check_history set fitter_id = (select c.fitter_id from checks c where c.id = check_history.check_id) where action = 'book';
