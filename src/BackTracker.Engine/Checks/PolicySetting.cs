using System.Globalization;
using System.Reflection;

namespace BackTracker.Engine.Checks;

/// <summary>For whom a setting may be set, from the widest to the narrowest; what is narrower goes first.</summary>
public enum PolicyLevel
{
    /// <summary>The whole service.</summary>
    Service,

    /// <summary>The horses of a yard.</summary>
    Yard,

    /// <summary>A saddle on a horse.</summary>
    Pairing,
}

/// <summary>What a setting of <see cref="CheckPolicy"/> is, what it can be and where its default comes from.</summary>
public sealed class PolicySetting
{
    private readonly PropertyInfo property;

    internal PolicySetting(string property, string unit, double least, double most, PolicyLevel narrowest, string text, string source)
    {
        this.property = typeof(CheckPolicy).GetProperty(property) ?? throw new ArgumentException($"There is no setting {property}.", nameof(property));
        (Unit, Least, Most, Narrowest, Text, Source) = (unit, least, most, narrowest, text, source);
    }

    /// <summary>Its name, for example "riskLimit".</summary>
    public string Name => char.ToLowerInvariant(property.Name[0]) + property.Name[1..];

    /// <summary>Its unit.</summary>
    public string Unit { get; }

    /// <summary>The least it can be.</summary>
    public double Least { get; }

    /// <summary>The most it can be.</summary>
    public double Most { get; }

    /// <summary>The narrowest level at which it may be set.</summary>
    public PolicyLevel Narrowest { get; }

    /// <summary>What it does, in a sentence.</summary>
    public string Text { get; }

    /// <summary>Where its default comes from.</summary>
    public string Source { get; }

    /// <summary>Whether it is counted in whole numbers.</summary>
    public bool IsWhole => property.PropertyType == typeof(int);

    /// <summary>Its value in a policy.</summary>
    public double Of(CheckPolicy policy) => Convert.ToDouble(property.GetValue(policy), CultureInfo.InvariantCulture);

    /// <summary>The policy with another value of it.</summary>
    public CheckPolicy In(CheckPolicy policy, double value)
    {
        ArgumentNullException.ThrowIfNull(policy);
        var changed = policy with { };
        property.SetValue(changed, Convert.ChangeType(value, property.PropertyType, CultureInfo.InvariantCulture));
        return changed;
    }

    /// <summary>What it can be, in words that follow "use".</summary>
    public string Range => string.Create(CultureInfo.InvariantCulture, $"a {(IsWhole ? "whole number" : "number")} from {Least} to {Most}");

    /// <summary>Whether it can have a value.</summary>
    public bool Takes(double value) => value >= Least && value <= Most && (!IsWhole || value == Math.Floor(value));
}
