using System.Globalization;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Horses;

/// <summary>A horse in the words of its yard.</summary>
internal static class HorseWords
{
    private const double Normal95 = 1.96;

    /// <summary>"Mare, 7 years, endurance."</summary>
    public static string What(HorseAnswer horse, DateOnly today)
    {
        string?[] parts = [horse.Sex is { } sex ? Words.Write(sex) : null, horse.BornOn is { } born ? Age(born, today) : null, horse.Breed];
        var said = string.Join(", ", parts.Where(part => !string.IsNullOrEmpty(part)));
        return said.Length == 0 ? "" : $"{Engine.Words.Sentence(said)}.";
    }

    /// <summary>"Conditioning since 30 March 2026. Last measured on 20 November 2026."</summary>
    public static string Now(HorseModel model)
    {
        var phase = model.Horse is { Phase: { } now, PhaseFrom: { } from } ? $"{FollowWords.Name(now)} since {Engine.Words.Day(from)}." : "No phase recorded.";
        return $"{phase} {(model.Line.LastMeasuredOn is { } on ? $"Last measured on {Engine.Words.Day(on)}." : "Never measured.")}";
    }

    /// <summary>Why nothing is asked for a horse that is not looked after any more; empty for one that is.</summary>
    public static string Gone(HorseStatus status) => status switch
    {
        HorseStatus.Sold => "Sold: nothing is scheduled for it any more.",
        HorseStatus.Retired => "Retired: nothing is scheduled for it any more.",
        HorseStatus.Died => "It has died. Its records stay.",
        _ => "",
    };

    /// <summary>When a saddle is expected to leave tolerance.</summary>
    public static string Leaves(BoardPairingAnswer state, DateOnly today, int horizonDays) => state switch
    {
        { WorstFinding: null or { Severity: Severity.Unknown } } => "When it will leave tolerance is not known.",
        { WorstFinding.Severity: Severity.Out } => "Out of tolerance now.",
        { LeavesToleranceOn.P50: { } half } when half <= today => "As likely as not out of tolerance already.",
        { LeavesToleranceOn: { P20: { } fifth, P50: { } half } } when fifth <= today => $"One chance in five that it is out of tolerance already, as likely as not by {Engine.Words.Day(half)}.",
        { LeavesToleranceOn: { P20: { } fifth, P50: { } half } } => $"One chance in five that it leaves tolerance by {Engine.Words.Day(fifth)}, as likely as not by {Engine.Words.Day(half)}.",
        { LeavesToleranceOn.P20: { } fifth } when fifth <= today => "One chance in five that it is out of tolerance already.",
        { LeavesToleranceOn.P20: { } fifth } => $"One chance in five that it leaves tolerance by {Engine.Words.Day(fifth)}.",
        _ => $"Not expected to leave tolerance within {Engine.Words.Span(horizonDays)}.",
    };

    /// <summary>Since when a saddle is in use, until when it was, or from when it is to be.</summary>
    public static string Used(HorseSaddle saddle, DateOnly today)
    {
        var (from, to) = (saddle.Pairing.From, saddle.Pairing.To);
        return to is { } end ? $"Used from {Engine.Words.Day(from)} to {Engine.Words.Day(end)}."
            : from > today ? $"To be used from {Engine.Words.Day(from)}."
            : $"In use since {Engine.Words.Day(from)}.{(saddle.State is null ? " Its fit is not assessed." : "")}";
    }

    /// <summary>"Dry patch, right side, at T18, mild".</summary>
    public static string Seen(ObservationAnswer seen)
    {
        string?[] parts =
        [
            Engine.Words.Sentence(HistoryWords.Plain(Words.Write(seen.Kind))),
            seen.Score is { } score ? $"{score} of 24" : null,
            seen.Side is { } side ? $"{Words.Write(side)} side" : null,
            seen.Station is { } station ? $"at {station}" : null,
            seen.Severity is { } severity ? Words.Write(severity) : null,
        ];
        return string.Join(", ", parts.OfType<string>());
    }

    /// <summary>"Cleared by the vet on 3 May 2026."</summary>
    public static string Closed(OutcomeAnswer outcome) =>
        $"{Engine.Words.Sentence(Words.Write(outcome.Outcome))} by the {HistoryWords.Plain(Words.Write(outcome.Role))} on {Engine.Words.Day(outcome.On)}.";

    /// <summary>The sessions of a trend and what was measured after work, newest first: day, value, give or take, and what is to be noticed.</summary>
    public static IEnumerable<(DateOnly Day, string Value, string GiveOrTake, string Notice)> Rows(HorseTrend trend) => trend.Numbers!.Points
        .Select(p => (p.Day, Number(trend, p.Value), Number(trend, Normal95 * p.Se), p.OutlierProbability >= .5 ? "does not go with the others" : ""))
        .Concat(trend.Numbers.AfterWork.Select(a => (a.Day, Number(trend, a.Value), "", "after work, not in the trend")))
        .OrderByDescending(row => row.Day);

    private static string Number(HorseTrend trend, double value) => MetricWords.Number(trend.Metric, value);

    private static string Age(DateOnly born, DateOnly today)
    {
        var months = ((today.Year - born.Year) * 12) + today.Month - born.Month - (today.Day < born.Day ? 1 : 0);
        return months < 24 ? $"{months} months" : string.Create(CultureInfo.InvariantCulture, $"{months / 12} years");
    }
}
