using System.Text.Json.Nodes;
using BackTracker.Engine.Trends;

namespace BackTracker.Service.Evaluation;

/// <summary>
/// Kind `devyard`: forecasts of simulated horses from several origins, through the same grid filter as every trend of the service.
/// Input: `horses` (measurements, conditions and dated events), `spec` (the model) and `origins` (horse and number of observations).
/// Events later than the last observation are not known at an origin.
/// </summary>
internal static class DevyardCase
{
    private static readonly double[] Horizons = [28, 56, 84];

    public static JsonNode Evaluate(JsonNode caseFile)
    {
        var input = CaseReader.Input(caseFile);
        var (horses, spec) = (input.List("horses"), input.Member("spec"));
        var (without, with) = (Model(spec, "log_prior"), Model(spec, "log_prior_events"));
        var kickSd = spec.Member("event_kick").NonNegative("sd");
        var reference = new JsonArray();
        foreach (var origin in input.List("origins").Select(node => node!))
        {
            var (horse, count) = ((int)origin.Number("horse"), (int)origin.Number("n_obs"));
            var rows = Rows(horses[horse]!, count);
            reference.Add(new JsonObject
            {
                ["horse"] = horse,
                ["n_obs"] = count,
                ["forecast"] = Forecasts(GridFilter.Run(without, rows, []), rows),
                ["forecast_with_events"] = Forecasts(GridFilter.Run(with, rows, Kicks(horses[horse]!, rows, kickSd)), rows),
            });
        }
        return new JsonObject { ["reference"] = reference };
    }

    private static GridModel Model(JsonNode spec, string prior)
    {
        var grid = spec.Member("grid");
        var logPrior = spec.Numbers(prior);
        var nodes = from rate in grid.Numbers("rate_sd") from tau in grid.Numbers("tau") from session in grid.Numbers("session_sd") select (rate, tau, session);
        return new GridModel
        {
            Points = [.. nodes.Select((node, i) => new GridPoint(node.rate, node.tau, node.session, logPrior[i]))],
            LevelMean = spec.Number("m0"),
            LevelSd = Math.Sqrt(spec.NonNegative("v0")),
            BiasSd = 2,
            SeasonSd = 2,
            Surprises = new SurpriseModel(
                new Surprise(spec.Number("p_out"), spec.Number("out_sd")),
                new Surprise(spec.Number("p_step"), spec.Number("step_sd")),
                new Surprise(spec.Number("p_kink"), spec.Number("kink_sd"))),
        };
    }

    private static ObservationRow[] Rows(JsonNode horse, int count)
    {
        var (days, values, traces, conditions) = (horse.Numbers("t"), horse.Numbers("y"), horse.Numbers("traces"), horse.List("cond"));
        var withinVar = horse.Number("r_w") * horse.Number("r_w");
        return [.. Enumerable.Range(0, count).Select(i => conditions[i] is { } condition
            ? new ObservationRow(days[i], values[i], withinVar / traces[i], CaseReader.AsNumber(condition, "cond"))
            : new ObservationRow(days[i], values[i], withinVar / traces[i] + .3 * .7 * 2.5 * 2.5, .3))];
    }

    private static RateKick[] Kicks(JsonNode horse, ObservationRow[] rows, double sd) =>
        [.. horse.List("events").Select(node => node!.Number("t"))
            .Where(day => day > rows[0].Day && day <= rows[^1].Day)
            .Select(day => new RateKick(day, sd))];

    private static JsonArray Forecasts(GridPosterior posterior, ObservationRow[] rows) =>
        [.. Horizons.Select(horizon => (JsonNode)Forecast(posterior, rows[^1].Day, horizon))];

    private static JsonObject Forecast(GridPosterior posterior, double lastDay, double horizon)
    {
        var level = posterior.LevelOn(lastDay + horizon);
        return new JsonObject { ["h"] = horizon, ["mean"] = level.Mean, ["q10"] = level.Quantile(.1), ["q90"] = level.Quantile(.9) };
    }
}
