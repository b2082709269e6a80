using System.Text.Json;
using System.Text.Json.Nodes;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Audit;

/// <summary>A member that was changed.</summary>
/// <param name="Member">Its name, as the API calls it.</param>
/// <param name="Before">Its value before: text as it is, everything else as JSON; null where it had none.</param>
/// <param name="After">Its value after, likewise.</param>
public sealed record AuditChange(string Member, string? Before, string? After);

/// <summary>What differs between a thing before and after a change, by member, as the API shows it.</summary>
internal static class AuditChanges
{
    /// <summary>The members that differ, as a JSON list to keep.</summary>
    public static string Between<T>(T before, T after)
    {
        var (old, now) = (Shown(before), Shown(after));
        return Json.Write(old.Concat(now).Select(member => member.Key).Distinct().Where(name => !JsonNode.DeepEquals(old[name], now[name]))
            .Select(name => new AuditChange(name, Text(old[name]), Text(now[name]))));
    }

    private static JsonObject Shown<T>(T thing) => JsonSerializer.SerializeToNode(thing, Json.Options)!.AsObject();

    private static string? Text(JsonNode? value) => value is null ? null
        : value.GetValueKind() == JsonValueKind.String ? value.GetValue<string>() : value.ToJsonString(Json.Options);
}
