using System.Globalization;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Checks;

/// <summary>Re-measures because weight, girth or condition changed since the fit was last checked.</summary>
internal static class BodyCauses
{
    private static readonly Quantity[] Watched = [Quantity.Weight, Quantity.Girth, Quantity.ConditionScore1to9];

    /// <summary>
    /// A re-measure two weeks after the session that showed the change, for each saddle on the horse by the day its fit was last checked.
    /// What was read last by that day, else the first reading after it, is what later ones are held against.
    /// </summary>
    public static IEnumerable<WantedCheck> Changes(Situation situation) =>
        from view in situation.Pairings
        from quantity in Watched
        let readings = ReadingsOf(situation.Facts, new Metric(quantity))
        where readings.Count > 1
        from change in Change(situation.Policy, quantity, readings, view.CheckedSince)
        select Deadlines.Measurement(situation, change.On.AddDays(situation.Policy.BodyChangeDays), change);

    private static IEnumerable<Reason> Change(CheckPolicy policy, Quantity quantity, List<BodyReading> readings, DateOnly since)
    {
        var start = Math.Max(0, readings.FindLastIndex(reading => reading.On <= since));
        var before = readings[start];
        var kept = Math.Max(start, readings.FindLastIndex(reading => !IsBeyond(policy, quantity, before.Value, reading.Value)));
        if (kept == readings.Count - 1)
            yield break;
        // From here on every reading shows it, and a later one is no news.
        var shown = readings[kept + 1];
        yield return new Reason(
            Cause.BodyChange,
            $"{Name(quantity)} went from {Told(quantity, before.Value)} on {Words.Day(before.On)} to {Told(quantity, shown.Value)} on {Words.Day(shown.On)} (limit {Limit(policy, quantity)}): measure the back again.",
            shown.On, new Metric(quantity).ToString(), null, shown.Value - before.Value, new Metric(quantity).Unit, shown.SessionId);
    }

    private static bool IsBeyond(CheckPolicy policy, Quantity quantity, double before, double now) => Math.Abs(now - before) >= quantity switch
    {
        Quantity.Weight => Math.Min(policy.WeightChangeKg, policy.WeightChangeShare * before),
        Quantity.Girth => policy.GirthChangeMm,
        _ => policy.ConditionChangePoints,
    };

    private static List<BodyReading> ReadingsOf(HorseFacts facts, Metric metric) =>
    [
        .. from session in facts.Sessions.OrderBy(session => session.On).ThenBy(session => session.Id, StringComparer.Ordinal)
           let values = session.Readings.Where(reading => reading.Metric == metric).Select(reading => reading.Value).ToList()
           where values.Count > 0
           select new BodyReading(session.Id, session.On, values.Average()),
    ];

    private static string Name(Quantity quantity) => quantity switch
    {
        Quantity.Weight => "Weight",
        Quantity.Girth => "Girth",
        _ => "Condition score",
    };

    private static string Limit(CheckPolicy policy, Quantity quantity) => quantity switch
    {
        Quantity.Weight => $"{policy.WeightChangeKg} kg or {Words.Percent(policy.WeightChangeShare)}",
        Quantity.Girth => $"{policy.GirthChangeMm} mm",
        _ => Told(quantity, policy.ConditionChangePoints),
    };

    private static string Told(Quantity quantity, double value) => quantity switch
    {
        Quantity.Weight => $"{Words.Whole(value)} kg",
        Quantity.Girth => $"{Words.Whole(value)} mm",
        _ => value.ToString("0.#", CultureInfo.InvariantCulture),
    };

    private readonly record struct BodyReading(string SessionId, DateOnly On, double Value);
}
