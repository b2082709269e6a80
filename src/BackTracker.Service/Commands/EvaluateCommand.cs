using System.CommandLine;
using System.Text.Json;
using System.Text.Json.Nodes;
using BackTracker.Service.Evaluation;

namespace BackTracker.Service.Commands;

/// <summary>`evaluate`: puts a case through the engine, without a service or a store.</summary>
internal static class EvaluateCommand
{
    private static readonly JsonSerializerOptions Indented = new() { WriteIndented = true };

    public static Command Create()
    {
        var kind = new Argument<string>("KIND") { Description = "Kind of the case." };
        kind.AcceptOnlyFromAmong([.. CaseEvaluator.Kinds]);
        var file = new Argument<string>("FILE") { Description = "JSON with the case; only its `input` is read." };
        var command = new Command("evaluate", "Print what the engine makes of a case, as the JSON that the case's `expected` is to be held against.") { kind, file };
        command.SetAction(async (parsed, cancel) =>
        {
            var text = await File.ReadAllTextAsync(parsed.GetRequiredValue(file), cancel);
            Console.WriteLine(Evaluate(parsed.GetRequiredValue(kind), text).ToJsonString(Indented));
            return 0;
        });
        return command.WithExamples("backtracker evaluate trend tests/check-values/trend/g02_one_point.json");
    }

    private static JsonNode Evaluate(string kind, string text)
    {
        try
        {
            return CaseEvaluator.Evaluate(kind, JsonNode.Parse(text) ?? throw new CommandException("The file holds null and no case."));
        }
        catch (JsonException error)
        {
            throw new CommandException($"The file is no JSON: {error.Message}");
        }
        catch (FormatException error)
        {
            throw new CommandException($"The case cannot be evaluated: {error.Message}");
        }
    }
}
