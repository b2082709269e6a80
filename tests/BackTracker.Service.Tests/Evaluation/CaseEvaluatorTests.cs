using System.Text.Json.Nodes;
using BackTracker.Service.Evaluation;

namespace BackTracker.Service.Tests.Evaluation;

/// <summary>
/// Every check-value case of the trend engine. Sources are named in the files: dense Gaussian process and Gaussian-sum filter in 40-digit
/// arithmetic (tests/oracles/gp_oracle.py and t2b_mixture.py).
/// </summary>
public class CaseEvaluatorTests
{
    public static TheoryData<string, string> Cases()
    {
        var data = new TheoryData<string, string>();
        foreach (var kind in new[] { "trend", "robust-trend", "grid-average" })
            foreach (var name in CheckValues.Names(kind))
                data.Add(kind, name);
        return data;
    }

    [Theory]
    [MemberData(nameof(Cases))]
    public void Evaluate_check_value_case_gives_what_it_expects(string kind, string name)
    {
        var file = CheckValues.Read($"{kind}/{name}.json");

        var actual = CaseEvaluator.Evaluate(kind, file);

        Assert.Empty(CaseComparison.Differences(file["expected"]!, actual, file["tolerance"]!));
    }

    [Fact]
    public void Evaluate_devyard_repeats_all_600_forecasts_with_and_without_events()
    {
        var reference = CheckValues.Read("devyard-reference.json");
        var file = DevyardFile(reference);

        var actual = CaseEvaluator.Evaluate("devyard", file);

        var expected = new JsonObject { ["reference"] = reference["reference"]!.DeepClone() };
        Assert.Equal(600, expected["reference"]!.AsArray().Count);
        // The oracle finds quantiles by bisection to about 1e-10 and weighs in double; 1e-6 is the agreed limit.
        Assert.Empty(CaseComparison.Differences(expected, actual, new JsonObject { ["absolute"] = 1e-6 }));
    }

    [Fact]
    public void Evaluate_unknown_kind_lists_the_known_ones()
    {
        var refused = Assert.Throws<ArgumentException>(() => CaseEvaluator.Evaluate("trends", new JsonObject()));

        Assert.Contains("robust-trend", refused.Message, StringComparison.Ordinal);
        Assert.Contains("'trends'", refused.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("trend", "g02_one_point", "values", "input.values")]
    [InlineData("trend", "g02_one_point", "sigma", "input.sigma")]
    [InlineData("robust-trend", "m01_outlier", "noiseVar", "input.noiseVar")]
    [InlineData("robust-trend", "m03_full_season_kink", "staticDesign", "input.staticDesign")]
    [InlineData("grid-average", "m03_grid_27", "grid", "input.grid")]
    public void Evaluate_case_without_a_member_names_it(string kind, string name, string member, string named)
    {
        var file = CheckValues.Read($"{kind}/{name}.json");
        file["input"]!.AsObject().Remove(member);

        var refused = Assert.Throws<FormatException>(() => CaseEvaluator.Evaluate(kind, file));

        Assert.Contains(named, refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Evaluate_stationary_rate_that_never_dies_out_is_refused()
    {
        var file = CheckValues.Read("trend/g02_one_point.json");
        file["input"]!["tauDays"] = null;

        var refused = Assert.Throws<FormatException>(() => CaseEvaluator.Evaluate("trend", file));

        Assert.Contains("priorRateVar", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Evaluate_days_out_of_order_gives_the_same()
    {
        var file = CheckValues.Read("trend/g12_weights.json");
        var input = file["input"]!.AsObject();
        foreach (var member in new[] { "days", "values", "noiseScale" })
            input[member] = new JsonArray([.. input[member]!.AsArray().Reverse().Select(node => node!.DeepClone())]);

        var actual = CaseEvaluator.Evaluate("trend", file);

        Assert.Empty(CaseComparison.Differences(file["expected"]!, actual, file["tolerance"]!));
    }

    [Fact]
    public void Evaluate_two_exact_points_on_a_line_gives_the_line()
    {
        // No noise, no driving: level and rate are known exactly, a case in which every covariance is singular.
        var file = CheckValues.Read("trend/g10_sigma_zero.json");
        var input = file["input"]!.AsObject();
        input["noiseSdMm"] = 0;
        input["days"] = new JsonArray(0, 10);
        input["values"] = new JsonArray(300, 305);
        input["reportDays"] = new JsonArray(-10, 5, 20);

        var at = CaseEvaluator.Evaluate("trend", file)["at"]!;

        var line = JsonNode.Parse("""
            [{"level":295,"rate":0.5,"levelSe":0,"rateSe":0},{"level":302.5,"rate":0.5,"levelSe":0,"rateSe":0},{"level":310,"rate":0.5,"levelSe":0,"rateSe":0}]
            """)!;
        Assert.Empty(CaseComparison.Differences(line, at, new JsonObject { ["absolute"] = 1e-10 }));
    }

    internal static JsonObject DevyardFile(JsonNode reference)
    {
        var origins = reference["reference"]!.AsArray()
            .Select(node => (JsonNode)new JsonObject { ["horse"] = node!["horse"]!.DeepClone(), ["n_obs"] = node["n_obs"]!.DeepClone() });
        return new JsonObject
        {
            ["input"] = new JsonObject
            {
                ["horses"] = CheckValues.Read("devyard.json")["horses"]!.DeepClone(),
                ["spec"] = reference["spec"]!.DeepClone(),
                ["origins"] = new JsonArray([.. origins]),
            },
        };
    }
}
