using System.Globalization;
using System.Text.Json.Nodes;
using BackTracker.Service.Evaluation;

namespace BackTracker.Service.Tests.Evaluation;

/// <summary>
/// Every check-value case. Sources are named in the files: dense Gaussian process and Gaussian-sum filter in 40-digit arithmetic
/// (tests/oracles/gp_oracle.py and t2b_mixture.py); sections by intersection and winding numbers with shapely (profile.py); resting saddles by
/// linear programmes with dual certificates (fit.py); saddles under a load by L-BFGS-B, MINPACK and trust-exact (contact.py); first passage by a million paths stepped day by day (t5_fp.py); repeats with scipy's chi-square
/// (t4_measerr.py); closed forms beside them.
/// </summary>
public class CaseEvaluatorTests
{
    private static readonly string[] Kinds = ["trend", "robust-trend", "grid-average", "profile", "profile-mean", "fit", "contact", "passage", "repeatability"];

    public static TheoryData<string, string> Cases() => new(Kinds.SelectMany(kind => CheckValues.Names(kind).Select(name => (kind, name))));

    public static TheoryData<string, string> ClosedForms() => new(
        Kinds.SelectMany(kind => CheckValues.Names(kind).Where(name => CheckValues.Read($"{kind}/{name}.json")["closedForm"] is not null).Select(name => (kind, name))));

    [Theory]
    [MemberData(nameof(Cases))]
    public void Evaluate_check_value_case_gives_what_it_expects(string kind, string name)
    {
        var file = CheckValues.Read($"{kind}/{name}.json");

        var actual = CaseEvaluator.Evaluate(kind, file);

        Assert.Empty(CaseComparison.Differences(file["expected"]!, actual, file["tolerance"]!));
    }

    [Theory]
    [MemberData(nameof(ClosedForms))]
    public void Evaluate_case_with_closed_forms_meets_each_within_its_own_tolerance(string kind, string name)
    {
        var file = CheckValues.Read($"{kind}/{name}.json");

        var actual = CaseEvaluator.Evaluate(kind, file);

        foreach (var (path, form) in file["closedForm"]!.AsObject())
        {
            var value = path.Split('.').Aggregate<string, JsonNode?>(actual, (node, member) => node is JsonArray list ? list[int.Parse(member, CultureInfo.InvariantCulture)] : node?[member]);
            // The resting position is the stiff limit of springs: its agreed limit is the case's own, within 0.01.
            var own = form![1]!.GetValue<double>();
            var tolerance = new JsonObject { ["absolute"] = kind == "fit" ? Math.Max(own, file["tolerance"]!["absolute"]!.GetValue<double>()) : own };
            Assert.Empty(CaseComparison.Differences(new JsonObject { [path] = form[0]!.DeepClone() }, new JsonObject { [path] = value?.DeepClone() }, tolerance));
        }
    }

    [Theory]
    [InlineData("""[[-90,60],[-60,null],[0,0],[60,36],[90,60]]""", "not_finite")]
    [InlineData("""[[-90,60],[-60,1e999],[0,0],[60,36],[90,60]]""", "not_finite")]
    [InlineData("[]", "too_few_points")]
    public void Evaluate_trace_that_is_none_says_why(string trace, string code)
    {
        var input = $$"""{"input": {"trace": {{trace}}, "traces": [{{trace}}] } }""";

        Assert.Equal(code, CaseEvaluator.Evaluate("profile", JsonNode.Parse(input)!)["error"]!.GetValue<string>());
        Assert.Equal(code, CaseEvaluator.Evaluate("profile-mean", JsonNode.Parse(input)!)["error"]!.GetValue<string>());
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
    [InlineData("passage", "f01_centre_calm", "state", "input.state")]
    [InlineData("profile", "profile_01_circle", "trace", "input.trace")]
    [InlineData("profile-mean", "mean_01_circles", "traces", "input.traces")]
    [InlineData("repeatability", "nested_sessions", "data", "input")]
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
