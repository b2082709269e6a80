using BackTracker.Service.Http;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Measurements;

/// <summary>Who measured with what, and how the horse stood.</summary>
internal static class Circumstances
{
    /// <summary>"by Isla Brook, flexible curve, before work".</summary>
    public static async Task<string> OfAsync(ReadSession session, Caller caller, MeasurementRow row)
    {
        var person = row.MeasuredBy is null ? null : await PersonStore.FindAsync(session, caller.Sight, row.MeasuredBy);
        var exercise = row.Exercise == "unknown" ? "not known whether before or after work" : $"{row.Exercise} work";
        return $"by {person?.Name ?? "somebody of another yard"}, {row.Method.Replace('-', ' ')}, {exercise}";
    }

    /// <summary>"Stood square, head neutral."; empty where nobody said.</summary>
    public static string Stood(MeasuredValues measured) => Stance(measured) is { Length: > 0 } stance ? $"{Engine.Words.Sentence(stance)}." : "";

    /// <summary>"stood square, head neutral"; empty where nobody said.</summary>
    public static string Stance(MeasuredValues measured) => measured.Stance is { } stance
        ? $"stood {(stance.Square == true ? "square" : "not square")}{(stance.Head is { } head ? $", head {Words.Write(head)}" : "")}"
        : "";
}
