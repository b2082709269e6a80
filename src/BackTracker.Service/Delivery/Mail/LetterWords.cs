using System.Globalization;
using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Checks;

namespace BackTracker.Service.Delivery.Mail;

/// <summary>A letter in the words of a yard.</summary>
internal static class LetterWords
{
    private const int NamedHorses = 3;
    private static readonly string[] Titles = ["Stop, vet first", "Before the next ride", "Overdue", "New", "Changed", "Settled"];

    /// <summary>The subject: what is urgent names the horses, the rest is counted.</summary>
    public static string Subject(Letter letter)
    {
        var alive = letter.Lines.Where(line => line.News != AlertNews.Settled).ToList();
        var stop = alive.Where(line => line.Cause == Cause.VetFirst).Select(line => line.HorseName)
            .Concat(letter.Visits.Where(visit => visit.IsVetFirst).Select(visit => visit.HorseName)).ToList();
        var now = alive.Where(line => line.Urgency == Urgency.Now).Select(line => line.HorseName).ToList();
        return stop.Count > 0 ? $"Stop, vet first: {Horses(stop)}"
            : now.Count > 0 ? $"Before the next ride: {Horses(now)}"
            : $"{letter.YardName}: {Counts(letter)}";
    }

    /// <summary>"3 new, 1 overdue, 1 settled"; for a week what is booked goes first.</summary>
    public static string Counts(Letter letter)
    {
        var counts = new List<string>();
        if (letter.Visits.Count > 0)
            counts.Add($"{letter.Visits.Count} booked");
        foreach (var (news, word) in new[] { (AlertNews.Raised, "new"), (AlertNews.Changed, "changed"), (AlertNews.Overdue, "overdue"), (AlertNews.Settled, "settled") })
            if (letter.Lines.Count(line => line.News == news) is > 0 and var count)
                counts.Add($"{count} {word}");
        return string.Join(", ", counts);
    }

    /// <summary>What the line stands under.</summary>
    public static string Title(LetterLine line) => line switch
    {
        { News: AlertNews.Settled } => "Settled",
        { Cause: Cause.VetFirst } => "Stop, vet first",
        { Urgency: Urgency.Now } => "Before the next ride",
        { News: AlertNews.Overdue } => "Overdue",
        { News: AlertNews.Changed } => "Changed",
        _ => "New",
    };

    /// <summary>The place of the line among the others: titles stand in this order.</summary>
    public static int Rank(LetterLine line) => Array.IndexOf(Titles, Title(line));

    /// <summary>How a title stands out.</summary>
    public static MailTone ToneOf(string title) => title is "Stop, vet first" or "Before the next ride" ? MailTone.Stop : MailTone.Plain;

    /// <summary>"Bramble, brown trail saddle".</summary>
    public static string Who(LetterLine line) => line.SaddleLabel is { } saddle ? $"{line.HorseName}, {saddle}" : line.HorseName;

    /// <summary>When somebody comes, or has to. Where the last day to book is the day itself, the yard does it and nobody is booked.</summary>
    public static string When(LetterLine line, DateOnly today) => line switch
    {
        { News: AlertNews.Settled } => "",
        { BookedOn: { } on } => $"Booked for {LongDay(on)}.",
        { Cause: Cause.VetFirst } => "Call the vet.",
        { DueOn: null } => "",
        { Urgency: Urgency.Now } => line.BookBy is null ? "" : line.Kind == CheckKind.Remeasure ? "Measure now." : "Book now.",
        { DueOn: { } due } when due < today => $"Overdue since {LongDay(due.AddDays(1))}.{(line.BookBy < due ? " Book now." : "")}",
        { DueOn: { } due, BookBy: { } by } when by < due => by <= today ? $"Due {LongDay(due)}: book now." : $"Due {LongDay(due)}, book by {LongDay(by)}.",
        { DueOn: { } due } => $"Due {LongDay(due)}.",
    };

    /// <summary>What a booked visit is for; a horse that a vet must see first is marked.</summary>
    public static string What(LetterVisit visit) => $"{(visit.IsVetFirst ? "Stop, vet first: do not use the saddle. " : "")}{CheckWords.Name(visit.Kind)}: {visit.Text}";

    /// <summary>"Wednesday 25 November 2026".</summary>
    public static string LongDay(DateOnly day) => day.ToString("dddd d MMMM yyyy", CultureInfo.InvariantCulture);

    private static string Horses(IEnumerable<string> horses)
    {
        var names = horses.Distinct().ToList();
        return names.Count switch
        {
            1 => names[0],
            <= NamedHorses => $"{string.Join(", ", names[..^1])} and {names[^1]}",
            _ => $"{string.Join(", ", names[..(NamedHorses - 1)])} and {names.Count - NamedHorses + 1} more",
        };
    }
}
