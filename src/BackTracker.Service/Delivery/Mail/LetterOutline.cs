using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;

namespace BackTracker.Service.Delivery.Mail;

/// <summary>Orders what a letter says.</summary>
internal static class LetterOutline
{
    /// <summary>Lines a letter holds at most; nobody reads more, and mail servers refuse what is too large.</summary>
    public const int MostLines = 100;

    /// <summary>A letter about a yard.</summary>
    /// <param name="letter">What it is to say.</param>
    /// <param name="yardId">The yard.</param>
    /// <param name="pictures">What goes with it.</param>
    /// <param name="links">Where to go on from it.</param>
    public static MailOutline Of(Letter letter, string yardId, LetterPictureSet pictures, MailLinks links)
    {
        var shown = letter.Lines.OrderBy(LetterWords.Rank).Take(MostLines).ToList();
        return new MailOutline(
            LetterWords.Subject(letter), $"{letter.YardName}, {LetterWords.LongDay(letter.On)}", Opening(letter, shown.Count, pictures),
            [.. VisitsOf(letter, links), .. shown.GroupBy(LetterWords.Title).Select(section => SectionOf(section, letter.On, links))],
            pictures.Pictures, CautionsOf(letter),
            [
                $"BackTracker sends this because this address is subscribed to {letter.YardName}.",
                .. links.End.Count > 0 ? Array.Empty<string>() : ["To end these letters, ask whoever runs BackTracker."],
            ],
            [.. links.To($"Board of {letter.YardName}", $"/yards/{yardId}"), .. links.End]);
    }

    /// <summary>The letter that asks whether an address is its owner's.</summary>
    /// <param name="yards">The yards it is to hear of.</param>
    /// <param name="path">Path of the page that confirms.</param>
    /// <param name="days">How long that page works.</param>
    /// <param name="links">Where pages are.</param>
    public static MailOutline Confirm(IReadOnlyList<string> yards, string path, int days, MailLinks links)
    {
        var link = links.To("Confirm this address", path);
        return new MailOutline(
            "Confirm your address", "Confirm your address",
            [
                $"Somebody asked BackTracker to send letters about {string.Join(", ", yards)} to this address: what to do about horses' backs and saddles, and when.",
                $"To get them, open {(link.Count > 0 ? "the page below" : $"this page at the address of BackTracker: {path}")} and press its button. It works for {days} days.",
                "If it was not you, do nothing: nothing more is sent.",
            ],
            [], [], [], [], link);
    }

    private static List<string> Opening(Letter letter, int shown, LetterPictureSet pictures)
    {
        var counts = Engine.Words.Sentence(LetterWords.Counts(letter));
        var opening = new List<string> { $"{counts}." };
        if (shown < letter.Lines.Count)
            opening.Add($"The {shown} most urgent of {letter.Lines.Count} are given here; the board has them all.");
        if (pictures.Note.Length > 0)
            opening.Add(pictures.Note);
        return opening;
    }

    private static IEnumerable<MailSection> VisitsOf(Letter letter, MailLinks links) => letter.Visits.Count == 0 ? [] :
    [
        new MailSection("Booked", MailTone.Plain,
        [
            .. letter.Visits.OrderBy(visit => visit.On).Take(MostLines).Select(visit => new MailItem(
                visit.HorseName, LetterWords.What(visit), $"{LetterWords.LongDay(visit.On)}.", links.To("Open the check", $"/checks/{visit.CheckId}"))),
        ]),
    ];

    private static MailSection SectionOf(IGrouping<string, LetterLine> lines, DateOnly today, MailLinks links) => new(
        lines.Key, LetterWords.ToneOf(lines.Key),
        [.. lines.Select(line => new MailItem(LetterWords.Who(line), line.Text, LetterWords.When(line, today), LinkOf(line, links)))]);

    private static IReadOnlyList<MailLink> LinkOf(LetterLine line, MailLinks links) => line.CheckId is { } check
        ? links.To("Open the check", $"/checks/{check}")
        : line.CommissionId is { } commission ? links.To("Open the saddle being made", $"/commissions/{commission}")
        : links.To($"Open {line.HorseName}", $"/horses/{line.HorseId}");

    private static List<string> CautionsOf(Letter letter)
    {
        var cautions = new List<string>();
        if (letter.Lines.Any(line => line is { Cause: Cause.VetFirst, News: not AlertNews.Settled }) || letter.Visits.Any(visit => visit.IsVetFirst))
            cautions.AddRange(Cautions.VetFirst);
        if (letter.Lines.Any(line => line.PairingId is not null || line.CommissionId is not null || line.Cause is Cause.VetFirst or Cause.SaddleSign)
            || letter.Visits.Any(visit => visit.IsVetFirst || visit.Kind != CheckKind.Remeasure))
            cautions.AddRange(Cautions.ForFit);
        return cautions;
    }
}
