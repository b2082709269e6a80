-- An alert may be about a saddle that is being made.
alter table alerts add column commission_id text references commissions (id);
