using System.Text.Json.Nodes;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Trends;

namespace BackTracker.Service.Evaluation;

/// <summary>Kind `grid-average`: the robust filter over a grid of dynamics, weighted by log-normal priors and likelihood.</summary>
internal static class GridAverageCase
{
    private readonly record struct Node(double RateSd, double TauDays, double SessionSd);

    public static JsonNode Evaluate(JsonNode caseFile)
    {
        var input = CaseReader.Input(caseFile);
        var runs = Nodes(input.Member("grid")).Select(node => Run(input, node)).ToArray();
        var top = runs.Max(run => run.LogPosterior);
        var total = runs.Sum(run => Math.Exp(run.LogPosterior - top));
        var weights = runs.Select(run => Math.Exp(run.LogPosterior - top) / total).ToArray();
        var mixture = new NormalMixture(weights, [.. runs.Select(run => run.Mean)], [.. runs.Select(run => Math.Sqrt(run.Var))]);
        return new JsonObject
        {
            ["points"] = new JsonArray([.. runs.Select((run, i) => Point(run.Node, run.LogPosterior, weights[i]))]),
            ["forecast"] = new JsonObject
            {
                ["mean"] = mixture.Mean,
                ["sd"] = mixture.Sd,
                ["q10"] = mixture.Quantile(.1),
                ["q90"] = mixture.Quantile(.9),
            },
        };
    }

    // Rate outermost, then memory, then session.
    private static IEnumerable<Node> Nodes(JsonNode grid)
    {
        var (rates, taus, sessions) = (Axis(grid, "stationaryRateSd"), Axis(grid, "tauDays"), Axis(grid, "sessionSd"));
        return from rate in rates from tau in taus from session in sessions select new Node(rate, tau, session);
    }

    private static double[] Axis(JsonNode grid, string name)
    {
        var axis = grid.Numbers(name);
        return axis.Length > 0 && Array.TrueForAll(axis, value => value > 0)
            ? axis
            : throw new FormatException($"input.grid.{name} needs positive numbers.");
    }

    private static (Node Node, double LogPosterior, double Mean, double Var) Run(JsonNode input, Node node)
    {
        var @base = input.Member("base");
        var extraVar = node.SessionSd * node.SessionSd - input.Number("baseSessionVar");
        var observations = RobustTrendCase.Observations(@base, extraVar);
        var pass = RobustFilter.Run(
            RobustTrendCase.Settings(@base, node.RateSd, node.TauDays), observations, RobustTrendCase.Changes(@base));
        var (mean, var) = RobustTrendCase.LevelOn(pass, RobustTrendCase.LastDay(observations) + input.Number("horizon"));
        return (node, pass.LogLikelihood + LogPrior(input.Member("logPrior"), node), mean, var);
    }

    private static double LogPrior(JsonNode prior, Node node) =>
        Term(prior.Member("stationaryRateSd"), node.RateSd) + Term(prior.Member("tauDays"), node.TauDays) + Term(prior.Member("sessionSd"), node.SessionSd);

    private static double Term(JsonNode axis, double value)
    {
        var z = (Math.Log(value) - axis.Number("mean")) / axis.Number("sd");
        return -.5 * z * z;
    }

    private static JsonObject Point(Node node, double logPosterior, double weight) => new()
    {
        ["stationaryRateSd"] = node.RateSd,
        ["tauDays"] = node.TauDays,
        ["sessionSd"] = node.SessionSd,
        ["logPosteriorUnnormalised"] = logPosterior,
        ["weight"] = weight,
    };
}
