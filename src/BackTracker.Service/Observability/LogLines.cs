using System.Diagnostics;
using System.Globalization;
using System.Text.Encodings.Web;
using System.Text.Json;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Logging.Console;

namespace BackTracker.Service.Observability;

/// <summary>One line an entry, whatever is in it: time, level, category, message and what was thrown.</summary>
internal sealed class TextLine(TimeProvider clock) : ConsoleFormatter(FormatterName)
{
    public const string FormatName = "text";
    public const string FormatterName = "backtracker-text";

    public override void Write<TState>(in LogEntry<TState> logEntry, IExternalScopeProvider? scopeProvider, TextWriter textWriter)
    {
        var trace = Activity.Current is { } activity ? $" [{activity.TraceId}]" : "";
        textWriter.Write(clock.GetUtcNow().UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z' ", CultureInfo.InvariantCulture));
        textWriter.WriteLine(Plain($"{Short(logEntry.LogLevel)}: {logEntry.Category} {logEntry.Formatter(logEntry.State, logEntry.Exception)}{trace} {logEntry.Exception}"));
    }

    // Nobody may begin a line of their own here.
    private static string Plain(string text) => string.Create(text.Length, text, (line, from) =>
    {
        for (var at = 0; at < line.Length; at++)
            line[at] = char.IsControl(from[at]) || from[at] is '\u2028' or '\u2029' ? ' ' : from[at];
    }).TrimEnd();

    private static string Short(LogLevel level) => level switch
    {
        LogLevel.Trace => "trce",
        LogLevel.Debug => "dbug",
        LogLevel.Information => "info",
        LogLevel.Warning => "warn",
        LogLevel.Error => "fail",
        _ => "crit",
    };
}

/// <summary>The same as a JSON object a line.</summary>
internal sealed class JsonLine(TimeProvider clock) : ConsoleFormatter(FormatterName)
{
    public const string FormatName = "json";
    public const string FormatterName = "backtracker-json";

    private static readonly JsonSerializerOptions Options = new(JsonSerializerDefaults.Web) { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    public override void Write<TState>(in LogEntry<TState> logEntry, IExternalScopeProvider? scopeProvider, TextWriter textWriter) =>
        textWriter.WriteLine(JsonSerializer.Serialize(
            new Line(
                clock.GetUtcNow().UtcDateTime, Word(logEntry.LogLevel), logEntry.Category, logEntry.Formatter(logEntry.State, logEntry.Exception),
                Activity.Current?.TraceId.ToString(), logEntry.Exception?.ToString()),
            Options));

    private static string Word(LogLevel level) => level.ToString().ToLowerInvariant();

    private sealed record Line(DateTime Time, string Level, string Category, string Message, string? TraceId, string? Exception);
}
