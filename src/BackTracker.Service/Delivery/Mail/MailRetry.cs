namespace BackTracker.Service.Delivery.Mail;

/// <summary>When a letter that could not be sent is tried again.</summary>
internal static class MailRetry
{
    private static readonly TimeSpan[] Waits =
    [
        TimeSpan.FromMinutes(1), TimeSpan.FromMinutes(5), TimeSpan.FromMinutes(30), TimeSpan.FromHours(2), TimeSpan.FromHours(6), TimeSpan.FromHours(12),
    ];

    /// <summary>How long a letter is tried before it is parked.</summary>
    public static readonly TimeSpan GiveUpAfter = TimeSpan.FromDays(3);

    /// <summary>When to try again; false where the letter is too old for that.</summary>
    /// <param name="writtenAt">When it was written.</param>
    /// <param name="tries">How often it was tried, this time counted.</param>
    /// <param name="now">Now.</param>
    /// <param name="next">When to try again: the last time when it is just three days old.</param>
    public static bool TryPlan(DateTimeOffset writtenAt, long tries, DateTimeOffset now, out DateTimeOffset next)
    {
        var end = writtenAt + GiveUpAfter;
        next = now + Waits[(int)Math.Min(tries, Waits.Length) - 1];
        if (next > end)
            next = end;
        return now < end;
    }
}
