using BackTracker.Service.Http;

namespace BackTracker.Service.Pages;

/// <summary>Problems as people see them.</summary>
public partial class ErrorPage
{
    /// <summary>Whether the request came from somebody who looks at pages.</summary>
    internal static bool Answers(HttpContext http) => http.GetEndpoint() is { } endpoint
        ? endpoint.Metadata.GetMetadata<IsPage>() is not null
        : !http.Request.Path.StartsWithSegments("/v1") && http.Request.Headers.Accept.ToString().Contains("text/html", StringComparison.OrdinalIgnoreCase);

    /// <summary>Says what went wrong; sends somebody who is not signed in to the sign-in page.</summary>
    internal static Task WriteAsync(HttpContext http, ProblemException problem)
    {
        if (problem.Kind != ProblemKind.NoKey)
            return PageRoutes.Show<ErrorPage>(http, problem, problem.Kind.Status).ExecuteAsync(http);
        var to = HttpMethods.IsGet(http.Request.Method) && http.Request.Path != "/" ? $"?to={Uri.EscapeDataString(http.Request.Path + http.Request.QueryString)}" : "";
        return Results.LocalRedirect(SignIn.Path + to).ExecuteAsync(http);
    }
}
