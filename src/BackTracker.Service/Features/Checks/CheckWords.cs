using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.Saddles;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;

namespace BackTracker.Service.Features.Checks;

/// <summary>Checks in the words of people.</summary>
internal static class CheckWords
{
    public static string Name(CheckKind kind) => Engine.Words.Sentence(BoardWords.Name(kind));

    /// <summary>Where it stands, in one sentence.</summary>
    public static string State(CheckModel model) => model.Check switch
    {
        { State: CheckState.Booked, BookedOn: { } on } => $"Booked for {Engine.Words.Day(on)}{With(model.Fitter)}.",
        { State: CheckState.Done, DoneOn: { } on } => $"Done on {Engine.Words.Day(on)}{(model.DoneBy is null ? "" : $" by {model.DoneBy}")}.",
        { State: CheckState.Dropped, DoneOn: { } on } => $"Dropped on {Engine.Words.Day(on)}.",
        var check => $"Open: {When(check, model.Today)}.",
    };

    /// <summary>When an open check is wanted.</summary>
    public static string When(CheckAnswer check, DateOnly today) => check switch
    {
        { Urgency: Urgency.Now } => "before the next ride",
        _ when check.DueOn < today => $"overdue since {Engine.Words.Day(check.DueOn)}",
        { Kind: CheckKind.Remeasure } => $"due {Engine.Words.Day(check.DueOn)}",
        _ => $"due {Engine.Words.Day(check.DueOn)}, {(check.BookBy <= today ? "book now" : $"book by {Engine.Words.Day(check.BookBy)}")}",
    };

    public static string With(string? person) => person is null ? "" : $" with {person}";

    /// <summary>The step and what was said about it.</summary>
    public static string Step(CheckStepAnswer step)
    {
        var done = step.Action switch
        {
            "open" => "Opened",
            "revise" => "Revised",
            "book" => "Booked",
            "move" => "Booking moved",
            "unbook" => "Booking taken back",
            "postpone" => $"Put off to {Engine.Words.Day(step.Days.DueOn)}",
            "complete" => "Done",
            _ => "Dropped",
        };
        return step.Note is null ? $"{done}." : step.Action is "book" or "move" ? $"{done} {PlainDays.In(step.Note)}." : $"{done}: {PlainDays.In(step.Note)}";
    }

    /// <summary>"Flocking: left front +3 mm, right front +3 mm."</summary>
    public static string Altered(AdjustmentAnswer change)
    {
        var zones = ZoneWords.List(change.Zones);
        return $"{Engine.Words.Sentence(Words.Write(change.Kind))}{(zones.Length > 0 ? $": {zones}" : "")}.{(change.Note is null ? "" : $" {change.Note}")}";
    }

    /// <summary>"The girth strap is worn (T13, left)."</summary>
    public static string Found(FindingNote finding)
    {
        var place = string.Join(", ", new[] { finding.Station, finding.Side is { } side ? Words.Write(side) : null }.OfType<string>());
        return place.Length == 0 ? finding.Text : $"{finding.Text} ({place})";
    }

    /// <summary>What this key may not do.</summary>
    public static string NotAllowed(IEnumerable<CheckMove> moves) =>
        $"Your key does not allow {string.Join(" or ", moves.Select(Doing))}: ask whoever runs BackTracker.";

    private static string Doing(CheckMove move) => move switch
    {
        CheckMove.Book => "booking",
        CheckMove.Unbook => "taking the booking back",
        CheckMove.Complete => "recording it as done",
        CheckMove.Postpone => "putting it off",
        _ => "dropping it",
    };
}
