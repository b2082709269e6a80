using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

/// <summary>The clock of a panel on one horse: since when it runs, why, and when it is up.</summary>
/// <param name="Cause">Whether it beds in or packs down.</param>
/// <param name="From">Its first day, never before that of the pairing.</param>
/// <param name="Since">What began it, in words.</param>
/// <param name="Rule">What follows, in words that a span ends.</param>
/// <param name="Weeks">Weeks of riding.</param>
/// <param name="Hours">Ridden hours, whichever comes first; null where they do not count.</param>
/// <param name="SourceId">Id of the record that began it.</param>
internal sealed record FlockingClock(Cause Cause, DateOnly From, string Since, string Rule, int Weeks, int? Hours, string SourceId)
{
    /// <summary>
    /// A new or newly flocked panel beds in until somebody looks at it on a later day. It counts as new on this horse where it had not had
    /// its weeks before the pairing. Otherwise the clock runs from the last look, else from the first day of the pairing.
    /// </summary>
    public static FlockingClock Of(PairingView view, CheckPolicy policy)
    {
        var (pairing, looked) = (view.Pairing, view.LastLook);
        var isWool = pairing.Filling == Filling.Wool;
        var beddingWeeks = isWool ? policy.BeddingInWeeks : policy.BeddingInOtherWeeks;
        if (Freshest(pairing) is { } fresh && fresh.On.AddDays(beddingWeeks * 7) > pairing.From && DayOrder.Later(fresh.On, pairing.From) is var from && !(looked?.On > from))
        {
            return new FlockingClock(
                Cause.BeddingIn, from, fresh.Since, $"{(isWool ? "new wool" : Panel(pairing.Filling))} is looked at after",
                beddingWeeks, isWool ? policy.BeddingInHours : null, fresh.SourceId);
        }
        var (start, since, sourceId) = looked?.On >= pairing.From
            ? (looked.On, $"Flocking last looked at on {Words.Day(looked.On)}", looked.CheckId)
            : (pairing.From, $"In use since {Words.Day(pairing.From)} without a look at the flocking", pairing.Id);
        return new FlockingClock(
            Cause.FlockingAge, start, since, $"{(isWool ? "wool" : Panel(pairing.Filling))} is looked at every",
            isWool ? policy.FlockingWeeks : policy.FlockingOtherWeeks, isWool ? policy.FlockingHours : null, sourceId);
    }

    /// <summary>The last flocking, or the day the saddle was made where that is later.</summary>
    private static (DateOnly On, string Since, string SourceId)? Freshest(PairingFact pairing)
    {
        var flocked = pairing.Adjustments
            .Where(change => change.Kind == AdjustmentKind.Flocking)
            .OrderBy(change => change.On)
            .ThenBy(change => change.Id, StringComparer.Ordinal)
            .LastOrDefault();
        if (pairing.MadeOn is { } made && !(flocked?.On >= made))
            return (made, $"New saddle, in use since {Words.Day(DayOrder.Later(made, pairing.From))}", pairing.SaddleId);
        return flocked is null ? null : (flocked.On, $"Flocked on {Words.Day(flocked.On)}", flocked.Id);
    }


    private static string Panel(Filling filling) => filling switch
    {
        Filling.Foam => "a foam panel",
        Filling.Air => "an air panel",
        Filling.Felt => "a felt panel",
        _ => "a panel without wool",
    };
}
