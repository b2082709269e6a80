using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Trends;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Service.Pictures;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Fit;

/// <summary>Tree against back on any day, when it leaves tolerance, and what it would be if something were changed.</summary>
internal static class FitEndpoints
{
    private const string NotBegun = "The saddle was not yet used on the horse on that day.";

    public static void MapFit(this IEndpointRouteBuilder routes)
    {
        var pairing = routes.MapGroup("/v1/pairings/{id}").WithTags("Fit");
        pairing.MapGet("/fit", FitAsync).Needs(Scope.Read).Computes<FitAnswer>("Tree against back on a day");
        pairing.MapGet("/fit.svg", DrawAsync).Needs(Scope.Read)
            .Draws("Picture of one station from behind, the tree over the back expected on a day; station has to be named, width is in px");
        pairing.MapGet("/forecast", ForecastAsync).Needs(Scope.Read).Computes<PairingForecastAnswer>("Probability of being out of tolerance on and by each day");
        pairing.MapGet("/forecast.svg", DrawForecastAsync).Needs(Scope.Read)
            .Draws("Picture of the probability of being out of tolerance, on and by each day, with the checks to come; width is in px");
        pairing.MapGet("/advice", AdviseAsync).Needs(Scope.Read).Computes<AdviceAnswer>("The small adjustment of the panel that keeps the saddle in tolerance longest, or why there is none");
        pairing.MapPost("/what-if", WhatIf.AskAsync).Needs(Scope.Read).Computes<WhatIfAnswer>("Fit and forecast that a change would bring; nothing is recorded").Refuses(ProblemKind.Impossible);
    }

    private static async Task<IResult> FitAsync(
        string id, QueryDay? on, QueryDay? asOf, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        var known = await KnownPairing.LoadAsync(id, asOf, caller, database, clock, policy, cancel);
        var day = on?.Day ?? known.AsOf;
        return Json.Answer(known.HasBegun ? Answer(known, known.Fit(day, day), day) : new FitAnswer(id, known.AsOf, day, [], [NotBegun], null, Cautions.ForFit));
    }

    private static async Task<IResult> DrawAsync(
        string id, QueryDay? on, QueryDay? asOf, string? station, int? width, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        var known = await KnownPairing.LoadAsync(id, asOf, caller, database, clock, policy, cancel);
        var asked = QueryWord.Station(station);
        if (!known.HasBegun)
            throw new ProblemException(ProblemKind.Impossible, NotBegun);
        var day = on?.Day ?? known.AsOf;
        var (frame, fit) = (PictureAnswer.Frame(width), known.Fit(day, day));
        var stations = SectionPictures.Stations(known, fit);
        return stations.Contains(asked)
            ? PictureAnswer.Of(SectionPictures.Of(known, fit, asked, day, frame))
            : throw new ProblemException(ProblemKind.Impossible, NothingAt(asked, stations, fit));
    }

    private static string NothingAt(Station station, IReadOnlyList<Station> others, PairingFit fit) => string.Join(' ',
    [
        $"Tree and back cannot be drawn at {station}.",
        .. others.Count > 0 ? [$"They can at {string.Join(", ", others)}."] : fit.Missing,
    ]);

    /// <summary>A fit with what stands beside it.</summary>
    public static FitAnswer Answer(KnownPairing known, PairingFit fit, DateOnly day, double? riderKg = null) => new(
        known.Row.Id, known.AsOf, day, [.. fit.On(day).Select(FindingDocument.Of)], fit.Missing, known.Load(riderKg), known.CautionsOf(fit));

    private static async Task<IResult> AdviseAsync(
        string id, QueryDay? asOf, Caller caller, KeptAdvice advice, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        var known = await KnownPairing.LoadAsync(id, asOf, caller, database, clock, policy, cancel);
        return Json.Answer(AdviceAnswer.Of(known, known.Fit(known.AsOf, known.AsOf), advice.For(known)));
    }

    private static async Task<IResult> ForecastAsync(
        string id, QueryDay? asOf, int? horizonDays, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        var horizon = TrendEndpoints.HorizonOf(horizonDays, TrendEndpoints.LongestHorizonDays);
        var known = await KnownPairing.LoadAsync(id, asOf, caller, database, clock, policy, cancel);
        var last = known.AsOf.AddDays(horizon);
        return Json.Answer(
            known.HasBegun
                ? PairingForecastAnswer.Of(id, known.Fit(known.AsOf, last), known.AsOf, last)
                : new PairingForecastAnswer(id, known.AsOf, null, null, null, null, [], [NotBegun], Cautions.ForFit));
    }

    private static async Task<IResult> DrawForecastAsync(
        string id, QueryDay? asOf, int? horizonDays, int? width, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        var known = await KnownPairing.LoadAsync(id, asOf, caller, database, clock, policy, cancel);
        if (!known.HasBegun)
            throw new ProblemException(ProblemKind.Impossible, NotBegun);
        var last = known.AsOf.AddDays(TrendEndpoints.HorizonOf(horizonDays, known.Policy.HorizonDays));
        var forecast = PairingForecastAnswer.Of(id, known.Fit(known.AsOf, last), known.AsOf, last);
        return forecast.Overall is { } overall
            ? PictureAnswer.Of(RiskPicture.Draw(RiskPictures.Drawing(known, overall.Days), PictureAnswer.Frame(width)))
            : throw new ProblemException(ProblemKind.Impossible, string.Join(' ', ["Nothing that moves with the back can be compared yet.", .. forecast.Missing]));
    }
}
