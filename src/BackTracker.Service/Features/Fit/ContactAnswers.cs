using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;

namespace BackTracker.Service.Features.Fit;

/// <summary>What a third of a side carries, beside what it would carry under a tree that follows the back. Pressures are multiples of the mean under that tree.</summary>
/// <param name="Side">The side.</param>
/// <param name="Zone">The third of the panel.</param>
/// <param name="LoadShare">Its share of the load: follows from where the rider sits, and does not tell a wrong width.</param>
/// <param name="ConformingLoadShare">The same under a tree that follows the back.</param>
/// <param name="Mean">Mean pressure.</param>
/// <param name="ConformingMean">The same under a tree that follows the back.</param>
/// <param name="Greatest">Highest pressure of a patch of about 20 by 10 mm.</param>
/// <param name="ConformingGreatest">The same under a tree that follows the back.</param>
public sealed record ContactRegionAnswer(
    Side Side, Zone Zone, double LoadShare, double ConformingLoadShare, double Mean, double ConformingMean, double Greatest, double ConformingGreatest)
{
    public static ContactRegionAnswer Of(CarriedRegion region) => new(
        region.Side, region.Zone, region.LoadShare, region.ConformingLoadShare, region.Mean, region.ConformingMean, region.Greatest, region.ConformingGreatest);
}

/// <summary>The saddle under its rider with a panel that gives so much.</summary>
/// <param name="Firmness">How the panel with the tissue under it was taken to give.</param>
/// <param name="TouchingShare">Skin it touches as a share of all under the panel.</param>
/// <param name="Greatest">Highest pressure, as a multiple of the mean under a tree that follows the back.</param>
/// <param name="ConformingGreatest">The same under a tree that follows the back.</param>
/// <param name="Regions">Thirds from front to rear, left before right.</param>
/// <param name="LeftBridgeMm">Longest stretch on the left without contact between two places with contact, mm.</param>
/// <param name="RightBridgeMm">The same on the right.</param>
/// <param name="LowerOn">The side on which it lies lower; null where neither does. By how much is overstated and not told.</param>
/// <param name="PommelClearance">Room over the withers under the rider.</param>
/// <param name="SpineClearance">Least room over the spine under the rider, behind the front arch.</param>
/// <param name="PressedTogether">The most any patch of the panel is pressed together, as a share of its thickness; beyond 0.6 the picture no longer holds there.</param>
/// <param name="Text">In words.</param>
public sealed record ContactPanelAnswer(
    PanelFirmness Firmness, double TouchingShare, double Greatest, double ConformingGreatest, IReadOnlyList<ContactRegionAnswer> Regions,
    double LeftBridgeMm, double RightBridgeMm, Side? LowerOn, LoadedRoomAnswer PommelClearance, LoadedRoomAnswer SpineClearance, double PressedTogether, string Text)
{
    public static ContactPanelAnswer Of(RiddenSaddle saddle) => new(
        saddle.Firmness, saddle.Own.TouchingShare, saddle.Greatest, saddle.ConformingGreatest, [.. saddle.Regions.Select(ContactRegionAnswer.Of)],
        saddle.Own.BridgeMm(Side.Left), saddle.Own.BridgeMm(Side.Right), RiddenWords.LowerOn(saddle),
        LoadedRoomAnswer.Of(saddle.Own.PommelRoomMm, RiddenWords.PommelRoom), LoadedRoomAnswer.Of(saddle.Own.SpineRoomMm, RiddenWords.SpineRoom), saddle.Own.MostStrain, RiddenWords.Text(saddle));
}

/// <summary>Room under the rider.</summary>
/// <param name="RoomMm">Room, mm.</param>
/// <param name="WatchBelowMm">A guide, mm: common practice, no source.</param>
/// <param name="OutBelowMm">A guide, mm: common practice, no source.</param>
public sealed record LoadedRoomAnswer(double RoomMm, double WatchBelowMm, double OutBelowMm)
{
    public static LoadedRoomAnswer Of(double roomMm, Limits guide) => new(roomMm, guide.WatchBelow, guide.OutBelow);
}

/// <summary>A saddle under its rider on a day, beside a tree that follows the same back under the same rider: a static picture of a rigid tree on a still horse.</summary>
/// <param name="PairingId">The pairing.</param>
/// <param name="AsOf">The day known: nothing that happened later was looked at.</param>
/// <param name="On">The day the answer is about; a forecast where it is later than the day known.</param>
/// <param name="RiderAndTackKg">Rider and all tack, kg.</param>
/// <param name="GirthN">How hard the girth was taken to pull down, N.</param>
/// <param name="RiderRightMm">How far off the middle the rider was taken to sit, mm, + = right.</param>
/// <param name="FrontAndRear">How it lies from front to rear, in words from pitch and angle; empty where it cannot be told.</param>
/// <param name="Panels">With a soft, a normal and a firm panel, since how it gives is a guess; none where it cannot be told.</param>
/// <param name="Missing">Which measurements would tell it, or tell it better.</param>
/// <param name="Load">What the horse carries; null where rider, tack or horse were not weighed.</param>
/// <param name="Cautions">What to keep in mind.</param>
public sealed record ContactAnswer(
    string PairingId, DateOnly AsOf, DateOnly On, double RiderAndTackKg, double GirthN, double RiderRightMm, string FrontAndRear,
    IReadOnlyList<ContactPanelAnswer> Panels, IReadOnlyList<string> Missing, LoadAnswer? Load, IReadOnlyList<string> Cautions)
{
    internal static ContactAnswer Of(KnownPairing known, PairingFit fit, SupposedRider rider, DateOnly on) => Of(known, fit, rider, on, fit.Under(rider.LoadOn(known), on));

    internal static ContactAnswer Of(KnownPairing known, PairingFit fit, SupposedRider rider, DateOnly on, RiddenFit ridden)
    {
        var load = rider.LoadOn(known);
        return new(
            known.Row.Id, known.AsOf, on, load.RiderAndTackKg, load.GirthN, load.RightMm, ridden.FrontAndRear, [.. ridden.Saddles.Select(ContactPanelAnswer.Of)],
            [.. ridden.Missing, .. rider.MissingOf(known)], known.Load(rider.WeightKg), [.. known.CautionsOf(fit), .. Engine.Checks.Cautions.ForContact]);
    }
}
