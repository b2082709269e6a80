using System.Text.Json.Nodes;
using BackTracker.Engine.Trends;

namespace BackTracker.Service.Evaluation;

/// <summary>Kind `trend`: the linear trend with static condition biases, smoothed and forecast.</summary>
internal static class TrendCase
{
    public static JsonNode Evaluate(JsonNode caseFile)
    {
        var input = CaseReader.Input(caseFile);
        var settings = Settings(input);
        var observations = Observations(input);
        var at = new JsonArray();
        foreach (var day in input.Numbers("reportDays"))
        {
            var state = LinearTrend.On(settings, observations, day);
            at.Add(new JsonObject
            {
                ["day"] = day,
                ["level"] = state.Level,
                ["rate"] = state.Rate,
                ["levelSe"] = state.LevelSe,
                ["rateSe"] = state.RateSe,
                ["covLevelRate"] = state.Covariance,
            });
        }
        return new JsonObject { ["logLikelihood"] = LinearTrend.LogLikelihood(settings, observations), ["at"] = at };
    }

    private static LinearTrendSettings Settings(JsonNode input)
    {
        var sigma = input.NonNegative("sigma");
        var tau = input.OptionalNumber("tauDays") ?? double.PositiveInfinity;
        if (tau <= 0)
            throw new FormatException("input.tauDays is not positive.");
        var flat = input.OptionalFlag("flatLevelPrior");
        return new LinearTrendSettings
        {
            Sigma = sigma,
            TauDays = tau,
            LevelMean = flat ? 0 : input.Number("priorLevelMean"),
            LevelVar = flat ? double.PositiveInfinity : input.NonNegative("priorLevelVar"),
            RateVar = RateVar(input, sigma, tau),
            Biases = [.. input.OptionalList("conditions").Select((condition, i) => Bias(condition, i))],
            PriorDay = input.OptionalNumber("priorDay"),
        };
    }

    private static double RateVar(JsonNode input, double sigma, double tau)
    {
        if (input.Member("priorRateVar") is not JsonValue value || !value.TryGetValue<string>(out var word))
            return input.NonNegative("priorRateVar");
        if (word != "stationary")
            throw new FormatException($"input.priorRateVar is '{word}', neither a number nor 'stationary'.");
        return double.IsFinite(tau)
            ? sigma * sigma * tau / 2
            : throw new FormatException("input.priorRateVar cannot be 'stationary' with an infinite tauDays.");
    }

    private static StaticBias Bias(JsonNode? condition, int i) => condition is null
        ? throw new FormatException($"input.conditions[{i}] is null.")
        : new StaticBias(condition.Number("mean"), condition.NonNegative("var"));

    private static LinearObservation[] Observations(JsonNode input)
    {
        var days = input.Numbers("days");
        var values = input.NumbersOf("values", days.Length);
        var noise = input.NonNegative("noiseSdMm");
        var scales = input.Optional("noiseScale") is null ? null : input.NumbersOf("noiseScale", days.Length);
        var conditions = input.OptionalList("conditions").Select(condition => Shares(condition!, days.Length)).ToArray();
        var observations = new LinearObservation[days.Length];
        for (var i = 0; i < days.Length; i++)
        {
            var sd = noise * (scales?[i] ?? 1);
            var extra = conditions.Sum(shares => shares[i].ExtraVar);
            observations[i] = new LinearObservation(days[i], values[i], sd * sd + extra, [.. conditions.Select(shares => shares[i].Share)]);
        }
        return observations;
    }

    // A missing condition holds with its probability p; not knowing adds the variance of that toss, p(1-p)(V + m^2).
    private static (double Share, double ExtraVar)[] Shares(JsonNode condition, int count)
    {
        var known = condition.List("x");
        if (known.Count != count)
            throw new FormatException($"input.conditions x has {known.Count} entries where {count} are needed.");
        var missing = known.Any(x => x is null) ? condition.Number("pMissing") : 0;
        var (mean, var) = (condition.Number("mean"), condition.NonNegative("var"));
        var unknown = (missing, missing * (1 - missing) * (var + mean * mean));
        return [.. known.Select((x, i) => x is null ? unknown : (CaseReader.AsNumber(x, $"input.conditions x[{i}]"), 0))];
    }
}
