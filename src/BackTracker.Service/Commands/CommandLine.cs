using System.CommandLine;
using System.Data.Common;
using BackTracker.Service.Http;
using BackTracker.Storage;

namespace BackTracker.Service.Commands;

/// <summary>
/// The commands. Results go to standard output and nothing else does, so that they can be piped; whatever went wrong goes to standard
/// error. Exit code 0 is done, 1 is failed, 2 is a command line that makes no sense.
/// </summary>
internal static class CommandLine
{
    public const int Failed = 1;
    public const int Misused = 2;

    public static async Task<int> RunAsync(string[] args)
    {
        var parsed = Root().Parse(args);
        if (parsed.Errors.Count > 0)
            return await ExplainAsync(parsed);
        try
        {
            // The host handles signals itself, and no other command needs more than to be ended.
            return await parsed.InvokeAsync(new InvocationConfiguration { EnableDefaultExceptionHandler = false, ProcessTerminationTimeout = null });
        }
        catch (Exception error) when (Explain(error) is { Count: > 0 } lines)
        {
            foreach (var line in lines)
                await Console.Error.WriteLineAsync(line);
            return Failed;
        }
    }

    private static RootCommand Root() => new("Keeps dated back measurements of horses and says when a saddle must be checked.")
    {
        ServeCommand.Create(),
        DemoCommand.Create(),
        KeyCommand.Create(),
        ImportCommand.Create(),
        ExportCommand.Create(),
        AssessCommand.Create(),
        CalibrateCommand.Create(),
        LearnPriorsCommand.Create(),
        SimulateCommand.Create(),
        BackupCommands.Backup(),
        BackupCommands.Restore(),
        BackupCommands.Transfer(),
        BackupCommands.Verify(),
        EvaluateCommand.Create(),
    };

    private static async Task<int> ExplainAsync(ParseResult parsed)
    {
        foreach (var error in parsed.Errors)
            await Console.Error.WriteLineAsync(error.Message);
        await Console.Error.WriteLineAsync($"See: backtracker {string.Join(' ', Path(parsed.CommandResult.Command, parsed))}--help");
        return Misused;
    }

    private static string Path(Command command, ParseResult parsed) =>
        command == parsed.RootCommandResult.Command ? "" : $"{Path(command.Parents.OfType<Command>().First(), parsed)}{command.Name} ";

    /// <summary>What an operator can act on, a line each; empty for an error of the program itself, which then shows where it arose.</summary>
    private static IReadOnlyList<string> Explain(Exception error) => error switch
    {
        ProblemException { Errors.Count: > 0 } problem => [.. problem.Errors.SelectMany(e => e.Value.Select(text => $"{e.Key[1..]}: {text}"))],
        ProblemException or StorageException or CommandException or IOException or UnauthorizedAccessException => [OneLine(error.Message)],
        DbException => [$"The database refused: {OneLine(error.Message)}"],
        _ => [],
    };

    private static string OneLine(string text) => text.ReplaceLineEndings(" ").Trim();
}

/// <summary>Ends a command with a line for whoever called it.</summary>
internal sealed class CommandException(string message) : Exception(message);
