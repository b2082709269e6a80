using BackTracker.Service.Http;

namespace BackTracker.Service.Pages;

/// <summary>Problems as people see them.</summary>
public partial class ErrorPage
{
    private static readonly PathString[] ForPrograms = ["/v1", "/openapi", "/health"];

    /// <summary>Whether the request came from somebody who looks at pages.</summary>
    internal static bool Answers(HttpContext http) => http.GetEndpoint() is RouteEndpoint route
        ? route.Metadata.GetMetadata<IsPage>() is not null
        : !ForPrograms.Any(part => http.Request.Path.StartsWithSegments(part)) && http.Request.Headers.Accept.ToString().Contains("text/html", StringComparison.OrdinalIgnoreCase);

    /// <summary>Says what went wrong; sends somebody who is not signed in to the sign-in page, but never away from a form that was filled in.</summary>
    internal static Task WriteAsync(HttpContext http, ProblemException problem)
    {
        if (problem.Kind != ProblemKind.NoKey)
            return PageRoutes.Show<ErrorPage>(http, problem, problem.Kind.Status).ExecuteAsync(http);
        if (!HttpMethods.IsGet(http.Request.Method))
            return PageRoutes.Show<SignedOutPage>(http, problem, problem.Kind.Status).ExecuteAsync(http);
        var to = http.Request.Path != "/" ? $"?to={Uri.EscapeDataString(http.Request.Path + http.Request.QueryString)}" : "";
        return Results.LocalRedirect(SignIn.Path + to).ExecuteAsync(http);
    }
}
