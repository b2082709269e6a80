using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;
using Microsoft.AspNetCore.Http.HttpResults;

namespace BackTracker.Service.Pages;

/// <summary>What the sign-in page shows.</summary>
/// <param name="To">Where to go afterwards.</param>
/// <param name="Fault">What was wrong with the key; null at first.</param>
public sealed record SignInModel(string To, string? Fault);

/// <summary>Signing in with a key, and out; the first page.</summary>
internal static class SignIn
{
    public const string Path = "/sign-in";

    public static void MapSignIn(this IEndpointRouteBuilder routes)
    {
        routes.MapPage(Path, (HttpContext http, string? to) => Show(http, new SignInModel(Inside(to), null)));
        routes.MapForm(Path, InAsync);
        routes.MapForm("/sign-out", OutAsync);
        routes.MapPage("/", FirstAsync).Needs(Scope.Read);
    }

    private static RazorComponentResult Show(HttpContext http, SignInModel model) =>
        PageRoutes.Show<SignInPage>(http, model, model.Fault is null ? 200 : 422);

    private static async Task<IResult> InAsync(HttpContext http, Database database, TimeProvider clock, RateLimits limits)
    {
        var form = await http.Request.ReadFormAsync(http.RequestAborted);
        var to = Inside(form["to"]);
        await using var session = await database.ReadAsync(http.RequestAborted);
        var secret = form["key"].ToString();
        if (await KeyAuthentication.FindAsync(session, secret, clock.GetUtcNow()) is not { } key)
        {
            limits.CountFailedTry(http, secret);
            return Show(http, new SignInModel(to, "This key is not known, has expired or was revoked. A key begins with bt_ and is shown once, when it is made. Ask whoever runs BackTracker for a new one."));
        }
        await PageSession.BeginAsync(http, Caller.OfKey(key));
        limits.NoteSignedIn(http, key.Id);
        return Results.LocalRedirect(to);
    }

    private static async Task<IResult> OutAsync(HttpContext http)
    {
        await PageSession.EndAsync(http);
        return Results.LocalRedirect(Path);
    }

    /// <summary>The board of the only yard, or the choice among several.</summary>
    private static async Task<IResult> FirstAsync(HttpContext http, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var yards = (await YardStore.ListAsync(session, caller.Sight, Paging.First)).Items;
        return yards.Count == 1
            ? Results.LocalRedirect($"/yards/{yards[0].Id}")
            : PageRoutes.Show<YardsPage>(http, (IReadOnlyList<Named>)[.. yards.Select(yard => new Named(yard.Id, yard.Name))]);
    }

    // Never away from this service: an address that begins with two slashes, or with a backslash, is another host's. What is no plain ASCII fits no header.
    private static string Inside(string? to) => to is ['/', not ('/' or '\\'), ..] && !to.AsSpan().ContainsAnyExceptInRange('!', '~') ? to : "/";
}

/// <summary>Something with an address and a name.</summary>
/// <param name="Id">Id.</param>
/// <param name="Name">Name.</param>
public sealed record Named(string Id, string Name)
{
    /// <summary>The yard of something the caller may see.</summary>
    internal static async Task<Named> YardAsync(ReadSession session, Caller caller, string yardId)
    {
        var yard = await YardEndpoints.RequireAsync(session, caller, yardId);
        return new Named(yard.Id, yard.Name);
    }
}
