-- Where a change was made and what it changed; people whose data were taken out.

alter table audit add column yard_id text;
alter table audit add column changes text not null default '[]';
create index audit_yard on audit (yard_id, id);

alter table people add column erased_at text;

-- Entries from before go to the yard in which the thing is now.
update audit set yard_id = coalesce(
    (select y.id from yards y where y.id = audit.resource_id),
    (select h.yard_id from horses h where h.id = audit.resource_id),
    (select s.yard_id from saddles s where s.id = audit.resource_id),
    (select h.yard_id from measurements x join horses h on h.id = x.horse_id where x.id = audit.resource_id),
    (select h.yard_id from observations x join horses h on h.id = x.horse_id where x.id = audit.resource_id),
    (select h.yard_id from checks x join horses h on h.id = x.horse_id where x.id = audit.resource_id),
    (select h.yard_id from events x join horses h on h.id = x.horse_id where x.id = audit.resource_id),
    (select h.yard_id from phases x join horses h on h.id = x.horse_id where x.id = audit.resource_id),
    (select h.yard_id from moves x join horses h on h.id = x.horse_id where x.id = audit.resource_id),
    (select h.yard_id from rides x join horses h on h.id = x.horse_id where x.id = audit.resource_id),
    (select h.yard_id from pairings x join horses h on h.id = x.horse_id where x.id = audit.resource_id),
    (select s.yard_id from tree_shapes x join saddles s on s.id = x.saddle_id where x.id = audit.resource_id),
    (select s.yard_id from adjustments x join saddles s on s.id = x.saddle_id where x.id = audit.resource_id),
    (select v.yard_id from visits v where v.id = audit.resource_id),
    (select a.yard_id from alerts a where a.id = audit.resource_id),
    (select q.yard_id from quiet_periods q where q.id = audit.resource_id));
