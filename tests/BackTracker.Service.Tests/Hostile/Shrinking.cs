using System.Text.Json.Nodes;

namespace BackTracker.Service.Tests.Hostile;

/// <summary>Takes from a request what can be spared while the fault stays.</summary>
internal static class Shrinking
{
    private const int MostTries = 150;

    public static async Task<HostileRequest> ShrinkAsync(HostileRequest failing, Func<HostileRequest, Task<bool>> failsAlikeAsync)
    {
        var tries = 0;
        for (var isSmaller = true; isSmaller && tries < MostTries;)
        {
            isSmaller = false;
            foreach (var smaller in Smaller(failing))
            {
                if (++tries > MostTries || !await failsAlikeAsync(smaller))
                    continue;
                failing = smaller;
                isSmaller = true;
                break;
            }
        }
        return failing;
    }

    private static IEnumerable<HostileRequest> Smaller(HostileRequest request)
    {
        for (var i = 0; i < request.Headers.Count; i++)
            yield return request with { Headers = [.. request.Headers.Where((_, at) => at != i)] };
        for (var i = 0; i < request.Query.Count; i++)
            yield return request with { Query = [.. request.Query.Where((_, at) => at != i)] };
        if (request.Body is not { } body)
            yield break;
        if (body.Twist != Twist.None)
            yield return request with { Body = body with { Twist = Twist.None } };
        if (request.ContentType != "application/json")
            yield return request with { ContentType = "application/json" };
        for (var i = 0; i < Mutation.Places(body.Json).Count(); i++)
            yield return request with { Body = body with { Json = Without(body.Json!, i) } };
    }

    private static JsonNode Without(JsonNode json, int place)
    {
        var copy = json.DeepClone();
        var (parent, key) = Mutation.Places(copy).ElementAt(place);
        if (parent is JsonObject members)
            members.Remove((string)key);
        else
            parent.AsArray().RemoveAt((int)key);
        return copy;
    }
}
