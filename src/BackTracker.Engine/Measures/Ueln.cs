namespace BackTracker.Engine.Measures;

/// <summary>
/// Universal Equine Life Number: 15 letters and digits, 3 digits of a country (ISO 3166), 3 of a studbook or database and 9 of the
/// animal. There is no general check digit (rules of attribution, ueln.net).
/// </summary>
public readonly record struct Ueln
{
    private Ueln(string text) => Text = text;

    /// <summary>The 15 characters, letters in capitals.</summary>
    public string Text { get; }

    /// <summary>Country and database together: the first 6 characters.</summary>
    public string Database => Text[..6];

    /// <summary>Reads 15 characters, spaces left out and letters in either case; false for anything else.</summary>
    public static bool TryParse(string? text, out Ueln ueln)
    {
        ueln = default;
        var plain = text?.Replace(" ", "", StringComparison.Ordinal).ToUpperInvariant();
        if (plain?.Length != 15 || !plain.All(char.IsAsciiLetterOrDigit) || !plain[..3].All(char.IsAsciiDigit))
            return false;
        ueln = new Ueln(plain);
        return true;
    }

    /// <summary>
    /// Makes the number of an animal from its database (6 characters) and its number there (up to 9 letters and digits), filled with
    /// zeros in front; false where that is not possible, special signs among it: their issuer says what replaces them.
    /// </summary>
    public static bool TryCompose(string? database, string? number, out Ueln ueln)
    {
        ueln = default;
        return database?.Length == 6 && number is { Length: > 0 and <= 9 } && TryParse(database + number.PadLeft(9, '0'), out ueln);
    }

    /// <summary>The 15 characters.</summary>
    public override string ToString() => Text;
}
