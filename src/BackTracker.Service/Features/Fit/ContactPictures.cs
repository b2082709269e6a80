using System.Globalization;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Service.Http;
using BackTracker.Service.Pictures;

namespace BackTracker.Service.Features.Fit;

/// <summary>Pictures of a saddle under its rider, from the same numbers as the answer.</summary>
internal static class ContactPictures
{
    /// <summary>The picture.</summary>
    /// <param name="known">What was known of the pairing.</param>
    /// <param name="saddle">The saddle under its rider.</param>
    /// <param name="load">The rider.</param>
    /// <param name="on">The day.</param>
    /// <param name="frame">Where the picture is to stand.</param>
    public static string Of(KnownPairing known, RiddenSaddle saddle, RiderLoad load, DateOnly on, PictureFrame frame) => ContactPicture.Draw(Drawing(known, saddle, load, on), frame);

    private static ContactDrawing Drawing(KnownPairing known, RiddenSaddle saddle, RiderLoad load, DateOnly on)
    {
        return new ContactDrawing(
            known.Trends.Facts.HorseName, known.Pairing.SaddleLabel, on, WordsOf(load, saddle.Firmness),
            Plan("this saddle", saddle.Own, region => (region.Mean, region.Greatest)),
            Plan("follows the back", saddle.Conforming, region => (region.ConformingMean, region.ConformingGreatest)));

        DrawnPlan Plan(string name, LoadedSaddle loaded, Func<CarriedRegion, (double, double)> pressures) => new(
            name, loaded.Patches.LengthMm, load.RightMm, [PanelOf(loaded, Side.Left, saddle), PanelOf(loaded, Side.Right, saddle)], WordsOf(saddle.Regions, pressures));
    }

    private static DrawnPanel PanelOf(LoadedSaddle loaded, Side side, RiddenSaddle saddle) => new(
        loaded.Patches.StripMm, [.. loaded.StripsOf(side).Select(strip => strip.LateralMm.Zip(strip.KPa, (lateral, kPa) => (lateral, saddle.Relative(kPa))).ToList())]);

    private static string WordsOf(RiderLoad load, PanelFirmness firmness) => string.Create(CultureInfo.InvariantCulture,
        $"Rider and tack {load.RiderAndTackKg:0} kg{(load.RightMm == 0 ? "" : $", {Math.Abs(load.RightMm):0} mm to the {(load.RightMm > 0 ? "right" : "left")}")}{(load.GirthN == 0 ? "" : $", girth {load.GirthN:0} N")}, {Words.Write(firmness)} panel.");

    private static string WordsOf(IReadOnlyList<CarriedRegion> regions, Func<CarriedRegion, (double Mean, double Greatest)> pressures) =>
        $"{string.Join("; ", regions.Select(region => string.Create(CultureInfo.InvariantCulture, $"{Words.Write(region.Side)} {Words.Write(region.Zone)} {pressures(region).Mean:0.0} in the mean and {pressures(region).Greatest:0.0} at most")))}.";
}
