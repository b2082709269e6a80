using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Service.Pictures;
using BackTracker.Storage.Assessments;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Fit;

/// <summary>A saddle on a horse.</summary>
/// <param name="Yard">The yard.</param>
/// <param name="Horse">The horse.</param>
/// <param name="Saddle">What the yard calls the saddle.</param>
/// <param name="Assessed">The pairing as it was assessed last, with the advice whether to ride in it; null before that.</param>
/// <param name="Fit">The fit today.</param>
/// <param name="Forecast">When it leaves tolerance; null where the saddle is not in use.</param>
/// <param name="Stations">Stations that can be drawn, front to rear.</param>
/// <param name="Drawn">The one that is drawn: asked for, or that of the worst finding; null where none can be.</param>
/// <param name="Picture">The picture of it as SVG.</param>
public sealed record PairingModel(
    Named Yard, Named Horse, string Saddle, PairingDocument? Assessed, FitAnswer Fit, PairingForecastAnswer? Forecast,
    IReadOnlyList<string> Stations, string? Drawn, string Picture)
{
    /// <summary>Until or from when it is used; empty where it is in use.</summary>
    public required string NotInUse { get; init; }

    /// <summary>The risk by day as SVG, for a phone and for a desk; none where nothing can be compared.</summary>
    public required IReadOnlyList<string> RiskPictures { get; init; }

    /// <summary>What can be done at the panel.</summary>
    public required AdviceAnswer Advice { get; init; }

    /// <summary>The saddle under its rider.</summary>
    public required ContactAnswer Contact { get; init; }

    /// <summary>The picture of that as SVG; empty where it cannot be told.</summary>
    public required string ContactPicture { get; init; }
}

/// <summary>The page of a saddle on a horse: how it fits, in words and one picture, and for how long.</summary>
internal static class PairingPages
{
    private const int DeskPx = 700;

    public static void MapPairingPages(this IEndpointRouteBuilder routes) => routes.MapPage("/pairings/{id}", ShowAsync).Needs(Scope.Read);

    private static async Task<IResult> ShowAsync(
        HttpContext http, string id, string? station, Caller caller, KeptAdvice advice, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        var known = await KnownPairing.LoadAsync(id, null, caller, database, clock, policy, cancel);
        await using var session = await database.ReadAsync(cancel);
        var horse = (await HorseStore.FindAsync(session, caller.Sight, known.Row.HorseId))!;
        var yard = await Named.YardAsync(session, caller, horse.YardId);
        var latest = await AssessmentStore.LatestAsync(session, horse.Id);
        var assessed = latest is null ? null : AssessmentDocument.Read(latest.Outputs).Pairings.FirstOrDefault(p => p.PairingId == known.Row.Id);
        var last = known.AsOf.AddDays(known.Policy.HorizonDays);
        var fit = known.Fit(known.AsOf, last);
        var answer = FitEndpoints.Answer(known, fit, known.AsOf);
        var stations = SectionPictures.Stations(known, fit);
        var drawn = Drawn(stations, station ?? answer.Findings.OrderByDescending(f => f.Severity).FirstOrDefault(f => f.Station is not null && f.Severity is Severity.Out or Severity.Watch)?.Station);
        var forecast = known.NotInUse.Length > 0 ? null : PairingForecastAnswer.Of(known.Row.Id, fit, known.AsOf, last);
        var ridden = fit.Under(SupposedRider.Usual.LoadOn(known), known.AsOf);
        return PageRoutes.Show<PairingPage>(http, new PairingModel(
            yard, new(horse.Id, horse.Name), known.Pairing.SaddleLabel, assessed, answer,
            forecast,
            [.. stations.Select(at => at.ToString())], drawn?.ToString(), drawn is { } at ? SectionPictures.Of(known, fit, at, known.AsOf, PictureFrame.OnPage("section")) : "")
        {
            NotInUse = known.NotInUse,
            RiskPictures = forecast?.Overall is { } overall ? RiskByDay(RiskPictures.Drawing(known, overall.Days)) : [],
            Advice = AdviceAnswer.Of(known, fit, advice.For(known)),
            Contact = ContactAnswer.Of(known, fit, SupposedRider.Usual, known.AsOf, ridden),
            ContactPicture = UnderRider(known, ridden),
        });
    }

    private static string[] RiskByDay(RiskDrawing drawing) => [RiskPicture.Draw(drawing, PictureFrame.OnPage("risk-phone")), RiskPicture.Draw(drawing, new PictureFrame(DeskPx, "risk-desk"))];

    private static string UnderRider(KnownPairing known, RiddenFit ridden) => ridden.Saddles.FirstOrDefault(saddle => saddle.Firmness == PanelFirmness.Normal) is { } saddle
        ? ContactPictures.Of(known, saddle, SupposedRider.Usual.LoadOn(known), known.AsOf, PictureFrame.OnPage("contact"))
        : "";

    // Where nothing is asked for and nothing stands out: the middle, which bears most.
    private static Station? Drawn(IReadOnlyList<Station> stations, string? asked) =>
        stations.Count == 0 ? null : stations.Where(station => station.ToString() == asked).Append(stations[stations.Count / 2]).First();
}
