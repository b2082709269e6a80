using System.Text.Json.Nodes;
using BackTracker.Engine.Forecasts;

namespace BackTracker.Service.Evaluation;

/// <summary>Kind `passage`: how likely a level has left a band by each day.</summary>
internal static class PassageCase
{
    public static JsonNode Evaluate(JsonNode caseFile)
    {
        var input = CaseReader.Input(caseFile);
        var state = input.Member("state");
        var (sigma, tau) = (input.NonNegative("sigma"), input.OptionalNumber("tauDays") ?? double.PositiveInfinity);
        var level = new MovingLevel(
            state.Number("level"), state.Number("rate"), state.NonNegative("varLevel"), state.Number("cov"), state.NonNegative("varRate"),
            sigma * sigma, tau > 0 ? tau : throw new FormatException("input.tauDays is not positive."));
        var outBy = Passage.OutBy(
            level, input.OptionalNumber("low") ?? double.NegativeInfinity, input.OptionalNumber("high") ?? double.PositiveInfinity, input.Numbers("days"));
        return new JsonObject
        {
            ["probabilityOutBy"] = CaseReader.ToArray(outBy),
            // What a million plain paths would be off by, one standard error: how closely a case can be known that was made so.
            ["monteCarloSe"] = CaseReader.ToArray(outBy.Select(probability => Math.Sqrt(probability * (1 - probability) / 1e6))),
        };
    }
}
