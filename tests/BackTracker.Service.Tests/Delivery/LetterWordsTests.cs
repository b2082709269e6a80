using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Service.Delivery;
using BackTracker.Service.Delivery.Mail;

namespace BackTracker.Service.Tests.Delivery;

public sealed class LetterWordsTests
{
    private static readonly DateOnly Today = new(2026, 11, 25);

    public static TheoryData<string, Letter> Subjects() => new()
    {
        { "Stop, vet first: Bramble", Of(Line("Sorrel", AlertNews.Raised, Urgency.Now, Cause.OutNow), Line("Bramble", AlertNews.Raised, Urgency.Now, Cause.VetFirst)) },
        { "Before the next ride: Bramble and Sorrel", Of(Line("Bramble", AlertNews.Raised, Urgency.Now, Cause.OutNow), Line("Bramble", AlertNews.Raised, Urgency.Now, Cause.SaddleSign), Line("Sorrel", AlertNews.Overdue, Urgency.Now, Cause.OutNow)) },
        { "Before the next ride: A, B and 2 more", Of([.. "ABCD".Select(name => Line($"{name}", AlertNews.Raised, Urgency.Now, Cause.OutNow))]) },
        { "Larkfield: 1 settled", Of(Line("Bramble", AlertNews.Settled, Urgency.Now, Cause.VetFirst)) },
        { "Larkfield: 3 new, 1 overdue, 1 settled", Of(Line("A"), Line("B"), Line("C"), Line("D", AlertNews.Overdue), Line("E", AlertNews.Settled)) },
        { "Larkfield: 2 booked, 1 changed", Of(Line("A", AlertNews.Changed)) with { Visits = [Visit("A"), Visit("B")] } },
        { "Stop, vet first: Sorrel", Of() with { Visits = [Visit("Bramble"), Visit("Sorrel") with { IsVetFirst = true }] } },
    };

    [Theory]
    [MemberData(nameof(Subjects))]
    public void Subject_namesTheUrgent_andCountsTheRest(string subject, Letter letter) => Assert.Equal(subject, LetterWords.Subject(letter));

    public static TheoryData<string, LetterLine> Days() => new()
    {
        { "Booked for Thursday 3 December 2026.", Line("A") with { BookedOn = new(2026, 12, 3), DueOn = Today, BookBy = Today } },
        { "Due Wednesday 30 December 2026, book by Thursday 26 November 2026.", Line("A") with { DueOn = new(2026, 12, 30), BookBy = new(2026, 11, 26) } },
        { "Due Wednesday 30 December 2026: book now.", Line("A") with { DueOn = new(2026, 12, 30), BookBy = Today } },
        { "Due Wednesday 25 November 2026.", Line("A") with { DueOn = Today } },
        { "Due Wednesday 30 December 2026.", Line("A") with { DueOn = new(2026, 12, 30), BookBy = new(2026, 12, 30) } },
        { "Overdue since Wednesday 25 November 2026.", Line("A") with { DueOn = Today.AddDays(-1) } },
        { "Overdue since Wednesday 25 November 2026. Book now.", Line("A") with { DueOn = Today.AddDays(-1), BookBy = Today.AddDays(-9) } },
        { "Book now.", Line("A", urgency: Urgency.Now) with { DueOn = Today, BookBy = Today } },
        { "Measure now.", Line("A", urgency: Urgency.Now) with { Kind = CheckKind.Remeasure, DueOn = Today, BookBy = Today } },
        { "Call the vet.", Line("A", urgency: Urgency.Now, cause: Cause.VetFirst) with { DueOn = Today } },
        { "", Line("A", AlertNews.Settled) with { DueOn = Today, BookedOn = Today } },
        { "", Line("A") },
    };

    [Theory]
    [MemberData(nameof(Days))]
    public void When_saysWhoHasToDoWhatByWhen(string words, LetterLine line) => Assert.Equal(words, LetterWords.When(line, Today));

    [Fact]
    public void Outline_putsTheUrgentFirst_andKeepsTheCautionsThatHold()
    {
        var letter = Of(Line("A", AlertNews.Settled), Line("B"), Line("C", AlertNews.Raised, Urgency.Now, Cause.VetFirst));

        var outline = LetterOutline.Of(letter, "yard", LetterPictureSet.None, new(null, ""));

        Assert.Equal(["Stop, vet first", "New", "Settled"], outline.Sections.Select(section => section.Title));
        Assert.Equal(MailTone.Stop, outline.Sections[0].Tone);
        Assert.Equal([.. Cautions.VetFirst, .. Cautions.ForFit], outline.Cautions);
        Assert.Empty(LetterOutline.Of(Of(Line("B")), "yard", LetterPictureSet.None, new(null, "")).Cautions);
    }

    [Fact]
    public void Week_saysWhoIsSeenWhen()
    {
        var outline = LetterOutline.Of(Of() with { Visits = [Visit("Sorrel") with { On = new(2026, 12, 2) }, Visit("Bramble")] }, "yard", LetterPictureSet.None, new(null, ""));

        Assert.Equal(
            [("Bramble", "Fit check: A year since the last one.", "Tuesday 1 December 2026."), ("Sorrel", "Fit check: A year since the last one.", "Wednesday 2 December 2026.")],
            Assert.Single(outline.Sections).Items.Select(item => (item.Who, item.What, item.When)));
    }

    [Fact]
    public void Week_withAHorseThatAVetMustSeeFirst_saysSoAndCautions()
    {
        var outline = LetterOutline.Of(Of() with { Visits = [Visit("Sorrel") with { IsVetFirst = true }, Visit("Bramble")] }, "yard", LetterPictureSet.None, new(null, ""));

        Assert.Equal(
            ["Stop, vet first: do not use the saddle. Fit check: A year since the last one.", "Fit check: A year since the last one."],
            Assert.Single(outline.Sections).Items.Select(item => item.What));
        Assert.Equal([.. Cautions.VetFirst, .. Cautions.ForFit], outline.Cautions);
        Assert.Equal(Cautions.ForFit, LetterOutline.Of(Of() with { Visits = [Visit("Bramble")] }, "yard", LetterPictureSet.None, new(null, "")).Cautions);
    }

    private static Letter Of(params LetterLine[] lines) => new("Larkfield", Today, lines, []);

    private static LetterLine Line(string horse, AlertNews news = AlertNews.Raised, Urgency urgency = Urgency.Soon, Cause cause = Cause.MeasurementAge) =>
        new("alert", news, urgency, cause, horse, horse, null, null, null, CheckKind.Fit, "Words.", null, null, null);

    private static LetterVisit Visit(string horse) => new(new(2026, 12, 1), horse, CheckKind.Fit, "check", "A year since the last one.", false);
}
