using System.Text;

namespace BackTracker.Service.Delivery.Mail;

/// <summary>Sets a letter as plain text.</summary>
internal static class MailText
{
    public static string Of(MailOutline outline)
    {
        var text = new StringBuilder();
        Line(text, outline.Heading);
        Line(text, new string('=', Math.Min(outline.Heading.Length, 70)));
        Paragraphs(text, outline.Opening);
        foreach (var section in outline.Sections)
            Section(text, section);
        Paragraphs(text, outline.Pictures.Select(picture => $"Picture: {picture.Description}"));
        if (outline.Cautions.Count > 0)
            Line(text, "");
        foreach (var caution in outline.Cautions)
            Line(text, $"- {caution}");
        Paragraphs(text, [.. outline.Closing, .. outline.Links.Select(link => $"{link.Text}: {link.Address}")]);
        return text.ToString();
    }

    private static void Section(StringBuilder text, MailSection section)
    {
        Line(text, "");
        Line(text, section.Tone == MailTone.Stop ? section.Title.ToUpperInvariant() : section.Title);
        foreach (var item in section.Items)
        {
            Line(text, "");
            Line(text, OneLine(item.Who));
            foreach (var more in new[] { item.What, item.When }.Concat(item.Links.Select(link => link.Address)).Where(more => more.Length > 0))
                Line(text, $"  {OneLine(more)}");
        }
    }

    private static void Paragraphs(StringBuilder text, IEnumerable<string> paragraphs)
    {
        foreach (var paragraph in paragraphs)
        {
            Line(text, "");
            Line(text, OneLine(paragraph));
        }
    }

    // A note may hold line breaks; a line that begins at the margin would look like one of ours.
    private static string OneLine(string words) => words.ReplaceLineEndings(" ");

    private static void Line(StringBuilder text, string line) => text.Append(line).Append('\n');
}
