namespace BackTracker.Service.Pages;

/// <summary>The page that says what waits on this phone to be sent, and opens without a signal. Its script fills it: the service knows nothing of it yet.</summary>
internal static class WaitingPages
{
    public const string Path = "/waiting";

    public static void MapWaitingPage(this IEndpointRouteBuilder routes) => routes.MapPage(Path, (HttpContext http) => PageRoutes.Show<WaitingPage>(http, Path));
}
