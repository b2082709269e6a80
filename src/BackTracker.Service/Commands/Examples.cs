using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;

namespace BackTracker.Service.Commands;

/// <summary>Adds examples to the help of a command.</summary>
internal static class Examples
{
    public static Command WithExamples(this Command command, params string[] examples)
    {
        command.Add(new HelpOption { Action = new HelpThenExamples(examples) });
        return command;
    }

    private sealed class HelpThenExamples(IReadOnlyList<string> examples) : SynchronousCommandLineAction
    {
        private readonly HelpAction _help = new();

        public override bool ClearsParseErrors => true;

        public override int Invoke(ParseResult parseResult)
        {
            var result = _help.Invoke(parseResult);
            var output = parseResult.InvocationConfiguration.Output;
            output.WriteLine("Examples:");
            foreach (var example in examples)
                output.WriteLine($"  {example}");
            return result;
        }
    }
}
