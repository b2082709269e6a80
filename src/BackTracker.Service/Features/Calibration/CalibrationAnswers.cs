using BackTracker.Engine.Assessments;
using BackTracker.Engine.Calibration;
using BackTracker.Engine.Trends;

namespace BackTracker.Service.Features.Calibration;

/// <summary>How past forecasts did.</summary>
/// <param name="AsOf">The day known.</param>
/// <param name="EngineVersion">Version of the rules that made them again.</param>
/// <param name="ModelVersion">Version of the trend model and its priors.</param>
/// <param name="Horses">Horses with a forecast that was followed by a session.</param>
/// <param name="Text">How sure the forecasts of the next session were, in words.</param>
/// <param name="Items">All metrics together first, then each; at each the next session first, then near to far.</param>
public sealed record CalibrationAnswer(
    DateOnly AsOf, string EngineVersion, string ModelVersion, int Horses, string Text, IReadOnlyList<CalibrationRowAnswer> Items)
{
    private const string NothingYet = "No forecast can be held against a measurement yet: it takes four sessions of one metric.";

    public static CalibrationAnswer Of(CalibrationTally tally, DateOnly asOf, TrendModel model)
    {
        var rows = tally.Rows;
        return new(
            asOf, HorseAssessment.EngineVersion, model.Version, tally.Horses, rows.Count == 0 ? NothingYet : CalibrationWords.Cover(rows[0]),
            [.. rows.Select(CalibrationRowAnswer.Of)]);
    }
}

/// <summary>How the forecasts of one metric, or of all together, did at a horizon.</summary>
/// <param name="Metric">For example T13.width150; absent for all metrics together.</param>
/// <param name="Unit">Unit of the errors; absent for all metrics together.</param>
/// <param name="Horizon">How far ahead: the next session, or up to four, eight, twelve or twenty-six weeks, each without the nearer ones.</param>
/// <param name="Forecasts">How many forecasts.</param>
/// <param name="Sessions">Of how many sessions: metrics of one session go together.</param>
/// <param name="Horses">Of how many horses.</param>
/// <param name="Covers">Share of values inside the bands that were to hold 50, 80 and 95 %.</param>
/// <param name="Bias">Mean of forecast less measured; absent for all metrics together.</param>
/// <param name="RootMeanSquare">Root mean square of forecast less measured; absent for all metrics together.</param>
/// <param name="PitCounts">Forecasts by tenth of the probability given to a value at or below the one measured.</param>
/// <param name="PitChiSquare">Chi-square of those counts against even ones, 9 degrees of freedom.</param>
/// <param name="Text">In words.</param>
public sealed record CalibrationRowAnswer(
    string? Metric, string? Unit, Horizon Horizon, int Forecasts, int Sessions, int Horses, BandCovers Covers, double? Bias, ForecastErrors? RootMeanSquare,
    IReadOnlyList<int> PitCounts, double PitChiSquare, string Text)
{
    public static CalibrationRowAnswer Of(CalibrationRow row) => new(
        row.Metric?.ToString(), row.Metric?.Unit, row.Horizon, row.Forecasts, row.Sessions, row.Horses, row.Covers,
        row.Metric is null ? null : row.Bias, row.Metric is null ? null : row.RootMeanSquare, row.PitCounts, row.PitChiSquare,
        row.Metric is null ? CalibrationWords.Cover(row) : $"{CalibrationWords.Cover(row)} {CalibrationWords.Accuracy(row)}");
}
