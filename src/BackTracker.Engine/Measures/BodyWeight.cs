namespace BackTracker.Engine.Measures;

/// <summary>Body weight from a tape, where no scale is at hand.</summary>
public static class BodyWeight
{
    /// <summary>Name of the formula, to be shown beside every weight it gives.</summary>
    public const string Formula = "girth² × length / 11 900 (Carroll and Huntington 1988)";

    /// <summary>
    /// Weight in kg of a grown horse: girth² x length / 11 900 in cm (Carroll and Huntington 1988, Equine Vet J 20:41-45, 372 horses,
    /// r² 0.90). Where the girth is taken moves it by 9 to 31 kg.
    /// </summary>
    /// <param name="girthMm">Heart girth, mm.</param>
    /// <param name="lengthMm">Point of shoulder to point of buttock, mm.</param>
    /// <exception cref="ArgumentOutOfRangeException">A length is not above zero.</exception>
    public static double FromTapeKg(double girthMm, double lengthMm)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(girthMm);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(lengthMm);
        double girthCm = girthMm / 10, lengthCm = lengthMm / 10;
        return girthCm * girthCm * lengthCm / 11_900;
    }
}
