using System.Globalization;
using System.Text.Json.Nodes;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Repeatability;

namespace BackTracker.Service.Evaluation;

/// <summary>Kind `repeatability`: groups of repeats (`cases`), the variances of several people (`operators`), or repeats in sessions in spans (`data`).</summary>
internal static class RepeatabilityCase
{
    private static readonly ErrorEstimate[] Priors = [new(6, 2.5), new(20, 2.5)];

    public static JsonNode Evaluate(JsonNode caseFile)
    {
        var input = CaseReader.Input(caseFile);
        if (input.Optional("cases") is not null)
            return new JsonObject { ["cases"] = new JsonArray([.. input.List("cases").Select((node, i) => (JsonNode)Within(Groups(node, $"input.cases[{i}]", "groups")))]) };
        if (input.Optional("operators") is not null)
            return People([.. input.List("operators").Select((node, i) => Scatter(node, $"input.operators[{i}]"))]);
        if (input.Optional("data") is not null)
            return Nested([.. input.List("data").Select((node, i) => Groups(node, $"input.data[{i}]"))]);
        throw new FormatException("input has none of cases, operators and data.");
    }

    private static JsonObject Within(double[][] groups)
    {
        var scatter = RepeatScatter.OfAll(groups);
        var (own, error) = (ErrorEstimate.Of(scatter), new MeasurementError(scatter.Sd, 0));
        var answer = new JsonObject
        {
            ["df"] = scatter.DegreesOfFreedom,
            ["ss"] = scatter.SumOfSquares,
            ["s_within"] = scatter.Sd,
            ["TEM_pairs"] = Array.TrueForAll(groups, group => group.Length == 2) ? scatter.Sd : null,
            ["SDC_single"] = error.LeastRealChange(1),
            ["SDC_mean_of_2"] = error.LeastRealChange(2),
            ["repeatability_limit_2p77"] = Normal.Quantile(.975) * Math.Sqrt(2) * scatter.Sd,
            ["ci95_s"] = Interval(own),
        };
        foreach (var prior in Priors)
            answer[string.Create(CultureInfo.InvariantCulture, $"shrunk_nu0_{prior.DegreesOfFreedom}_s0_{prior.Sd}")] = Shrunk(prior.After(scatter));
        return answer;
    }

    private static JsonObject Shrunk(ErrorEstimate estimate)
    {
        var (known, sum) = (estimate.DegreesOfFreedom, estimate.DegreesOfFreedom * estimate.Sd * estimate.Sd);
        return new JsonObject
        {
            ["df"] = known,
            ["s"] = estimate.Sd,
            ["mean_var"] = sum / (known - 2),
            ["mode_var"] = sum / (known + 2),
            ["median_sd"] = estimate.Quantile(.5),
            ["ci95_sd"] = Interval(estimate),
        };
    }

    private static JsonArray Interval(ErrorEstimate estimate) => [estimate.Interval95.Low, estimate.Interval95.High];

    private static JsonObject People(RepeatScatter[] people)
    {
        var prior = PeopleSpread.PriorOf(people);
        return new JsonObject
        {
            ["nu0"] = prior.DegreesOfFreedom,
            ["s0"] = prior.Sd,
            ["posterior_sd"] = CaseReader.ToArray(people.Select(person => prior.After(person).Sd)),
        };
    }

    private static JsonObject Nested(double[][][] spans)
    {
        var nested = NestedSessions.Of(spans);
        var (repeats, sessions) = (nested.Repeats, nested.Sessions);
        return new JsonObject
        {
            ["ms_trace"] = repeats.SumOfSquares / repeats.DegreesOfFreedom,
            ["ms_session"] = sessions.SumOfSquares / sessions.DegreesOfFreedom,
            ["var_session"] = nested.SessionVar(repeats.SumOfSquares / repeats.DegreesOfFreedom),
            ["df_trace"] = repeats.DegreesOfFreedom,
            ["df_session"] = sessions.DegreesOfFreedom,
        };
    }

    private static RepeatScatter Scatter(JsonNode? node, string path)
    {
        var (known, variance) = (Required(node, path).Number("df"), Required(node, path).NonNegative("s2"));
        return new RepeatScatter((int)known, known * variance);
    }

    private static double[][] Groups(JsonNode? node, string path, string member) => Groups(Required(node, path).Member(member), $"{path}.{member}");

    private static double[][] Groups(JsonNode? node, string path) => node is JsonArray groups
        ? [.. groups.Select((group, i) => CaseReader.AsNumbers(group, $"{path}[{i}]"))]
        : throw new FormatException($"{path} is not an array.");

    private static JsonNode Required(JsonNode? node, string path) => node ?? throw new FormatException($"{path} is null.");
}
