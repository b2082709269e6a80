using System.Globalization;
using BackTracker.Engine.Checks;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Policies;

/// <summary>What settings a level may have of its own.</summary>
internal static class PolicyRules
{
    /// <summary>The settings asked for, where each may be set at the level, is in its range and goes with those above.</summary>
    /// <exception cref="ProblemException">Something cannot be; all faults are named at once.</exception>
    public static PolicyValues Check(PolicyRequest request, PolicyLevel level, CheckPolicy above)
    {
        var faults = new Faults();
        foreach (var (name, value) in request.Values)
            if (Fault(PolicySettings.Find(name)!, value, level) is { } text)
                faults.Add($"/{name}", text);
        var own = new PolicyValues(request.Values);
        if (!faults.Any)
            AddCrossed(faults, above.With(own), own, crossed => Has(own, crossed.Lower) ? crossed.Lower : crossed.Higher, "");
        return faults.Any ? throw faults.ToProblem() : own;
    }

    /// <summary>Refuses settings of a yard that do not go with what one of its pairings has of its own.</summary>
    public static void RefuseCrossed(CheckPolicy inYard, string pairingId, PolicyValues pairing)
    {
        var faults = new Faults();
        AddCrossed(
            faults, inYard.With(pairing), pairing, crossed => Has(pairing, crossed.Lower) ? crossed.Higher : crossed.Lower,
            $" Pairing {pairingId} has the other one of its own: change that first (PUT /v1/pairings/{pairingId}/policy).");
        if (faults.Any)
            throw faults.ToProblem();
    }

    private static string? Fault(PolicySetting setting, double value, PolicyLevel level) =>
        setting.Narrowest == PolicyLevel.Service ? $"{setting.Name} is set for the whole service only, by its operator."
        : setting.Narrowest < level ? $"{setting.Name} is about the horse and not about one saddle: set it for the yard."
        : setting.Takes(value) ? null
        : $"{setting.Name} cannot be {Number(value)}: use {setting.Range} ({setting.Unit}).";

    private static bool Has(PolicyValues own, PolicySetting setting) => own.ByName.ContainsKey(setting.Name);

    // What does not go together above is not the fault of a level that has neither of the two.
    private static void AddCrossed(Faults faults, CheckPolicy policy, PolicyValues own, Func<CrossedSettings, PolicySetting> at, string more)
    {
        foreach (var crossed in PolicySettings.CrossedIn(policy).Where(crossed => Has(own, crossed.Lower) || Has(own, crossed.Higher)))
            faults.Add(
                $"/{at(crossed).Name}",
                $"{crossed.Lower.Name} ({Number(crossed.Lower.Of(policy))}) must be less than {crossed.Higher.Name} ({Number(crossed.Higher.Of(policy))}).{more}");
    }

    private static string Number(double value) => value.ToString(CultureInfo.InvariantCulture);
}
