using System.Text.Json.Nodes;
using BackTracker.Service.Evaluation;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Evaluation;

/// <summary>The trend model in the limits where published answers exist.</summary>
public sealed class PublishedTests
{
    // NIST Statistical Reference Datasets, linear regression, dataset Norris: without process noise the smoothed line is the least-squares line.
    [Fact]
    public void Trend_withoutProcessNoise_isTheCertifiedLineOfNorris()
    {
        var norris = Published("nist_norris");
        var certified = norris["certified"]!;
        var points = Numbers(norris["x"]!).Zip(Numbers(norris["y"]!)).OrderBy(p => p.First).ToList();
        var at = Evaluate([.. points.Select(p => p.First)], [.. points.Select(p => p.Second)], new JsonObject
        {
            ["sigma"] = 0.0,
            ["tauDays"] = null,
            ["noiseSdMm"] = Math.Sqrt(certified["rss"]!.GetValue<double>() / 34),
            ["priorRateVar"] = 1e6,
        }, points[0].First)["at"]![0]!;

        var slope = at["rate"]!.GetValue<double>();
        Assert.Equal(certified["b1"]!.GetValue<double>(), slope, 1e-8);
        Assert.Equal(certified["se_b1"]!.GetValue<double>(), at["rateSe"]!.GetValue<double>(), 1e-9);
        Assert.Equal(certified["b0"]!.GetValue<double>(), at["level"]!.GetValue<double>() - (slope * points[0].First), 1e-6);
    }

    // Nile at Aswan 1871-1970; variances of Durbin and Koopman 2012, Time Series Analysis by State Space Methods, chapter 2 (from memory).
    [Fact]
    public void Trend_withAShortMemory_isTheLocalLevelOfTheNile()
    {
        var nile = Published("nile_local_level");
        var flow = Numbers(nile["y"]!);
        var computed = nile["computed"]!;
        var result = Evaluate([.. flow.Select((_, year) => (double)year)], flow, new JsonObject
        {
            ["sigma"] = Math.Sqrt(nile["published"]!["sigma_eta2"]!.GetValue<double>()) / 1e-3,
            ["tauDays"] = 1e-3,
            ["noiseSdMm"] = Math.Sqrt(nile["published"]!["sigma_eps2"]!.GetValue<double>()),
            ["priorRateVar"] = "stationary",
        }, flow.Length - 1);

        Assert.Equal(computed["diffuse_loglik_at_published"]!.GetValue<double>(), result["logLikelihood"]!.GetValue<double>(), .01);
        Assert.Equal(computed["filtered_level_1970"]!.GetValue<double>(), result["at"]![0]!["level"]!.GetValue<double>(), .1);
    }

    private static JsonNode Evaluate(double[] days, double[] values, JsonObject input, double reportDay)
    {
        input["priorLevelMean"] = 0.0;
        input["priorLevelVar"] = 1.0;
        input["flatLevelPrior"] = true;
        input["days"] = new JsonArray([.. days.Select(d => (JsonNode)d)]);
        input["values"] = new JsonArray([.. values.Select(v => (JsonNode)v)]);
        input["reportDays"] = new JsonArray(reportDay);
        return CaseEvaluator.Evaluate("trend", JsonNode.Parse(new JsonObject { ["input"] = input }.ToJsonString())!);
    }

    private static JsonNode Published(string name) =>
        JsonNode.Parse(File.ReadAllText(Path.Combine(Repository.Root, "tests", "check-values", "published", name + ".json")))!;

    private static double[] Numbers(JsonNode list) => [.. list.AsArray().Select(v => v!.GetValue<double>())];
}
