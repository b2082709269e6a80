using System.Globalization;

namespace BackTracker.Engine.Measures;

/// <summary>
/// Number of an implanted transponder as people write it (ISO 11784): 15 decimal digits, 3 of a country (ISO 3166) or, from 900 on, of a
/// manufacturer, and 12 of the animal, which are 38 bits. It holds no check digit. Leading zeros count, so it is text.
/// </summary>
public readonly record struct Microchip
{
    /// <summary>The largest number of an animal: 38 bits.</summary>
    public const long LargestId = (1L << 38) - 1;

    private Microchip(string digits) => Digits = digits;

    /// <summary>The 15 digits.</summary>
    public string Digits { get; }

    /// <summary>Country, or manufacturer from 900 on.</summary>
    public int Prefix => int.Parse(Digits.AsSpan(0, 3), CultureInfo.InvariantCulture);

    /// <summary>Whether the prefix names a manufacturer (900 to 998; 999 is for tests) rather than a country.</summary>
    public bool IsManufacturerPrefix => Prefix >= 900;

    /// <summary>Reads 15 digits, spaces left out; false for anything else, for the prefix 000 and for an animal number over <see cref="LargestId"/>.</summary>
    public static bool TryParse(string? text, out Microchip chip)
    {
        chip = default;
        var digits = text?.Replace(" ", "", StringComparison.Ordinal);
        if (digits?.Length != 15 || !digits.All(char.IsAsciiDigit))
            return false;
        if (digits.StartsWith("000", StringComparison.Ordinal) || long.Parse(digits.AsSpan(3), CultureInfo.InvariantCulture) > LargestId)
            return false;
        chip = new Microchip(digits);
        return true;
    }

    /// <summary>The 15 digits.</summary>
    public override string ToString() => Digits;
}
