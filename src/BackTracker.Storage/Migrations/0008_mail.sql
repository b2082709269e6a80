-- Who has a letter in hand, so that two instances never send it at once.

alter table messages add column claimed_until text;

-- Since when letters to an address cannot be sent: others are told instead until one goes again.

alter table subscriptions add column bounced_at text;
