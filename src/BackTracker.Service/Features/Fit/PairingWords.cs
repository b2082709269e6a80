using BackTracker.Engine.Fit;

namespace BackTracker.Service.Features.Fit;

/// <summary>What pages say of a saddle on a horse.</summary>
internal static class PairingWords
{
    /// <summary>Under which heading a finding stands.</summary>
    public static IReadOnlyList<(Severity Severity, string Title)> Titles { get; } =
    [
        (Severity.Out, "Out of tolerance"), (Severity.Watch, "To keep an eye on"), (Severity.Ok, "Within tolerance"), (Severity.Unknown, "Not known"),
    ];

    /// <summary>A finding under such a heading, which says how it stands: without "Within tolerance. " or "Not known: ".</summary>
    public static string WithoutStanding(string text) =>
        text.IndexOf(". ", StringComparison.Ordinal) is var end && end > 0 && end < text.Length - 2 ? text[(end + 2)..] : Engine.Words.Sentence(text["Not known: ".Length..]);

    /// <summary>When it leaves tolerance.</summary>
    public static string Leaves(RiskAnswer overall, DateOnly asOf) => overall.LeavesToleranceOn switch
    {
        { P20: null } => $"Up to {Until(overall)} the chance of leaving tolerance stays under 20 %.",
        { P20: { } early } when early <= asOf => $"The chance that it is out of tolerance somewhere is {Engine.Words.Percent(overall.Days[0].ProbabilityOutBy)} today.",
        { P20: { } early, P50: null } => $"The chance of having left tolerance reaches 20 % on {Engine.Words.Day(early)}, and stays under 50 % up to {Until(overall)}.",
        { P20: { } early, P50: { } likely } => $"The chance of having left tolerance reaches 20 % on {Engine.Words.Day(early)} and 50 % on {Engine.Words.Day(likely)}.",
    };

    private static string Until(RiskAnswer overall) => Engine.Words.Day(overall.Days[^1].Day);
}
