using System.Globalization;
using BackTracker.Storage;

namespace BackTracker.Service.Http;

/// <summary>A list answer.</summary>
/// <param name="Items">This page.</param>
/// <param name="Next">Address of the next page; null on the last.</param>
public sealed record ListAnswer<T>(IReadOnlyList<T> Items, string? Next);

/// <summary>Keyset paging: ?limit and ?after, with the next address in the body and as an RFC 8288 Link.</summary>
internal static class Paging
{
    public const int DefaultLimit = 100;
    public const int LargestLimit = 500;

    /// <summary>As many as a list holds, from its beginning.</summary>
    public static Page First { get; } = new("", LargestLimit);

    public static Page Of(HttpContext http)
    {
        var query = http.Request.Query;
        var limit = DefaultLimit;
        if (query.TryGetValue("limit", out var text)
            && (!int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out limit) || limit is < 1 or > LargestLimit))
            throw new ProblemException(ProblemKind.BadQuery, $"limit is a number from 1 to {LargestLimit}.");
        var after = query["after"].ToString();
        if (after.Length > 0 && Ids.Canonical(after) is null)
            throw new ProblemException(ProblemKind.BadQuery, "after comes from the address of the next page; do not make one up.");
        return new Page(after, limit);
    }

    /// <summary>Every page of a list, for those that are short by nature.</summary>
    public static async Task<IReadOnlyList<T>> AllAsync<T>(Func<Page, Task<Paged<T>>> read)
    {
        var all = new List<T>();
        for (var page = First; ;)
        {
            var some = await read(page);
            all.AddRange(some.Items);
            if (some.NextAfter is null)
                return all;
            page = page with { After = some.NextAfter };
        }
    }

    public static IResult List<TRow, T>(HttpContext http, Paged<TRow> page, Func<TRow, T> map)
    {
        var next = page.NextAfter is null ? null : NextAddress(http, page.NextAfter);
        if (next is not null)
            http.Response.Headers.Link = $"<{next}>; rel=\"next\"";
        return Json.Answer(new ListAnswer<T>([.. page.Items.Select(map)], next));
    }

    private static string NextAddress(HttpContext http, string after)
    {
        var kept = http.Request.Query.Where(q => q.Key != "after").SelectMany(q => q.Value, (q, v) => KeyValuePair.Create(q.Key, v));
        return http.Request.Path + QueryString.Create(kept.Append(KeyValuePair.Create("after", (string?)after)));
    }
}
