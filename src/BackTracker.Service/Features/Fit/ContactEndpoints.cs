using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Service.Pictures;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Fit;

/// <summary>The saddle under its rider.</summary>
internal static class ContactEndpoints
{
    public static void MapContact(this IEndpointRouteBuilder routes)
    {
        var pairing = routes.MapGroup("/v1/pairings/{id}").WithTags("Fit");
        pairing.MapGet("/contact", GetAsync).Needs(Scope.Read).Computes<ContactAnswer>("The saddle under its rider beside a tree that follows the back: a static picture, in multiples and no unit");
        pairing.MapGet("/contact.svg", DrawAsync).Needs(Scope.Read).Draws("Picture of where the saddle presses under its rider, beside a tree that follows the back; width is in px");
    }

    private static async Task<IResult> GetAsync(
        string id, QueryDay? on, QueryDay? asOf, double? riderWeightKg, double? girthN, double? riderRightMm,
        Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        var rider = SupposedRider.Asked(riderWeightKg, girthN, riderRightMm);
        var known = await KnownPairing.LoadAsync(id, asOf, caller, database, clock, policy, cancel);
        var day = on?.Day ?? known.AsOf;
        return Json.Answer(ContactAnswer.Of(known, known.Fit(day, day), rider, day));
    }

    private static async Task<IResult> DrawAsync(
        string id, QueryDay? on, QueryDay? asOf, [WordsOf(typeof(PanelFirmness))] string? firmness, double? riderWeightKg, double? girthN, double? riderRightMm, int? width,
        Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        var (rider, panel) = (SupposedRider.Asked(riderWeightKg, girthN, riderRightMm), QueryWord.Of<PanelFirmness>("firmness", firmness) ?? PanelFirmness.Normal);
        var known = await KnownPairing.LoadAsync(id, asOf, caller, database, clock, policy, cancel);
        var (day, frame) = (on?.Day ?? known.AsOf, PictureAnswer.Frame(width));
        var (load, ridden) = (rider.LoadOn(known), known.Fit(day, day).Under(rider.LoadOn(known), day));
        return ridden.Saddles.Count > 0
            ? PictureAnswer.Of(ContactPictures.Of(known, ridden.Saddles.First(saddle => saddle.Firmness == panel), load, day, frame))
            : throw new ProblemException(ProblemKind.Impossible, string.Join(' ', ridden.Missing));
    }
}
