using BackTracker.Engine.Checks;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Policies;

/// <summary>What the page of a yard's settings shows.</summary>
public sealed record SettingsModel
{
    /// <summary>The yard.</summary>
    public required Named Yard { get; init; }

    /// <summary>What is in force.</summary>
    public required PolicyAnswer Policy { get; init; }

    /// <summary>Version of it, as the form sends it back.</summary>
    public required string Version { get; init; }

    /// <summary>Whether whoever looks may change it.</summary>
    public required bool MayChange { get; init; }

    /// <summary>Whether whoever looks may make keys.</summary>
    public required bool MayMakeKeys { get; init; }

    /// <summary>The form.</summary>
    public required FormState Form { get; init; }
}

/// <summary>The settings of a yard: what is in force, where each comes from, and a form to change them.</summary>
internal static class SettingsPages
{
    public static void MapSettingsPages(this IEndpointRouteBuilder routes)
    {
        routes.MapPage("/yards/{id}/settings", AskAsync).Needs(Scope.Read);
        routes.MapForm("/yards/{id}/settings", ChangeAsync).Needs(Scope.Manage);
    }

    private static async Task<IResult> AskAsync(HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CheckPolicy service)
    {
        var shown = await LoadAsync(http, id, caller, database, service, FormState.New(clock));
        var own = shown.Policy.Settings.Where(setting => setting.From == PolicyOrigin.Yard).Select(setting => (SettingWords.Field(setting), SettingWords.Number(setting.Value)));
        return PageRoutes.Show<SettingsPage>(http, shown with { Form = FormState.New(clock, [.. own]) });
    }

    private static async Task<IResult> ChangeAsync(HttpContext http, string id, Caller caller, Database database, Writes writes, CheckPolicy service)
    {
        var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
        return await FormPost.TakeAsync(
            http, form, () => PolicyEndpoints.PutYardAsync(http, id, form.Read<PolicyRequest>(), caller, writes, service), $"/yards/{id}/settings",
            async state => PageRoutes.Show<SettingsPage>(http, await LoadAsync(http, id, caller, database, service, SettingWords.Plain(state)), StatusCodes.Status422UnprocessableEntity));
    }

    private static async Task<SettingsModel> LoadAsync(HttpContext http, string id, Caller caller, Database database, CheckPolicy service, FormState form)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var yard = await Named.YardAsync(session, caller, id);
        var policy = await PolicyEndpoints.OfYardAsync(session, yard.Id, service);
        return new SettingsModel
        {
            Yard = yard,
            Policy = policy,
            Version = Conditional.Etag(PolicyEndpoints.VersionOf(policy)),
            MayChange = caller.May(Scope.Manage),
            MayMakeKeys = caller.May(Scope.Admin),
            Form = form,
        };
    }
}
