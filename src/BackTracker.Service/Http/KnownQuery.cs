using System.Reflection;
using BackTracker.Service.OpenApi;
using Microsoft.AspNetCore.Mvc;

namespace BackTracker.Service.Http;

/// <summary>Refuses a query parameter that the route does not take: a misspelt filter must not answer with everything.</summary>
internal sealed class KnownQuery(RequestDelegate next)
{
    private static readonly string[] Paging = ["after", "limit"];

    public Task InvokeAsync(HttpContext http)
    {
        if (http.Request.Query.Count > 0 && http.GetEndpoint() is { } endpoint && endpoint.Metadata.GetMetadata<MethodInfo>() is { } handler)
        {
            var known = Names(handler).Except(http.Request.RouteValues.Keys).Concat(endpoint.Metadata.GetMetadata<TakesPage>() is null ? [] : Paging).Order(StringComparer.Ordinal).ToList();
            if (http.Request.Query.Keys.FirstOrDefault(name => !known.Contains(name)) is { } unknown)
                throw new ProblemException(ProblemKind.BadQuery, known.Count == 0
                    ? $"'{unknown}' is not known here: this address takes no query parameters."
                    : $"'{unknown}' is not known here. Known: {string.Join(", ", known)}.");
        }
        return next(http);
    }

    private static IEnumerable<string> Names(MethodInfo handler) => handler.GetParameters()
        .Where(p => !p.IsDefined(typeof(FromRouteAttribute), inherit: false) && (Nullable.GetUnderlyingType(p.ParameterType) is not null || p.ParameterType == typeof(string)))
        .Select(p => p.Name!);
}
