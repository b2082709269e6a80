using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using BackTracker.Storage.Assessments;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Fit;

/// <summary>A saddle on a horse.</summary>
/// <param name="Yard">The yard.</param>
/// <param name="Horse">The horse.</param>
/// <param name="Saddle">What the yard calls the saddle.</param>
/// <param name="Assessed">The pairing as it was assessed last, with the advice whether to ride in it; null before that.</param>
/// <param name="Fit">The fit today.</param>
/// <param name="Forecast">When it leaves tolerance.</param>
public sealed record PairingModel(Named Yard, Named Horse, string Saddle, PairingDocument? Assessed, FitAnswer Fit, PairingForecastAnswer Forecast);

/// <summary>The page of a saddle on a horse: how it fits, in words and one picture, and for how long.</summary>
internal static class PairingPages
{
    public static void MapPairingPages(this IEndpointRouteBuilder routes) => routes.MapPage("/pairings/{id}", ShowAsync).Needs(Scope.Read);

    private static async Task<IResult> ShowAsync(
        HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        var known = await KnownPairing.LoadAsync(id, null, caller, database, clock, policy, cancel);
        await using var session = await database.ReadAsync(cancel);
        var horse = (await HorseStore.FindAsync(session, caller.Sight, known.Row.HorseId))!;
        var yard = (await YardStore.FindAsync(session, Sight.All, horse.YardId))!;
        var latest = await AssessmentStore.LatestAsync(session, horse.Id);
        var assessed = latest is null ? null : AssessmentDocument.Read(latest.Outputs).Pairings.FirstOrDefault(p => p.PairingId == known.Row.Id);
        var last = known.AsOf.AddDays(policy.HorizonDays);
        var fit = known.Fit(known.AsOf, last);
        return PageRoutes.Show<PairingPage>(http, new PairingModel(
            new(yard.Id, yard.Name), new(horse.Id, horse.Name), known.Pairing.SaddleLabel, assessed,
            FitEndpoints.Answer(known, fit, known.AsOf), PairingForecastAnswer.Of(known.Row.Id, fit, known.AsOf, last)));
    }
}
