using BackTracker.Engine.Checks;
using BackTracker.Service.Delivery.Mail;
using BackTracker.Service.Pictures;
using BackTracker.Service.Tests.Harness;
using Microsoft.Extensions.Logging.Abstractions;
using MimeKit;
using SkiaSharp;

namespace BackTracker.Service.Tests.Delivery;

/// <summary>Letters as they arrive, read back by a parser that had no part in sending them.</summary>
public sealed class LetterTests
{
    [Fact]
    public async Task Letter_saysTheSameInTextAndInHtml_andShowsTheTreeOverTheBack()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings);
        await yard.Yard.MeasureAsync(332);

        var id = await yard.WriteAsync();
        await yard.WaitSentAsync(id);

        var letter = Assert.Single(office.Letters);
        Assert.Equal("Before the next ride: Bramble", letter.Subject);
        Assert.Equal(("BackTracker Größe", "alerts@larkfield.test"), (letter.From.Mailboxes.Single().Name, letter.From.Mailboxes.Single().Address));
        Assert.Equal(yard.Service.Clock.GetUtcNow(), letter.Date);
        Assert.Equal("auto-generated", letter.Headers["Auto-Submitted"]);
        foreach (var words in new[] { "Bramble, Bramble's saddle", "The tree is 12 mm narrow at T13.", "Book now.", "https://horses.test/checks/0199f6c2-0000-7000-8000-000000000002", Cautions.ForFit[0] })
        {
            Assert.Contains(words, letter.TextBody, StringComparison.Ordinal);
            Assert.Contains(words, System.Net.WebUtility.HtmlDecode(letter.HtmlBody), StringComparison.Ordinal);
        }
        var picture = Assert.Single(letter.BodyParts.OfType<MimePart>(), part => part.ContentType.MimeType == "image/png");
        Assert.Contains($"src=\"cid:{picture.ContentId}\"", letter.HtmlBody, StringComparison.Ordinal);
        Assert.Contains("alt=\"Width of the back of Bramble at T13", letter.HtmlBody, StringComparison.Ordinal);
        AssertDrawn(picture);
        Assert.InRange(office.Taken[0].Length, 10_000, 300_000);
    }

    [Fact]
    public async Task Letter_aboutRisk_showsTheTrend()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings);
        await yard.Yard.MeasureAsync(318);

        var line = yard.Line("It leaves tolerance about 3 March 2027.") with { Cause = Cause.Risk, Urgency = Urgency.Soon };
        await yard.WaitSentAsync(await yard.WriteAsync(yard.Letter() with { Lines = [line] }, occasion: "digest"));

        var letter = Assert.Single(office.Letters);
        Assert.Contains("alt=\"Width at T13, 150 mm down of Bramble, measured once.", letter.HtmlBody, StringComparison.Ordinal);
        AssertDrawn(Assert.Single(letter.BodyParts.OfType<MimePart>(), part => part.ContentType.MimeType == "image/png"));
    }

    [Fact]
    public async Task Letter_withoutAFontToDrawIn_saysSo_andGoesWithoutThePicture()
    {
        await using var yard = await MailYard.SettleAsync(new());
        await yard.Yard.MeasureAsync(332);
        var fontless = new LetterPictures(yard.Service.Database, yard.Service.Clock, new(), new PictureFont([]), NullLogger<LetterPictures>.Instance);

        var drawn = await fontless.OfAsync(yard.Letter(), yard.Yard.YardId, TestContext.Current.CancellationToken);

        Assert.Empty(drawn.Pictures);
        var outline = LetterOutline.Of(yard.Letter(), yard.Yard.YardId, drawn, new(null, ""));
        Assert.Contains("Pictures are left out: no font", MailText.Of(outline), StringComparison.Ordinal);
        Assert.DoesNotContain("<img", MailHtml.Of(outline, []), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Letter_aboutAHorseThatLeftTheYard_goesWithoutItsPicture()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings);
        await yard.Yard.MeasureAsync(332);
        var valley = await yard.Service.YardAsync("Valley");
        await yard.Service.Admin.PostAsync($"/v1/horses/{yard.Yard.HorseId}/moves", new { on = "2026-11-25", toYardId = valley });

        await yard.WaitSentAsync(await yard.WriteAsync());

        Assert.DoesNotContain(Assert.Single(office.Letters).BodyParts, part => part.ContentType.MediaType == "image");
    }

    [Theory]
    [InlineData("Bramble\r\nBcc: everybody@larkfield.test")]
    [InlineData("Bramble\nX-Evil: 1\n\nHello")]
    public async Task Name_withALineBreak_makesNoHeader(string name)
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings);

        await yard.WaitSentAsync(await yard.WriteAsync(yard.Letter() with { Lines = [yard.Line() with { HorseName = name }] }));

        var letter = Assert.Single(office.Letters);
        Assert.Empty(letter.Bcc);
        Assert.Null(letter.Headers["X-Evil"]);
        Assert.Contains("Bramble", letter.Subject, StringComparison.Ordinal);
        Assert.Single(letter.To.Mailboxes);
    }

    [Fact]
    public async Task Name_withMarkup_staysWords()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings);

        await yard.WaitSentAsync(await yard.WriteAsync(yard.Letter("<script>alert(1)</script> & more") with { YardName = "<b>Larkfield</b>" }));

        var html = Assert.Single(office.Letters).HtmlBody!;
        Assert.DoesNotContain("<script", html, StringComparison.Ordinal);
        Assert.Contains("&lt;b&gt;Larkfield&lt;/b&gt;", html, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Letter_fetchesNothing()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings);
        await yard.Yard.MeasureAsync(332);

        await yard.WaitSentAsync(await yard.WriteAsync());

        var html = Assert.Single(office.Letters).HtmlBody!;
        foreach (var fetching in new[] { "src=\"http", "url(", "<link", "<script", "@import", "background=" })
            Assert.DoesNotContain(fetching, html, StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public async Task Letter_withVeryManyLines_staysSmall_andSaysWhatIsLeftOut()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings);
        await yard.Yard.MeasureAsync(332);
        var text = string.Concat(Enumerable.Repeat("Es fehlt ein Stück über der Größe. ", 10));

        await yard.WaitSentAsync(await yard.WriteAsync(yard.Letter() with { Lines = [.. Enumerable.Range(0, 400).Select(i => yard.Line(text) with { HorseId = i < 3 ? yard.Yard.HorseId : $"{i}", PairingId = null })] }));

        Assert.InRange(Assert.Single(office.Taken).Length, 50_000, 300_000);
        Assert.Contains("The 100 most urgent of 400 are given here; the board has them all.", office.Letters[0].TextBody, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Letter_withoutAPublicAddress_holdsNoLink()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(new() { Mail = office.Mail });

        await yard.WaitSentAsync(await yard.WriteAsync());

        var letter = Assert.Single(office.Letters);
        Assert.DoesNotContain("href", letter.HtmlBody, StringComparison.Ordinal);
        Assert.DoesNotContain("http", letter.TextBody, StringComparison.Ordinal);
        Assert.Null(letter.Headers[HeaderId.ListUnsubscribe]);
        Assert.Contains("ask whoever runs BackTracker", letter.TextBody, StringComparison.Ordinal);
    }

    [Fact]
    public void Pictures_areDrawnWhereTheMachineHasAFont() => Assert.True(PictureFont.Installed.TryGet(out _), "Install fonts-dejavu-core, or one of the fonts PictureFont names.");

    // The strip at the top holds words only: ink in it is words that were written.
    private static void AssertDrawn(MimePart part)
    {
        using var content = new MemoryStream();
        part.Content!.DecodeTo(content, TestContext.Current.CancellationToken);
        using var picture = SKBitmap.Decode(content.ToArray());
        Assert.Equal(2 * 568, picture.Width);
        Assert.InRange(picture.Height, 300, 1600);
        Assert.InRange(Dark(picture, 0, picture.Height), 2000, picture.Width * picture.Height / 3);
        Assert.InRange(Dark(picture, 0, 40), 200, 20_000);
    }

    private static int Dark(SKBitmap picture, int top, int bottom) =>
        (from y in Enumerable.Range(top, bottom - top) from x in Enumerable.Range(0, picture.Width) where picture.GetPixel(x, y).Red < 100 select 1).Count();
}
