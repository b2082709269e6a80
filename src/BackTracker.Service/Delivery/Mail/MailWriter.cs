using BackTracker.Service.Features.Alerts;
using BackTracker.Service.Features.Subscriptions;
using BackTracker.Service.Hosting;
using BackTracker.Service.Http;
using BackTracker.Storage.Messages;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Subscriptions;
using MimeKit;

namespace BackTracker.Service.Delivery.Mail;

/// <summary>Makes a mail of a stored letter.</summary>
internal sealed class MailWriter(Database database, TimeProvider clock, MailSettings settings, PageSettings pages, LetterPictures pictures, LetterCalendar calendar, EndWord endWord)
{
    /// <summary>Writes it.</summary>
    public async Task<MimeMessage> WriteAsync(MessageRow row, SubscriptionRow to, IReadOnlyList<LeftOut> leftOut, CancellationToken cancel)
    {
        var links = new MailLinks(pages.Place, endWord.Of(to.Id));
        return row.Occasion == ConfirmBody.Occasion
            ? MailMime.Of(Envelope(row, to, []), LetterOutline.Confirm(await YardsAsync(to, cancel), Json.ReadStored<ConfirmBody>(row.Body).Link, ConfirmBody.WorksForDays, links), [])
            : await LetterAsync(row, LetterFate.Without(Json.ReadStored<Letter>(row.Body), leftOut), to, links, cancel);
    }

    private async Task<MimeMessage> LetterAsync(MessageRow row, Letter letter, SubscriptionRow to, MailLinks links, CancellationToken cancel)
    {
        var drawn = await pictures.OfAsync(letter, row.YardId!, cancel);
        return MailMime.Of(Envelope(row, to, links.EndAtOnce), LetterOutline.Of(letter, row.YardId!, drawn, links), await calendar.OfAsync(letter, row.YardId!, cancel));
    }

    private MailEnvelope Envelope(MessageRow row, SubscriptionRow to, IReadOnlyList<MailLink> endAtOnce) =>
        new(row.Id, settings.Sender, MailboxAddress.Parse(to.Email!), clock.GetUtcNow(), row.YardId ?? "addresses", endAtOnce);

    private async Task<IReadOnlyList<string>> YardsAsync(SubscriptionRow to, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        return await ToldYards.OfAsync(session, to);
    }
}

/// <summary>What is stored of a letter that asks for the confirmation of an address.</summary>
/// <param name="Link">Path of the page that confirms, its word in it.</param>
internal sealed record ConfirmBody(string Link)
{
    public const string Occasion = "confirm";
    public const int WorksForDays = 7;
}
