-- Who has a letter in hand, so that two instances never send it at once.

alter table messages add column claimed_until text;
