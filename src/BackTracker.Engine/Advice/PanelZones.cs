using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Advice;

/// <summary>Whole mm by which the six zones of a panel are made thicker: front, middle and rear on the left, then on the right.</summary>
internal sealed record PanelZones(IReadOnlyList<int> Mm)
{
    private const int Thirds = 3;

    public static PanelZones None { get; } = new([0, 0, 0, 0, 0, 0]);

    /// <summary>Steps that keep both sides the same: one third, all of it, and front against rear.</summary>
    public static IReadOnlyList<PanelZones> EqualSteps { get; } = [Both(1, 0, 0), Both(0, 1, 0), Both(0, 0, 1), Both(1, 1, 1), Both(1, 0, -1)];

    /// <summary>Steps of a side alone: one third, all of it.</summary>
    public static IReadOnlyList<PanelZones> SideSteps { get; } =
    [
        .. Enumerable.Range(0, 2 * Thirds).Select(zone => new PanelZones([.. Enumerable.Range(0, 2 * Thirds).Select(i => i == zone ? 1 : 0)])),
        new([1, 1, 1, 0, 0, 0]), new([0, 0, 0, 1, 1, 1]),
    ];

    public bool IsNone => Mm.All(mm => mm == 0);

    /// <summary>Whether it makes left and right unequal.</summary>
    public bool IsUnequal => Enumerable.Range(0, Thirds).Any(third => Mm[third] != Mm[third + Thirds]);

    public PanelZones Halved => new([.. Mm.Select(mm => (int)Math.Round(mm / 2.0, MidpointRounding.AwayFromZero))]);

    /// <summary>The same in fewer words, the simplest first: each side even all along, then without what is a millimetre only.</summary>
    public IEnumerable<PanelZones> Simpler
    {
        get
        {
            var without = new PanelZones([.. Mm.Select(mm => Math.Abs(mm) > 1 ? mm : 0)]);
            return [without.Evened, Evened, without];
        }
    }

    private PanelZones Evened => new([.. Mm.Select((_, i) => (int)Math.Round(Mm.Skip(i < Thirds ? 0 : Thirds).Take(Thirds).Average(), MidpointRounding.AwayFromZero))]);

    public int Most => Mm.Max(Math.Abs);

    /// <summary>How many zones it touches; the same third on both sides counts once.</summary>
    public int Places => Enumerable.Range(0, Thirds).Sum(third => Mm[third] == Mm[third + Thirds] ? Math.Sign(Math.Abs(Mm[third])) : Mm.Where((mm, i) => i % Thirds == third && mm != 0).Count());

    /// <summary>Thicker on the whole, or thinner where negative.</summary>
    public int Thickness => Mm.Sum();

    public int AddedMm => Mm.Sum(mm => Math.Max(mm, 0));

    public int TakenMm => Mm.Sum(mm => Math.Max(-mm, 0));

    public IReadOnlyList<ZoneChange> Changes => [.. Mm.Select((mm, i) => new ZoneChange(i < Thirds ? Side.Left : Side.Right, (Zone)(i % Thirds), mm)).Where(change => change.Mm != 0)];

    public PanelZones Plus(int times, PanelZones step) => new([.. Mm.Zip(step.Mm, (mm, one) => mm + (times * one))]);

    public bool IsWithin(int leastMm, int mostMm) => Mm.All(mm => mm >= leastMm && mm <= mostMm);

    private static PanelZones Both(int front, int middle, int rear) => new([front, middle, rear, front, middle, rear]);
}
