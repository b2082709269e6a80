using System.Globalization;
using System.Reflection;
using BackTracker.Service.OpenApi;
using Microsoft.AspNetCore.Mvc;

namespace BackTracker.Service.Http;

/// <summary>
/// Refuses a query parameter that the route does not take, since a misspelt filter must not answer with everything, and one that cannot be read, by
/// name and with how to write it.
/// </summary>
internal sealed class KnownQuery(RequestDelegate next)
{
    private static readonly string[] Paging = ["after", "limit"];

    public Task InvokeAsync(HttpContext http)
    {
        if (http.Request.Query.Count > 0 && http.GetEndpoint() is { } endpoint && endpoint.Metadata.GetMetadata<MethodInfo>() is { } handler)
        {
            var taken = Taken(handler).Where(parameter => !http.Request.RouteValues.ContainsKey(parameter.Name!)).ToList();
            RefuseUnknown(http.Request.Query, [.. taken.Select(parameter => parameter.Name!).Concat(endpoint.Metadata.GetMetadata<TakesPage>() is null ? [] : Paging).Order(StringComparer.Ordinal)]);
            RefuseUnreadable(http.Request.Query, taken);
        }
        return next(http);
    }

    private static void RefuseUnknown(IQueryCollection query, List<string> known)
    {
        if (query.Keys.FirstOrDefault(name => !known.Contains(name)) is { } unknown)
            throw new ProblemException(ProblemKind.BadQuery, known.Count == 0
                ? $"'{unknown}' is not known here: this address takes no query parameters."
                : $"'{unknown}' is not known here. Known: {string.Join(", ", known)}.");
    }

    private static void RefuseUnreadable(IQueryCollection query, IEnumerable<ParameterInfo> taken)
    {
        foreach (var parameter in taken)
            if (query[parameter.Name!].ToString() is { Length: > 0 } text && Hint(Nullable.GetUnderlyingType(parameter.ParameterType), text) is { } hint)
                throw new ProblemException(ProblemKind.BadQuery, $"{parameter.Name} cannot be '{text}'. {hint}");
    }

    /// <summary>How to write what cannot be read; null where it can. Numbers and words are read as the framework reads them.</summary>
    private static string? Hint(Type? type, string text) => type switch
    {
        null => null,
        _ when type == typeof(QueryDay) => QueryDay.TryParse(text, null, out _) ? null : QueryDay.Hint,
        _ when type == typeof(bool) => bool.TryParse(text, out _) ? null : "Write true or false.",
        _ when type == typeof(int) => int.TryParse(text, CultureInfo.InvariantCulture, out _) ? null : "Write a whole number.",
        _ when type == typeof(double) => double.TryParse(text, CultureInfo.InvariantCulture, out _) ? null : "Write a number.",
        _ => throw new NotSupportedException($"A query parameter of type {type} is read by nobody."),
    };

    private static IEnumerable<ParameterInfo> Taken(MethodInfo handler) => handler.GetParameters()
        .Where(p => !p.IsDefined(typeof(FromRouteAttribute), inherit: false) && (Nullable.GetUnderlyingType(p.ParameterType) is not null || p.ParameterType == typeof(string)));
}
