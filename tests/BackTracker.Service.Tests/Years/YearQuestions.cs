namespace BackTracker.Service.Tests.Years;

/// <summary>What is asked of the store at the end of the year.</summary>
internal static class YearQuestions
{
    /// <summary>Each finds nothing where the promise was kept.</summary>
    public static IReadOnlyDictionary<string, string> Wrong { get; } = new Dictionary<string, string>
    {
        ["one problem is one alert at a time"] =
            """
            select a.id, b.id, a.text from alerts a join alerts b on a.horse_id = b.horse_id and a.identity = b.identity and a.id < b.id
            where a.settled_at is null or a.settled_at > b.created_at
            """,
        ["nobody is told the same news twice"] =
            "select alert_id, subscription_id, change_no, count(*) from alert_decisions where verdict = 'told' group by alert_id, subscription_id, change_no having count(*) > 1",
        ["every letter has its decisions"] =
            "select m.id, m.occasion from messages m where m.occasion in ('at-once', 'digest') and not exists (select 1 from alert_decisions d where d.message_id = m.id)",
        ["one digest a day, yard and receiver"] =
            """
            select subscription_id, yard_id, substr(body, instr(body, '"on":"') + 6, 10), count(*) from messages where occasion = 'digest'
            group by 1, 2, 3 having count(*) > 1
            """,
        ["every decision says why"] = "select id from alert_decisions where length(reason) < 4",
        ["what was told is told to be settled, or it is said why not"] =
            """
            select a.id, a.text, d.subscription_id from alerts a join alert_decisions d on d.alert_id = a.id and d.verdict = 'told' and d.news <> 'settled'
            where a.settled_at < '2028-06-27'
                and not exists (select 1 from alert_decisions s where s.alert_id = a.id and s.subscription_id = d.subscription_id and s.news = 'settled')
            """,
        ["nobody is told of a settling who never heard of the problem"] =
            """
            select s.alert_id, s.subscription_id from alert_decisions s where s.news = 'settled' and s.verdict = 'told'
                and not exists (select 1 from alert_decisions d where d.alert_id = s.alert_id and d.subscription_id = s.subscription_id and d.verdict = 'told' and d.news <> 'settled')
            """,
        ["a vet-first sign is told at once"] =
            """
            select a.id, a.created_at, min(d.created_at) from alerts a left join alert_decisions d on d.alert_id = a.id and d.verdict = 'told'
            where a.cause = 'vet-first' group by a.id, a.created_at having min(d.created_at) is null or min(d.created_at) > a.created_at
            """,
        // A booked flocking check and the fit check that took over its cause are one problem.
        ["every live check is somebody's alert"] =
            """
            select c.id, c.kind, c.due_on from checks c where c.state in ('open', 'booked') and not exists (select 1 from alerts a
                where a.state <> 'settled' and (a.check_id = c.id or (a.horse_id = c.horse_id and a.pairing_id = c.pairing_id)))
            """,
        ["no alert outlives its check"] =
            "select a.id, a.text, c.state from alerts a join checks c on c.id = a.check_id where a.state <> 'settled' and c.state in ('done', 'dropped')",
        ["every check was told opened once"] =
            """
            select c.id, count(o.id) from checks c left join outbox o on o.horse_id = c.horse_id and o.type = 'backtracker.check.opened.v1' and o.body like '%' || c.id || '%'
            where c.opened_on > '2028-06-10' group by c.id having count(o.id) <> 1
            """,
        ["a due day is told once"] =
            """
            select horse_id, substr(body, instr(body, '"checkId"'), 60), substr(body, instr(body, '"dueOn"'), 20), type, count(*) from outbox
            where type in ('backtracker.check.due.v1', 'backtracker.check.overdue.v1') group by 1, 2, 3, 4 having count(*) > 1
            """,
        ["a horse's events have no gap"] =
            "select horse_id, count(*), max(sequence), min(sequence) from outbox where horse_id is not null group by horse_id having max(cast(sequence as bigint)) - min(cast(sequence as bigint)) + 1 <> count(*)",
    };

    /// <summary>Each finds something; a person looks at it.</summary>
    public static IReadOnlyDictionary<string, string> Told { get; } = new Dictionary<string, string>
    {
        ["letters a receiver a week, by role"] =
            """
            select p.role, m.occasion, round(count(*) / 52.0 / count(distinct s.id), 2) from messages m join subscriptions s on s.id = m.subscription_id join people p on p.id = s.person_id
            group by p.role, m.occasion order by 1, 2
            """,
        ["verdicts"] = "select verdict, reason, count(*) from alert_decisions group by verdict, reason order by 3 desc limit 30",
        ["alerts by cause"] = "select cause, concern, count(*), sum(case when state = 'settled' then 1 else 0 end) from alerts group by cause, concern order by 3 desc",
        ["events"] = "select type, count(*) from outbox group by type order by 2 desc",
        ["log of one alert"] =
            """
            select d.created_at, p.name, d.news, d.verdict, d.reason from alert_decisions d join subscriptions s on s.id = d.subscription_id join people p on p.id = s.person_id
            where d.alert_id = (select alert_id from alert_decisions where news = 'overdue' group by alert_id order by count(*) desc, alert_id limit 1) order by d.id
            """,
    };
}
