using BackTracker.Engine.Checks;

namespace BackTracker.Service.Features.Policies;

/// <summary>Where a value comes from.</summary>
public enum PolicyOrigin
{
    /// <summary>Nobody set it.</summary>
    Default,

    /// <summary>The operator of the service.</summary>
    Service,

    /// <summary>The yard.</summary>
    Yard,

    /// <summary>The pairing.</summary>
    Pairing,
}

/// <summary>A setting and its value in force.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Value">The value in force.</param>
/// <param name="Unit">Unit of the value.</param>
/// <param name="From">Where it comes from.</param>
/// <param name="Default">The value where nobody sets another.</param>
/// <param name="Least">The least it can be.</param>
/// <param name="Most">The most it can be.</param>
/// <param name="Narrowest">The narrowest level at which it may be set.</param>
/// <param name="Text">What it does.</param>
/// <param name="Source">Where the default comes from.</param>
public sealed record SettingAnswer(
    string Name, double Value, string Unit, PolicyOrigin From, double Default, double Least, double Most, PolicyLevel Narrowest, string Text, string Source);

/// <summary>The settings in force.</summary>
/// <param name="YardId">The yard.</param>
/// <param name="PairingId">The pairing; null where they are those of the yard.</param>
/// <param name="Settings">Every setting.</param>
public sealed record PolicyAnswer(string YardId, string? PairingId, IReadOnlyList<SettingAnswer> Settings)
{
    private static readonly CheckPolicy Defaults = new();

    public static PolicyAnswer OfYard(string yardId, CheckPolicy service, PolicyValues yard) => new(yardId, null, All(service, yard, PolicyValues.None));

    public static PolicyAnswer OfPairing(string yardId, string pairingId, CheckPolicy service, PolicyValues yard, PolicyValues pairing) =>
        new(yardId, pairingId, All(service, yard, pairing));

    private static IReadOnlyList<SettingAnswer> All(CheckPolicy service, PolicyValues yard, PolicyValues pairing)
    {
        var inForce = service.With(yard).With(pairing);
        return
        [
            .. PolicySettings.All.Select(setting => new SettingAnswer(
                setting.Name, setting.Of(inForce), setting.Unit, OriginOf(setting, service, yard, pairing), setting.Of(Defaults),
                setting.Least, setting.Most, setting.Narrowest, setting.Text, setting.Source)),
        ];
    }

    private static PolicyOrigin OriginOf(PolicySetting setting, CheckPolicy service, PolicyValues yard, PolicyValues pairing) =>
        pairing.ByName.ContainsKey(setting.Name) ? PolicyOrigin.Pairing
        : yard.ByName.ContainsKey(setting.Name) ? PolicyOrigin.Yard
        : setting.Of(service) == setting.Of(Defaults) ? PolicyOrigin.Default
        : PolicyOrigin.Service;
}
