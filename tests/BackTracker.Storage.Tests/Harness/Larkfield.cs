namespace BackTracker.Storage.Tests.Harness;

/// <summary>A row in every table, with every kind of reference, so that nothing can be forgotten in a copy.</summary>
internal static class Larkfield
{
    public const string Yard = "0199f6c2-0000-7000-8000-000000000001";
    public const string Person = "0199f6c2-0000-7000-8000-000000000002";
    public const string Horse = "0199f6c2-0000-7000-8000-000000000003";
    public const string OtherHorse = "0199f6c2-0000-7000-8000-000000000004";
    public const string Measurement = "0199f6c2-0000-7000-8000-000000000005";
    public const string Correction = "0199f6c2-0000-7000-8000-000000000006";
    public const string Pairing = "0199f6c2-0000-7000-8000-000000000007";
    public const string Assessment = "0199f6c2-0000-7000-8000-000000000008";
    public const string Subscription = "0199f6c2-0000-7000-8000-000000000015";
    public const string Check = "0199f6c2-0000-7000-8000-000000000009";
    private const string Visit = "0199f6c2-0000-7000-8000-000000000017";
    private const string Commission = "0199f6c2-0000-7000-8000-0000000000c0";
    private const string Message = "0199f6c2-0000-7000-8000-000000000016";
    private const string Alert = "0199f6c2-0000-7000-8000-000000000030";
    private const string Event = "0199f6c2-0000-7000-8000-000000000040";
    private const string Key = "0199f6c2-0000-7000-8000-00000000000a";
    private const string Saddle = "0199f6c2-0000-7000-8000-00000000000b";
    private const string At = "2026-11-25T09:00:00.000Z";

