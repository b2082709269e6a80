using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

/// <summary>What becomes of a check that stands and is still wanted.</summary>
internal static class Revision
{
    /// <summary>The revision; null where there is nothing new.</summary>
    public static CheckDecision.Revise? Of(CheckFact check, WantedCheck want, Situation situation)
    {
        var held = ReasonKey.SetOf(check.Reasons);
        var fresh = want.Reasons.Where(reason => !held.Contains(ReasonKey.Of(reason))).ToList();
        if (check.State == CheckState.Booked || StaysForItsRisk(check, want, situation))
            return Join(check, want, fresh);
        var days = Settle(check, want.Days, fresh.Count > 0, situation);
        var reasonsChanged = !held.SetEquals(ReasonKey.SetOf(want.Reasons));
        if (days == check.Days && !reasonsChanged)
            return null;
        return new CheckDecision.Revise(check.Id, days, want.Reasons, Note(check, days, fresh));
    }

    /// <summary>
    /// A check that stands although a stronger one took over its causes (it is booked) says of its findings what is said of them now;
    /// null where that is nothing else.
    /// </summary>
    public static CheckDecision.Revise? Reword(CheckFact check, IReadOnlyList<WantedCheck> wanted)
    {
        var news = wanted.Where(want => want.PairingId == check.PairingId).SelectMany(want => want.Reasons)
            .Where(reason => check.Reasons.Any(held => ReasonKey.Of(reason).Replaces(ReasonKey.Of(held))))
            .ToList();
        return news.Count == 0 ? null : new CheckDecision.Revise(check.Id, check.Days, With(check, news), $"Changed: {news[0].Text}");
    }

    // Booked days stand; people are told of what is new.
    private static CheckDecision.Revise? Join(CheckFact check, WantedCheck want, List<Reason> fresh)
    {
        if (fresh.Count == 0)
            return null;
        var urgency = want.Days.Urgency > check.Days.Urgency ? want.Days.Urgency : check.Days.Urgency;
        return new CheckDecision.Revise(check.Id, check.Days with { Urgency = urgency }, With(check, fresh), $"Also: {fresh[0].Text}");
    }

    private static List<Reason> With(CheckFact check, List<Reason> fresh) =>
        [.. check.Reasons.Where(held => !fresh.Exists(reason => ReasonKey.Of(reason).Replaces(ReasonKey.Of(held)))), .. fresh];

    private static bool StaysForItsRisk(CheckFact check, WantedCheck want, Situation situation) =>
        want.Days.DueOn > check.Days.DueOn && want.Days.Urgency <= check.Days.Urgency
        && want.Reasons.All(reason => reason.Cause is not (Cause.Risk or Cause.ForecastWide))
        && Closing.IsStillAtRisk(check, situation);

    /// <summary>
    /// The days from now on. Days that have passed count as today, so that a check that is due is not moved merely because another day
    /// has passed; what is to be done before the next ride is never put off; what a person postponed gives way to a new cause alone.
    /// Where the day stands, the last day to book and the end of the window still follow what is known now.
    /// </summary>
    private static CheckDays Settle(CheckFact check, CheckDays want, bool newCause, Situation situation)
    {
        var held = check.Days;
        var rises = want.Urgency > held.Urgency;
        if (check.PostponedUntil >= situation.Today && !(rises && newCause))
            return rises ? held : held with { Urgency = want.Urgency };
        var shift = FromToday(want.DueOn, situation.Today) - FromToday(held.DueOn, situation.Today);
        var stands = shift == 0 || (want.Urgency == Urgency.Now && shift > 0) || (!rises && Math.Abs(shift) < situation.Policy.MoveDays);
        return stands ? Hold(check, want, situation) : want;
    }

    // A window that has become longer stays as short as people were told: it grows with the due day alone.
    private static CheckDays Hold(CheckFact check, CheckDays want, Situation situation)
    {
        var held = check.Days;
        var closes = want.ClosesOn > held.DueOn ? want.ClosesOn : held.DueOn;
        return held with
        {
            BookBy = BookBy(check, want, situation),
            ClosesOn = held.ClosesOn.DayNumber - closes.DayNumber >= situation.Policy.MoveDays ? closes : held.ClosesOn,
            Urgency = want.Urgency > held.Urgency ? want.Urgency : held.Urgency,
        };
    }

    // Reckoned from the day that stands, so that a due day which moves by less than a week does not take a whole week of booking with it.
    private static DateOnly BookBy(CheckFact check, CheckDays want, Situation situation)
    {
        var held = check.Days;
        var view = want.BookBy == want.DueOn ? null : situation.Pairings.FirstOrDefault(view => view.Pairing.Id == check.PairingId);
        var bookBy = view is null ? held.DueOn : Booking.LastDay(situation, view, held.DueOn);
        var earlier = held.BookBy > situation.Today ? held.BookBy.DayNumber - bookBy.DayNumber : 0;
        var later = FromToday(bookBy, situation.Today) - FromToday(held.BookBy, situation.Today);
        var moves = Math.Max(earlier, later) >= situation.Policy.MoveDays || (earlier > 0 && want.Urgency > held.Urgency);
        return moves ? bookBy : held.BookBy;
    }

    private static int FromToday(DateOnly day, DateOnly today) => Math.Max(0, day.DayNumber - today.DayNumber);

    private static string Note(CheckFact check, CheckDays days, List<Reason> fresh)
    {
        var why = fresh.Count > 0 ? $" {fresh[0].Text}" : "";
        if (days.DueOn != check.Days.DueOn)
            return $"Due on {Words.Day(days.DueOn)} instead of {Words.Day(check.Days.DueOn)}.{why}";
        if (days.BookBy != check.Days.BookBy)
            return $"Book by {Words.Day(days.BookBy)} instead of {Words.Day(check.Days.BookBy)}.{why}";
        if (days.ClosesOn != check.Days.ClosesOn)
            return $"The window closes on {Words.Day(days.ClosesOn)} instead of {Words.Day(check.Days.ClosesOn)}.{why}";
        if (days.Urgency != check.Days.Urgency)
            return $"More urgent.{why}";
        return fresh.Count > 0 ? $"Also: {fresh[0].Text}" : "A cause is gone.";
    }
}
