-- Which request brought an event about, so that its receiver can tell.

alter table outbox add column traceparent text not null default '';

-- What waits, for whoever looks whether anything is stuck.
create index deliveries_pending on deliveries (created_at) where state = 'pending';
