namespace BackTracker.Service.Features.People;

/// <summary>Mail addresses as people write them.</summary>
internal static class MailAddress
{
    public const string Hint = "Write a mail address as name@example.org.";

    /// <summary>Whether a text can be a mail address. Whether the mailbox exists only a message to it can tell; this catches slips of the pen.</summary>
    public static bool IsOne(string text) =>
        text.Split('@') is [{ Length: >= 1 and <= 64 }, var domain]
        && domain.Split('.') is { Length: >= 2 } labels && labels.All(l => l.Length > 0)
        && !text.Any(c => char.IsWhiteSpace(c) || c is ',' or ';' or '<' or '>' or '"');
}
