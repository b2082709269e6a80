using System.Text.Json.Nodes;
using BackTracker.Engine.Trends;

namespace BackTracker.Service.Evaluation;

/// <summary>Kind `robust-trend`: one run of the robust filter with static states, surprises and dated events.</summary>
internal static class RobustTrendCase
{
    private static readonly string[] StateNames = ["level", "rate", "condition bias", "season cos", "season sin"];

    public static JsonNode Evaluate(JsonNode caseFile)
    {
        var input = CaseReader.Input(caseFile);
        var settings = Settings(input, input.NonNegative("stationaryRateSd"), Tau(input));
        var observations = Observations(input, 0);
        var pass = RobustFilter.Run(settings, observations, Changes(input));
        return new JsonObject
        {
            ["logLikelihood"] = pass.LogLikelihood,
            ["state"] = CaseReader.ToArray(pass.State),
            ["cov"] = Covariances(pass),
            ["stateOrder"] = string.Join(", ", StateNames.Take(pass.State.Count)),
            ["forecast"] = Forecasts(input, pass, observations),
        };
    }

    internal static RobustSettings Settings(JsonNode input, double rateSd, double tauDays)
    {
        var flat = input.OptionalFlag("flatLevelPrior");
        return new RobustSettings
        {
            DrivingVar = 2 * rateSd * rateSd / tauDays,
            RateVar = rateSd * rateSd,
            TauDays = tauDays,
            LevelNoise = input.OptionalNumber("levelNoise") ?? 0,
            LevelMean = flat ? 0 : input.Number("priorLevelMean"),
            LevelVar = flat ? double.PositiveInfinity : input.NonNegative("priorLevelVar"),
            StaticVars = input.Optional("staticVar") is null ? [] : input.Numbers("staticVar"),
            Surprises = Surprises(input),
        };
    }

    internal static RobustObservation[] Observations(JsonNode input, double extraVar)
    {
        var days = input.Numbers("days");
        var values = input.NumbersOf("values", days.Length);
        var vars = input.NumbersOf("noiseVar", days.Length);
        var states = input.Optional("staticVar") is null ? 0 : input.Numbers("staticVar").Length;
        var designs = states == 0 ? null : Designs(input, days.Length, states);
        return [.. days.Select((day, i) => new RobustObservation(day, values[i], vars[i] + extraVar, designs?[i] ?? []))];
    }

    internal static RateChange[] Changes(JsonNode input) =>
        [.. input.OptionalList("events").Select((node, i) => node ?? throw new FormatException($"input.events[{i}] is null."))
            .Select(node => new RateChange(node.Number("day"), node.OptionalNumber("rateMean") ?? 0, node.NonNegative("rateSd")))];

    /// <summary>Level plus season on a day, without the bias of the condition: season is the second and third of three static states.</summary>
    internal static (double Mean, double Var) LevelOn(RobustPass pass, double day)
    {
        var design = new double[pass.State.Count];
        design[0] = 1;
        if (design.Length >= StateNames.Length)
            (design[4], design[3]) = Math.SinCos(2 * Math.PI * day / 365.25);
        return pass.Forecast(day, design);
    }

    internal static double LastDay(RobustObservation[] observations) =>
        observations.Length > 0 ? observations.Max(o => o.Day) : throw new FormatException("input.days is empty.");

    private static double Tau(JsonNode input)
    {
        var tau = input.OptionalNumber("tauDays") ?? double.PositiveInfinity;
        return tau > 0 ? tau : throw new FormatException("input.tauDays is not positive.");
    }

    private static SurpriseModel Surprises(JsonNode input)
    {
        var surprises = new SurpriseModel(Surprise(input, "outlier", "sdMm"), Surprise(input, "step", "sdMm"), Surprise(input, "kink", "sdMmPerDay"));
        var total = surprises.Outlier.Probability + surprises.Step.Probability + surprises.Kink.Probability;
        return total <= 1 ? surprises : throw new FormatException("input: the probabilities of outlier, step and kink exceed 1.");
    }

    private static Surprise Surprise(JsonNode input, string name, string sdName) =>
        input.Optional(name) is { } node && node.NonNegative("probability") is var probability and > 0
            ? new Surprise(probability, node.NonNegative(sdName))
            : default;

    private static double[][] Designs(JsonNode input, int days, int states)
    {
        var rows = input.List("staticDesign");
        if (rows.Count != days)
            throw new FormatException($"input.staticDesign has {rows.Count} entries where {days} are needed.");
        var designs = rows.Select((row, i) => CaseReader.AsNumbers(row, $"input.staticDesign[{i}]")).ToArray();
        return Array.TrueForAll(designs, design => design.Length == states)
            ? designs
            : throw new FormatException($"input.staticDesign has a row without {states} entries.");
    }

    private static JsonArray Covariances(RobustPass pass)
    {
        var size = pass.State.Count;
        return [.. Enumerable.Range(0, size).Select(i => (JsonNode)CaseReader.ToArray(Enumerable.Range(0, size).Select(j => pass.Covariance(i, j))))];
    }

    private static JsonArray Forecasts(JsonNode input, RobustPass pass, RobustObservation[] observations)
    {
        var forecasts = new JsonArray();
        foreach (var horizon in input.Numbers("horizons"))
        {
            var (mean, var) = LevelOn(pass, LastDay(observations) + horizon);
            forecasts.Add(new JsonObject { ["horizon"] = horizon, ["level"] = mean, ["sd"] = Math.Sqrt(var) });
        }
        return forecasts;
    }
}
