using System.Net;
using System.Text;

namespace BackTracker.Service.Delivery.Mail;

/// <summary>
/// Sets a letter as HTML that mail programs show alike: tables, styles in place, light unless the reader's program is dark, nothing fetched
/// from anywhere, no script.
/// </summary>
internal static class MailHtml
{
    private const string Ink = "#1e2326";
    private const string Soft = "#565e62";
    private const string Green = "#1d5b47";
    private const string Alarm = "#8c2f1b";

    // Only programs that know this query know dark; the others keep the colours in place.
    private const string Dark =
        """
        :root { color-scheme: light dark; supported-color-schemes: light dark; }
        @media (prefers-color-scheme: dark) {
          body, .paper { background: #15191a !important; }
          .ink { color: #e9e7e0 !important; }
          .soft { color: #a9b1b0 !important; }
          .link { color: #8fd0b5 !important; }
          .stop { color: #f3ab97 !important; }
        }
        """;

    /// <summary>The letter; a picture stands where its content id is named.</summary>
    /// <param name="outline">What it says.</param>
    /// <param name="contentIds">Content ids of its pictures, in their order.</param>
    public static string Of(MailOutline outline, IReadOnlyList<string> contentIds)
    {
        var body = new StringBuilder();
        body.Append($"<h1 class=\"ink\" style=\"margin:0 0 8px;font-size:22px;line-height:1.25;color:{Ink}\">{Safe(outline.Heading)}</h1>\n");
        foreach (var paragraph in outline.Opening)
            body.Append(Paragraph(paragraph, "ink", Ink));
        foreach (var section in outline.Sections)
            Section(body, section);
        foreach (var (i, picture) in outline.Pictures.Index())
            body.Append(
                $"<p style=\"margin:24px 0 4px\"><img src=\"cid:{contentIds[i]}\" alt=\"{Safe(picture.Description)}\" width=\"568\" style=\"display:block;width:100%;max-width:568px;height:auto;border:0\"></p>\n"
                + Paragraph(picture.Title, "soft", Soft));
        if (outline.Cautions.Count > 0)
            body.Append($"<ul class=\"soft\" style=\"margin:24px 0 8px;padding:0 0 0 20px;font-size:14px;color:{Soft}\">{string.Concat(outline.Cautions.Select(caution => $"<li>{Safe(caution)}</li>"))}</ul>\n");
        foreach (var paragraph in outline.Closing)
            body.Append(Paragraph(paragraph, "soft", Soft));
        foreach (var link in outline.Links)
            body.Append($"<p style=\"margin:8px 0\">{Link(link)}</p>\n");
        return Page(outline.Subject, body.ToString());
    }

    private static void Section(StringBuilder body, MailSection section)
    {
        var (css, colour, mark) = section.Tone == MailTone.Stop ? ("stop", Alarm, "&#9632; ") : ("ink", Ink, "");
        body.Append($"<h2 class=\"{css}\" style=\"margin:24px 0 4px;font-size:17px;color:{colour}\">{mark}{Safe(section.Title)}</h2>\n");
        body.Append("<table role=\"presentation\" width=\"100%\" cellpadding=\"0\" cellspacing=\"0\" border=\"0\">\n");
        foreach (var item in section.Items)
            body.Append(
                $"<tr><td class=\"ink\" style=\"padding:8px 0;border-bottom:1px solid #b9b6ac;color:{Ink}\"><b>{Safe(item.Who)}</b><br>{Safe(item.What)}"
                + (item.When.Length > 0 ? $"<br>{Safe(item.When)}" : "")
                + string.Concat(item.Links.Select(link => $"<br>{Link(link)}")) + "</td></tr>\n");
        body.Append("</table>\n");
    }

    private static string Page(string title, string body) =>
        $"""
        <!DOCTYPE html>
        <html lang="en-GB">
        <head>
        <meta charset="utf-8">
        <meta name="viewport" content="width=device-width, initial-scale=1">
        <meta name="color-scheme" content="light dark">
        <title>{Safe(title)}</title>
        <style>
        {Dark}
        </style>
        </head>
        <body style="margin:0;padding:0;background:#fbfaf6">
        <table role="presentation" class="paper" width="100%" cellpadding="0" cellspacing="0" border="0" style="background:#fbfaf6"><tr><td align="center" style="padding:16px">
        <table role="presentation" width="100%" cellpadding="0" cellspacing="0" border="0" style="max-width:600px;text-align:left;font:16px/1.5 Arial,Helvetica,sans-serif"><tr><td>
        {body}</td></tr></table>
        </td></tr></table>
        </body>
        </html>

        """;

    private static string Paragraph(string words, string css, string colour) => $"<p class=\"{css}\" style=\"margin:8px 0;color:{colour}\">{Safe(words)}</p>\n";

    private static string Link(MailLink link) => $"<a class=\"link\" href=\"{Safe(link.Address)}\" style=\"color:{Green}\">{Safe(link.Text)}</a>";

    private static string Safe(string words) => WebUtility.HtmlEncode(words);
}