    private static readonly string[] Rows =
    [
        "insert into settings (name, value) values ('colour', 'Grün \"und\" blau')",
        $"insert into yards (id, name, time_zone, closed_days, latitude, version, created_at) values ('{Yard}', 'Larkfield', 'Europe/London', '[\"sunday\"]', 51.123456789012345, 3, '{At}')",
        $"insert into people (id, name, role, working_days, version, created_at) values ('{Person}', 'Ada Finch', 'fitter', '[]', 1, '{At}')",
        $"insert into person_yards (person_id, yard_id) values ('{Person}', '{Yard}')",
        $"insert into api_keys (id, name, secret_hash, scopes, every_yard, person_id, version, created_at) values ('{Key}', 'k', 'hash', '[\"read\"]', 0, '{Person}', 1, '{At}')",
        $"insert into api_key_yards (key_id, yard_id) values ('{Key}', '{Yard}')",
        $"insert into horses (id, yard_id, name, born_on, mature_height_mm, status, version, created_at) values ('{Horse}', '{Yard}', 'Bramble', '2019-04-01', 1625.5, 'active', 1, '{At}')",
        $"insert into horses (id, yard_id, name, status, version, created_at) values ('{OtherHorse}', '{Yard}', 'Teasel', 'active', 1, '{At}')",
        $"insert into moves (id, horse_id, on_day, from_yard_id, created_at) values ('0199f6c2-0000-7000-8000-00000000000c', '{Horse}', '2026-01-01', '{Yard}', '{At}')",
        $"insert into phases (id, horse_id, from_day, phase, version, created_at) values ('0199f6c2-0000-7000-8000-00000000000d', '{Horse}', '2026-01-01', 'building', 1, '{At}')",
        $"insert into events (id, horse_id, on_day, kind, planned, version, created_at) values ('0199f6c2-0000-7000-8000-00000000000e', '{Horse}', '2026-01-01', 'lay-off', 0, 1, '{At}')",
        $"insert into measurements (id, horse_id, measured_at, measured_on, measured_by, method, exercise, body, advice, version, created_at) values ('{Measurement}', '{Horse}', '{At}', '2026-11-25', '{Person}', 'tape', 'before', '{{}}', '[]', 1, '{At}')",
        $"insert into measurements (id, horse_id, measured_at, measured_on, measured_by, method, exercise, body, advice, corrects, version, created_at) values ('{Correction}', '{Horse}', '{At}', '2026-11-25', '{Person}', 'tape', 'before', '{{}}', '[]', '{Measurement}', 1, '{At}')",
        $"update measurements set replaced_by = '{Correction}' where id = '{Measurement}'",
        $"insert into observations (id, horse_id, observed_on, kind, score, version, created_at) values ('0199f6c2-0000-7000-8000-00000000000f', '{Horse}', '2026-11-01', 'behaviour', 4, 1, '{At}')",
        $"insert into saddles (id, yard_id, label, tree, filling, version, created_at) values ('{Saddle}', '{Yard}', 'Old brown', 'wood', 'wool', 1, '{At}')",
        $"insert into tree_shapes (id, saddle_id, from_day, body, version, created_at) values ('0199f6c2-0000-7000-8000-000000000010', '{Saddle}', '2026-01-01', '{{}}', 1, '{At}')",
        $"insert into pairings (id, horse_id, saddle_id, from_day, pad_mm, version, created_at) values ('{Pairing}', '{Horse}', '{Saddle}', '2026-01-01', 4, 1, '{At}')",
        $"insert into rides (id, horse_id, saddle_id, ridden_on, minutes, version, created_at) values ('0199f6c2-0000-7000-8000-000000000017', '{Horse}', '{Saddle}', '2026-11-01', 45, 1, '{At}')",
        $"insert into yard_policies (yard_id, settings, version, changed_at) values ('{Yard}', '{{\"riskLimit\":0.3}}', 1, '{At}')",
        $"insert into pairing_policies (pairing_id, settings, version, changed_at) values ('{Pairing}', '{{}}', 2, '{At}')",
        $"insert into assessments (id, horse_id, assessed_on, engine_version, inputs, outputs, signature, created_at) values ('{Assessment}', '{Horse}', '2026-11-25', '1', '{{\"horse\":{{\"id\":\"{Horse}\"}}}}', '{{}}', 's', '{At}')",
        $"insert into visits (id, yard_id, fitter_id, on_day, state, note, done_by, sequence, version, changed_at, created_at) values ('{Visit}', '{Yard}', '{Person}', '2026-11-25', 'done', 'Ring first.', '{Person}', 1, 3, '{At}', '{At}')",
        $"insert into checks (id, horse_id, pairing_id, kind, state, urgency, opens_on, book_by, due_on, closes_on, reasons, assessment_id, accepted_risk, dropped_by_person, opened_on, sequence, changed_at, version, created_at) values ('{Check}', '{Horse}', '{Pairing}', 'fit', 'open', 'soon', '2026-11-25', '2026-11-26', '2026-12-01', '2026-12-28', '[]', '{Assessment}', 0, 0, '2026-11-25', 2, '{At}', 1, '{At}')",
        $"insert into check_history (id, check_id, action, days, booked_on, fitter_id, visit_id, key_id, created_at) values ('0199f6c2-0000-7000-8000-000000000011', '{Check}', 'book', '{{}}', '2026-11-25', '{Person}', '{Visit}', 'assessor', '{At}')",
        $"insert into adjustments (id, saddle_id, check_id, done_on, kind, zones, version, created_at) values ('0199f6c2-0000-7000-8000-000000000012', '{Saddle}', '{Check}', '2026-11-25', 'reflock', '[]', 1, '{At}')",
        $"insert into commissions (id, horse_id, saddle_id, saddler_id, ordered_on, delivery_on, ordered_tree, stage, round, told_at_risk, version, created_at) values ('{Commission}', '{Horse}', '{Saddle}', '{Person}', '2026-03-01', '2026-12-01', '{{}}', 'bedding-in', 1, 0, 4, '{At}')",
        $"insert into commission_steps (id, commission_id, stage, on_day, measurement_id, measured_on, created_at) values ('0199f6c2-0000-7000-8000-0000000000c1', '{Commission}', 'measured', '2026-11-25', '{Measurement}', '2026-11-25', '{At}')",
        $"insert into commission_templates (id, commission_id, measurement_id, measured_on, sent_on, body, checksum, created_at) values ('0199f6c2-0000-7000-8000-0000000000c2', '{Commission}', '{Measurement}', '2026-11-25', '2026-11-25', '{{}}', 'sum', '{At}')",
        $"insert into commission_trials (id, commission_id, round, step, on_day, pad_mm, items, bears_load_by, bears_load_on, bears_load_text, created_at) values ('0199f6c2-0000-7000-8000-0000000000c3', '{Commission}', 1, 'standing', '2026-11-25', 5, '[]', '{Person}', '2026-11-25', 'They do.', '{At}')",
        $"insert into commission_clearances (id, commission_id, on_day, clearance_mm, verdict, created_at) values ('0199f6c2-0000-7000-8000-0000000000c4', '{Commission}', '2026-11-25', 24.5, 'pass', '{At}')",
        $"insert into work_queue (horse_id, generation, enqueued_at) values ('{Horse}', 2, '{At}')",
        $"insert into idempotency (key_id, idempotency_key, fingerprint, status, created_at) values ('{Key}', 'one', 'f', 201, '{At}')",
        $"insert into audit (id, key_id, action, resource, resource_id, created_at) values ('0199f6c2-0000-7000-8000-000000000013', 'command-line', 'create', 'key', '{Key}', '{At}')",
        $"insert into protection_keys (id, xml, created_at) values ('0199f6c2-0000-7000-8000-000000000014', '<key />', '{At}')",
        $"insert into subscriptions (id, channel, email, person_id, events, confirm_hash, key_id, version, created_at) values ('{Subscription}', 'mail', 'ada@example.org', '{Person}', '[]', 'hash', '{Key}', 1, '{At}')",
        $"insert into subscription_yards (subscription_id, yard_id) values ('{Subscription}', '{Yard}')",
        $"insert into calendar_tokens (person_id, token_hash, key_id, created_at) values ('{Person}', 'hash', '{Key}', '{At}')",
        $"insert into messages (id, subscription_id, yard_id, occasion, body, state, attempts, next_at, created_at, claimed_until) values ('{Message}', '{Subscription}', '{Yard}', 'digest', '{{}}', 'pending', 0, '{At}', '{At}', '{At}')",
        $"insert into alerts (id, yard_id, horse_id, identity, concern, cause, pairing_id, check_id, state, urgency, text, book_by, due_on, news, change_no, waits, raised_on, acknowledged_by, version, created_at) values ('{Alert}', '{Yard}', '{Horse}', 'i', 'check', 'risk', '{Pairing}', '{Check}', 'acknowledged', 'soon', 'Tree close.', '2026-11-26', '2026-12-01', 'raised', 1, 'nobody', '2026-11-25', '{Person}', 2, '{At}')",
        $"insert into alert_steps (id, alert_id, action, note, key_id, created_at) values ('0199f6c2-0000-7000-8000-000000000031', '{Alert}', 'raised', 'Tree close.', 'assessor', '{At}')",
        $"insert into alert_decisions (id, alert_id, subscription_id, change_no, news, verdict, reason, message_id, created_at) values ('0199f6c2-0000-7000-8000-000000000032', '{Alert}', '{Subscription}', 1, 'raised', 'told', 'new', '{Message}', '{At}')",
        $$"""insert into imports (id, key_id, state, body, created_at) values ('0199f6c2-0000-7000-8000-000000000034', 'command-line', 'done', '{}', '{{At}}')""",
        $"insert into quiet_periods (id, yard_id, horse_id, cause, until_day, reason, person_id, version, created_at) values ('0199f6c2-0000-7000-8000-000000000033', '{Yard}', '{Horse}', 'risk', '2026-12-10', 'Away.', '{Person}', 1, '{At}')",
        $$"""insert into priors (id, number, learned_on, engine_version, horses, body, created_at) values ('0199f6c2-0000-7000-8000-000000000035', 1, '2026-11-25', '8', 60, '{}', '{{At}}')""",
        $"insert into outbox (id, type, yard_id, horse_id, sequence, happened_at, body) values ('{Event}', 'backtracker.check.due.v1', '{Yard}', '{Horse}', '000000000001', '{At}', '{{}}')",
        $"insert into deliveries (id, subscription_id, event_id, horse_id, sequence, state, attempts, started_at, next_at, tried_at, status, error, created_at) values ('0199f6c2-0000-7000-8000-000000000041', '{Subscription}', '{Event}', '{Horse}', '000000000001', 'parked', 10, '{At}', '{At}', '{At}', 500, 'Busy.', '{At}')",
    ];

    public static async Task FillAsync(OpenStore store)
    {
        foreach (var row in Rows)
            await store.ExecuteAsync(row);
    }
}
