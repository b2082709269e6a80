using System.Globalization;
using BackTracker.Engine.Checks;
using BackTracker.Service.Pages;

namespace BackTracker.Service.Features.Policies;

/// <summary>Settings as people read them.</summary>
internal static class SettingWords
{
    /// <summary>The name of its field.</summary>
    public static string Field(SettingAnswer setting) => $"/{setting.Name}";

    /// <summary>What it does, with its unit.</summary>
    public static string Label(SettingAnswer setting) =>
        $"{setting.Text.TrimEnd('.')}{(IsBare(setting.Unit) || setting.Text.Contains(setting.Unit, StringComparison.OrdinalIgnoreCase) ? "" : $", {setting.Unit}")}";

    /// <summary>What is in force and where it comes from.</summary>
    public static string InForce(SettingAnswer setting) => setting.From switch
    {
        PolicyOrigin.Yard => $"{Value(setting, setting.Value)}, set by this yard; usually {Value(setting, setting.Default)}",
        PolicyOrigin.Service => $"{Value(setting, setting.Value)}, set by the operator for every yard; usually {Value(setting, setting.Default)}",
        _ => $"{Value(setting, setting.Value)}, the usual value",
    };

    /// <summary>What it can be, and where its usual value comes from.</summary>
    public static string Range(SettingAnswer setting) => $"From {Number(setting.Least)} to {Number(setting.Most)}. {Engine.Words.Sentence(setting.Source)}.";

    public static string Number(double value) => value.ToString(CultureInfo.InvariantCulture);

    /// <summary>A form with its faults in words: programs are told the names of settings, people what they do.</summary>
    public static FormState Plain(FormState form) => form with { Faults = form.Faults.ToDictionary(fault => fault.Key, fault => Plain(fault.Key, fault.Value)) };

    private static string Plain(string field, string text) => PolicySettings.All
        .OrderByDescending(setting => setting.Name.Length)
        .Aggregate(text, (words, setting) => words.Replace(setting.Name, field == $"/{setting.Name}" ? "This" : $"\u201c{setting.Text.TrimEnd('.')}\u201d", StringComparison.Ordinal));

    private static string Value(SettingAnswer setting, double value) => IsBare(setting.Unit) ? Number(value) : $"{Number(value)} {setting.Unit}";

    private static bool IsBare(string unit) => unit is "probability" or "share" or "-";
}
