using System.Text;
using MimeKit;

namespace BackTracker.Service.Delivery.Mail;

/// <summary>What stands on the outside of a letter.</summary>
/// <param name="Id">Id of the message; its Message-ID is made of it, so that a letter that came twice can be told.</param>
/// <param name="From">Whom it comes from.</param>
/// <param name="To">Whom it goes to.</param>
/// <param name="Date">When it is sent.</param>
/// <param name="ListId">Groups letters about the same things.</param>
/// <param name="EndAtOnce">Where a mail program ends the subscription; none where it cannot.</param>
internal sealed record MailEnvelope(string Id, MailboxAddress From, MailboxAddress To, DateTimeOffset Date, string ListId, IReadOnlyList<MailLink> EndAtOnce);

/// <summary>Puts a letter into MIME: text and HTML side by side, pictures inside the HTML, a calendar entry attached.</summary>
internal static class MailMime
{
    /// <summary>Most bytes of pictures; as base64, with 100 lines and a calendar, a letter stays below 300 KB.</summary>
    public const int MostPictureBytes = 100_000;

    /// <param name="envelope">The outside.</param>
    /// <param name="outline">The inside.</param>
    /// <param name="calendars">Calendar files that go with it, one at most.</param>
    public static MimeMessage Of(MailEnvelope envelope, MailOutline outline, IReadOnlyList<byte[]> calendars)
    {
        var message = new MimeMessage
        {
            MessageId = $"{envelope.Id}@{envelope.From.Domain}",
            Date = envelope.Date,
            Subject = OneLine(outline.Subject),
        };
        message.From.Add(envelope.From);
        message.To.Add(envelope.To);
        message.Headers.Add("Auto-Submitted", "auto-generated");
        message.Headers.Add("List-Id", $"<{envelope.ListId}.{envelope.From.Domain}>");
        foreach (var end in envelope.EndAtOnce)
        {
            message.Headers.Add("List-Unsubscribe", $"<{end.Address}>");
            message.Headers.Add("List-Unsubscribe-Post", "List-Unsubscribe=One-Click");
        }
        message.Body = BodyOf(envelope, outline, calendars);
        return message;
    }

    private static MimeEntity BodyOf(MailEnvelope envelope, MailOutline outline, IReadOnlyList<byte[]> calendars)
    {
        var body = new BodyBuilder { TextBody = MailText.Of(outline) };
        var contentIds = outline.Pictures.Select((_, i) => $"picture{i + 1}.{envelope.Id}@{envelope.From.Domain}").ToList();
        body.HtmlBody = MailHtml.Of(outline, contentIds);
        foreach (var (i, picture) in outline.Pictures.Index())
            body.LinkedResources.Add($"picture{i + 1}.png", picture.Png, new ContentType("image", "png")).ContentId = contentIds[i];
        foreach (var calendar in calendars)
            body.Attachments.Add(Attached(calendar));
        return body.ToMessageBody();
    }

    // The method in the header is that in the file (RFC 6047 2.4).
    private static TextPart Attached(byte[] calendar)
    {
        var part = new TextPart("calendar") { ContentDisposition = new ContentDisposition(ContentDisposition.Attachment) { FileName = "backtracker.ics" } };
        part.SetText(Encoding.UTF8, Encoding.UTF8.GetString(calendar));
        part.ContentType.Parameters.Add("method", "PUBLISH");
        part.ContentType.Name = "backtracker.ics";
        return part;
    }

    // A name may hold a line break; in a header it would begin another header.
    private static string OneLine(string words) => string.Concat(words.Select(letter => char.IsControl(letter) ? ' ' : letter));
}
