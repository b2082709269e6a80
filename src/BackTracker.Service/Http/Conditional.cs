using System.Globalization;
using Microsoft.Net.Http.Headers;

namespace BackTracker.Service.Http;

/// <summary>Strong entity tags, If-None-Match on reads and If-Match on changes (RFC 9110, RFC 6585).</summary>
internal static class Conditional
{
    public static string Etag(long version) => string.Create(CultureInfo.InvariantCulture, $"\"{version}\"");

    /// <summary>Answers a read: 304 where the caller has this version already.</summary>
    public static IResult Ok(HttpContext http, object body, long version)
    {
        return IsKnown(http, Etag(version)) ? Results.StatusCode(StatusCodes.Status304NotModified) : Json.Answer(body);
    }

    /// <summary>Tags the answer of a read, and says whether the caller has it already.</summary>
    public static bool IsKnown(HttpContext http, string etag)
    {
        http.Response.Headers.ETag = etag;
        return http.Request.Headers.IfNoneMatch.Count > 0 && http.Request.GetTypedHeaders().IfNoneMatch.Any(t => t.Equals(EntityTagHeaderValue.Any) || t.Compare(new EntityTagHeaderValue(etag), useStrongComparison: false));
    }

    /// <summary>Holds a caller that says which version it has read to that version; others may go on.</summary>
    public static void MatchIfSent(HttpContext http, long version)
    {
        if (http.Request.Headers.IfMatch.Count > 0)
            RequireMatch(http, version);
    }

    /// <summary>Insists that the caller changes the version it has read.</summary>
    public static void RequireMatch(HttpContext http, long version)
    {
        var etag = Etag(version);
        if (http.Request.Headers.IfMatch.Count == 0)
            throw new ProblemException(ProblemKind.IfMatchMissing, "Read it first and send its ETag as If-Match, so that nobody's change is lost.");
        if (!http.Request.GetTypedHeaders().IfMatch.Any(t => t.Equals(EntityTagHeaderValue.Any) || t.Compare(new EntityTagHeaderValue(etag), useStrongComparison: true)))
            throw new ProblemException(ProblemKind.Stale, $"It is at version {etag} by now. Read it again, look at what changed, and send the change with that ETag.");
    }
}
