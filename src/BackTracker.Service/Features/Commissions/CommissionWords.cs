using System.Globalization;
using BackTracker.Engine.Commissions;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Commissions;

/// <summary>A saddle made to measure in the words of its page.</summary>
internal static class CommissionWords
{
    /// <summary>What can be found of an item, or of the room over the spine.</summary>
    public static IReadOnlyList<(string Value, string Text)> Verdicts { get; } = [("", "Not looked at"), ("pass", "As it should be"), ("alter", "To be altered"), ("fail", "Stop here")];

    /// <summary>"tree trial".</summary>
    public static string Plain<T>(T word) where T : struct, Enum => Words.Write(word).Replace('-', ' ');

    /// <summary>How far the panel has packed down.</summary>
    public static string Settlement(BeddingInAnswer bedding) =>
        bedding.IsSettled ? string.Create(CultureInfo.InvariantCulture, $"Bedded in after {bedding.RiddenHours:0} ridden hours.")
        : bedding.Settlement is { } packed
            ? string.Create(CultureInfo.InvariantCulture, $"{bedding.RiddenHours:0} hours ridden: packed down by {packed.PackedMm:0.#} mm, {packed.StillToComeMm:0.#} mm still to come.")
            : string.Create(CultureInfo.InvariantCulture, $"{bedding.RiddenHours:0} hours ridden. How it packs down is known from three looks at different hours on.");

    /// <summary>When it is to be looked at.</summary>
    public static string Look(BeddingInLookAnswer look) => string.Create(
        CultureInfo.InvariantCulture, $"After {look.RiddenHours:0} hours: {(look.IsDone ? "done" : $"by {Engine.Words.Day(look.ExpectedOn)}{(look.ExpectedOn < look.LatestOn ? $", at the latest {Engine.Words.Day(look.LatestOn)}" : "")}")}");

    /// <summary>What was found on a day.</summary>
    public static string Clearance(ClearanceAnswer seen) => string.Create(
        CultureInfo.InvariantCulture, $"{Engine.Words.Day(seen.On)}, after {seen.RiddenHours:0} hours: {seen.ClearanceMm:0.#} mm, {Found(seen.Verdict)}");

    private static string Found(ItemVerdict verdict) => verdict switch
    {
        ItemVerdict.Pass => "as it should be",
        ItemVerdict.Alter => "to be altered",
        _ => "stop here",
    };
}
