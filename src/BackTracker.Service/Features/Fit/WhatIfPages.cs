using BackTracker.Engine.Checks;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Fit;

/// <summary>A saddle on a horse as it is and as it would be.</summary>
/// <param name="Yard">The yard.</param>
/// <param name="Horse">The horse.</param>
/// <param name="PairingId">The pairing.</param>
/// <param name="Saddle">What the yard calls the saddle.</param>
/// <param name="Form">What is supposed.</param>
/// <param name="Now">The fit today; null until something was supposed.</param>
/// <param name="NowAhead">When it leaves tolerance as it is; null until something was supposed.</param>
/// <param name="Supposed">What the change would bring; null until something was supposed.</param>
public sealed record WhatIfModel(
    Named Yard, Named Horse, string PairingId, string Saddle, FormState Form, FitAnswer? Now, PairingForecastAnswer? NowAhead, WhatIfAnswer? Supposed);

/// <summary>The page on which a change to a saddle is supposed; nothing is recorded.</summary>
internal static class WhatIfPages
{
    private const string Path = "/pairings/{id}/what-if";

    public static void MapWhatIfPages(this IEndpointRouteBuilder routes)
    {
        routes.MapPage(Path, async (HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel) =>
            PageRoutes.Show<WhatIfPage>(http, await LoadAsync(await KnownPairing.LoadAsync(id, null, caller, database, clock, policy, cancel), FormState.New(clock), caller, database, cancel)))
            .Needs(Scope.Read);
        routes.MapForm(Path, AskAsync).Needs(Scope.Read);
    }

    private static async Task<IResult> AskAsync(
        HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        var fields = await http.Request.ReadFormAsync(cancel);
        var form = new FormJson(fields);
        var known = await KnownPairing.LoadAsync(id, null, caller, database, clock, policy, cancel);
        var model = await LoadAsync(known, FormState.New(clock, [.. fields.Select(field => (field.Key, field.Value.ToString()))]), caller, database, cancel);
        return await FormPost.AnswerAsync(
            http, form,
            () =>
            {
                var request = form.Read<WhatIfRequest>();
                Requests.Validate(request);
                model = Compared(model, known, request);
                return Task.FromResult(Results.Empty);
            },
            () => PageRoutes.Show<WhatIfPage>(http, model),
            refused => Task.FromResult<IResult>(PageRoutes.Show<WhatIfPage>(http, model with { Form = refused }, StatusCodes.Status422UnprocessableEntity)));
    }

    private static WhatIfModel Compared(WhatIfModel model, KnownPairing known, WhatIfRequest request)
    {
        var supposed = WhatIf.Of(known, request);
        var last = known.AsOf.AddDays(known.Policy.HorizonDays);
        var fit = known.Fit(known.AsOf, last);
        return model with { Supposed = supposed, Now = FitEndpoints.Answer(known, fit, known.AsOf), NowAhead = PairingForecastAnswer.Of(known.Row.Id, fit, known.AsOf, last) };
    }

    private static async Task<WhatIfModel> LoadAsync(KnownPairing known, FormState form, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var horse = (await HorseStore.FindAsync(session, caller.Sight, known.Row.HorseId))!;
        return new WhatIfModel(await Named.YardAsync(session, caller, horse.YardId), new(horse.Id, horse.Name), known.Row.Id, known.Pairing.SaddleLabel, form, null, null, null);
    }
}
