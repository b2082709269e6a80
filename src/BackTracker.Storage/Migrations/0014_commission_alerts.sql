-- An alert may be about a saddle that is being made.
alter table alerts add column commission_id text references commissions (id);

-- Hours ridden in a new saddle when it was looked at, where somebody said so.
alter table commission_clearances add column ridden_hours double precision;
