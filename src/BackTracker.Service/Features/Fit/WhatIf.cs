using System.ComponentModel.DataAnnotations;
using BackTracker.Engine;
using BackTracker.Engine.Advice;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Service.Features.Saddles;
using BackTracker.Service.Features.Trends;
using BackTracker.Service.Http;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Fit;

/// <summary>A change that might be made to a saddle.</summary>
public sealed record SupposedAdjustment : ICheckedRequest
{
    /// <summary>What would be changed.</summary>
    [Required]
    public AdjustmentKind? Kind { get; init; }

    /// <summary>Where and by how much.</summary>
    [Required, MinLength(1), MaxLength(6)]
    public IReadOnlyList<ZoneRequest>? Zones { get; init; }

    public void Check(Faults faults) => AdjustmentRequest.CheckZones(faults, Zones!);
}

/// <summary>What to suppose; what is left out stays as it is.</summary>
public sealed record WhatIfRequest : ICheckedRequest
{
    /// <summary>Changes to the saddle, made on the day known.</summary>
    [MaxLength(20)]
    public IReadOnlyList<SupposedAdjustment>? Adjustments { get; init; }

    /// <summary>Another tree in its place, on the day known.</summary>
    public TreeRequest? TreeShape { get; init; }

    /// <summary>Where its front edge would lie behind T8, mm; as it is unless said.</summary>
    [Range(-300.0, 300.0)]
    public double? TreeFrontFromT8Mm { get; init; }

    /// <summary>Thickness of the pad, mm; as it is unless said.</summary>
    [Range(0.0, 60.0)]
    public double? PadMm { get; init; }

    /// <summary>Weight of another rider, kg.</summary>
    [Range(10.0, 200.0)]
    public double? RiderWeightKg { get; init; }

    /// <summary>The day the fit is about; today unless said.</summary>
    public DateOnly? On { get; init; }

    /// <summary>Days ahead to forecast, 1 to 365.</summary>
    [Range(1, TrendEndpoints.LongestHorizonDays)]
    public int? HorizonDays { get; init; }

    public void Check(Faults faults)
    {
    }
}

/// <summary>What a change would bring; nothing was recorded.</summary>
/// <param name="Fit">The fit that would result.</param>
/// <param name="Forecast">The forecast that would result.</param>
/// <param name="Contact">How it would press under its rider on the day of the fit.</param>
/// <param name="Warnings">What speaks against the change itself.</param>
public sealed record WhatIfAnswer(FitAnswer Fit, PairingForecastAnswer Forecast, ContactAnswer Contact, IReadOnlyList<string> Warnings);

/// <summary>Lays the saddle on the horse as it would be.</summary>
internal static class WhatIf
{
    private const string SupposedId = "supposed";

    public static async Task<IResult> AskAsync(
        string id, WhatIfRequest request, QueryDay? asOf, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        Requests.Validate(request);
        return Json.Answer(Of(await KnownPairing.LoadAsync(id, asOf, caller, database, clock, policy, cancel), request));
    }

    /// <summary>What a change would bring.</summary>
    public static WhatIfAnswer Of(KnownPairing known, WhatIfRequest request)
    {
        var (id, supposed) = (known.Row.Id, known with { Pairing = Suppose(known.Pairing, request, known.AsOf) });
        var (day, last) = (request.On ?? known.AsOf, known.AsOf.AddDays(TrendEndpoints.HorizonOf(request.HorizonDays, TrendEndpoints.LongestHorizonDays)));
        var fit = supposed.Fit(DayOrder.Earlier(day, known.AsOf), DayOrder.Later(day, last));
        return new WhatIfAnswer(
            FitEndpoints.Answer(supposed, fit, day, request.RiderWeightKg), PairingForecastAnswer.Of(id, fit, known.AsOf, last),
            ContactAnswer.Of(supposed, fit, SupposedRider.Usual with { WeightKg = request.RiderWeightKg }, day), WarningsOf(known, request));
    }

    private static PairingFact Suppose(PairingFact pairing, WhatIfRequest request, DateOnly on)
    {
        var inPlace = request.TreeShape is not { } shape ? pairing : pairing with
        {
            Tree = pairing.Tree == TreeKind.Treeless ? TreeKind.Rigid : pairing.Tree,
            TreeShapes = [SaddleFacts.ToFact(SupposedId, on, shape)],
            Adjustments = [],
        };
        return inPlace.Changed(on, (request.Adjustments ?? []).Select(change => (change.Kind!.Value, (IReadOnlyList<ZoneChange>)[.. change.Zones!.Select(SaddleFacts.ToChange)]))) with
        {
            TreeFrontFromT8Mm = request.TreeFrontFromT8Mm ?? pairing.TreeFrontFromT8Mm,
            PadMm = request.PadMm ?? pairing.PadMm,
        };
    }

    private static List<string> WarningsOf(KnownPairing known, WhatIfRequest request)
    {
        var thickness = (request.Adjustments ?? []).Where(a => EffectiveTree.IsThickness(a.Kind!.Value)).ToList();
        var thicker = thickness.Exists(a => a.Zones!.Any(z => z.Mm > 0)) || request.PadMm > known.Pairing.PadMm;
        var warnings = new List<string>();
        if (thicker && known.Fit(known.AsOf, known.AsOf).On(known.AsOf).FirstOrDefault(finding => finding.IsNarrow) is { } narrow)
            warnings.Add($"{narrow.Statement}. Padding never cures a narrow saddle: more thickness makes it narrower still.");
        if (known.VetFirst && thickness.Exists(a => AdjustmentRequest.IsUnequal(a.Zones!)))
            warnings.Add("A vet-first sign is open: no flocking is made unequal left and right before a vet has looked.");
        return warnings;
    }
}
