using System.Globalization;

namespace BackTracker.Engine.Measures;

/// <summary>
/// A place along the back, named after the thoracic vertebra it lies over: T5 to T18.
/// The default value is not a station and is refused by <see cref="Metric"/>.
/// </summary>
public readonly record struct Station : IComparable<Station>
{
    /// <summary>The foremost vertebra that can be a station.</summary>
    public const int First = 5;

    /// <summary>The rearmost vertebra that can be a station: the last rib, where the saddle's bearing ends.</summary>
    public const int Last = 18;

    private Station(int vertebra) => Vertebra = vertebra;

    /// <summary>Number of the thoracic vertebra, 5 to 18.</summary>
    public int Vertebra { get; }

    /// <summary>The station over thoracic vertebra <paramref name="vertebra"/>.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Not 5 to 18.</exception>
    public static Station Of(int vertebra)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(vertebra, First);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(vertebra, Last);
        return new Station(vertebra);
    }

    /// <summary>Reads "T13"; false for anything that is not T5 to T18.</summary>
    public static bool TryParse(string? text, out Station station)
    {
        station = default;
        if (text is not ['T', _, ..] || text.Length > 3
            || !int.TryParse(text.AsSpan(1), NumberStyles.None, CultureInfo.InvariantCulture, out var vertebra)
            || vertebra is < First or > Last || text[1] == '0')
            return false;
        station = new Station(vertebra);
        return true;
    }

    /// <inheritdoc />
    public int CompareTo(Station other) => Vertebra.CompareTo(other.Vertebra);

    /// <summary>The station as written everywhere: "T13".</summary>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"T{Vertebra}");

    /// <summary>True where <paramref name="left"/> lies in front of <paramref name="right"/>.</summary>
    public static bool operator <(Station left, Station right) => left.CompareTo(right) < 0;

    /// <summary>True where <paramref name="left"/> lies behind <paramref name="right"/>.</summary>
    public static bool operator >(Station left, Station right) => left.CompareTo(right) > 0;

    /// <summary>True where <paramref name="left"/> does not lie behind <paramref name="right"/>.</summary>
    public static bool operator <=(Station left, Station right) => left.CompareTo(right) <= 0;

    /// <summary>True where <paramref name="left"/> does not lie in front of <paramref name="right"/>.</summary>
    public static bool operator >=(Station left, Station right) => left.CompareTo(right) >= 0;
}
