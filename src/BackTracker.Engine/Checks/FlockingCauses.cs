using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

/// <summary>Looks at the flocking: once after it has bedded in, and again and again as it packs down.</summary>
internal static class FlockingCauses
{
    /// <summary>
    /// A flocking check of every saddle that is ridden in, when hours or weeks since its panel was new, flocked or last looked at are up;
    /// none while nobody rides. Hours count for wool alone.
    /// </summary>
    public static IEnumerable<WantedCheck> All(Situation situation)
    {
        if (!situation.Calendar.IsRidden(situation.Today))
            yield break;
        foreach (var view in situation.Pairings.Where(view => view.IsRidden))
        {
            var clock = FlockingClock.Of(view, situation.Policy);
            var byWeeks = situation.Calendar.After(clock.From, clock.Weeks * 7);
            var byHours = clock.Hours is { } hours
                ? RiddenHours.ReachedOn(situation, view, clock.From, hours, byWeeks ?? situation.Today.AddDays(situation.Policy.HorizonDays))
                : null;
            if (byHours is { } ridden)
                yield return Check(situation, view, clock, ridden, (clock.Hours!.Value, "hours", $"{clock.Hours} ridden hours"));
            else if (byWeeks is { } passed)
                yield return Check(situation, view, clock, passed, (clock.Weeks, "weeks", $"{Words.Span(clock.Weeks * 7)} of riding"));
        }
    }

    private static WantedCheck Check(Situation situation, PairingView view, FlockingClock clock, DateOnly due, (int Value, string Unit, string Text) limit)
    {
        var window = situation.Policy.WindowDays;
        var opens = due.AddDays(-window) > clock.From ? due.AddDays(-window) : clock.From;
        var reason = new Reason(clock.Cause, $"{clock.Since}: {clock.Rule} {limit.Text}.", clock.From, null, null, limit.Value, limit.Unit, clock.SourceId);
        return Deadlines.Visit(situation, view.Pairing, opens, due, due.AddDays(window), Urgency.Soon, reason) with { Kind = CheckKind.Flocking };
    }
}
