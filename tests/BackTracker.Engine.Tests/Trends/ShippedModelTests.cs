using System.Runtime.CompilerServices;
using System.Text.Json.Nodes;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Trends;

/// <summary>The shipped numbers are those of tests/check-values/devyard-reference.json, digit by digit.</summary>
public class ShippedModelTests
{
    [Fact]
    public void Shipped_model_is_the_one_of_the_reference_forecasts()
    {
        var spec = Spec();
        var model = TrendModel.Shipped;

        Assert.Equal(Numbers(spec["grid"]!["rate_sd"]!), model.RateSds);
        Assert.Equal(Numbers(spec["grid"]!["tau"]!), model.TausDays);
        Assert.Equal(Numbers(spec["grid"]!["session_sd"]!), model.SessionSds);
        Assert.Equal(Numbers(spec["log_prior"]!), model.LogPrior);
        Assert.Equal(Numbers(spec["log_prior_events"]!), model.LogPriorEvents);
        Assert.Equal(new Surprise(Number(spec, "p_out"), Number(spec, "out_sd")), model.Surprises.Outlier);
        Assert.Equal(new Surprise(Number(spec, "p_step"), Number(spec, "step_sd")), model.Surprises.Step);
        Assert.Equal(new Surprise(Number(spec, "p_kink"), Number(spec, "kink_sd")), model.Surprises.Kink);
        Assert.Equal(Number(spec["event_kick"]!, "sd"), model.EventKickSd);
        Assert.Equal(Math.Sqrt(Number(spec, "v0")), model.LevelPriorSd, 1e-12);
    }

    private static JsonNode Spec([CallerFilePath] string here = "") => JsonNode.Parse(File.ReadAllText(
        Path.Combine(Path.GetDirectoryName(here)!, "..", "..", "check-values", "devyard-reference.json")))!["spec"]!;

    private static double[] Numbers(JsonNode node) => [.. node.AsArray().Select(value => value!.GetValue<double>())];

    private static double Number(JsonNode node, string name) => node[name]!.GetValue<double>();
}
