using CsCheck;

namespace BackTracker.Service.Tests.Hostile;

/// <summary>Ids of what is there, by the name of its collection: one's own, which grow while requests make more, and those of another yard.</summary>
internal sealed class IdPool(IReadOnlyDictionary<string, string> own, IReadOnlyDictionary<string, string> foreign)
{
    private const int MostOfAKind = 12;

    private static readonly Dictionary<string, string> KindOfMember = new()
    {
        ["yardId"] = "yards",
        ["yardIds"] = "yards",
        ["toYardId"] = "yards",
        ["horseId"] = "horses",
        ["saddleId"] = "saddles",
        ["personId"] = "people",
        ["measuredBy"] = "people",
        ["doneBy"] = "people",
        ["by"] = "people",
        ["fitterId"] = "people",
        ["saddlerId"] = "people",
        ["measurementId"] = "measurements",
        ["templateId"] = "templates",
        ["checkId"] = "checks",
        ["checkIds"] = "checks",
        ["visitId"] = "visits",
        ["corrects"] = "measurements",
        ["deliveryId"] = "deliveries",
        ["messageId"] = "messages",
    };

    private readonly Dictionary<string, List<string>> _own = own.ToDictionary(pair => pair.Key, pair => new List<string> { pair.Value });
    private readonly string[] _kinds = [.. own.Keys.Order(StringComparer.Ordinal)];

    /// <summary>The collection a member or parameter names one of; null where it is no id.</summary>
    public static string? KindOf(string member) => KindOfMember.GetValueOrDefault(member);

    public void Add(string kind, string id)
    {
        if (!_own.TryGetValue(kind, out var ids))
            return;
        if (ids.Count == MostOfAKind)
            ids.RemoveAt(1); // The first is the one with everything around it.
        ids.Add(id);
    }

    /// <summary>One's own of a kind.</summary>
    public Gen<string> Own(string kind) => Gen.Int[0, 999].Select(i => _own.TryGetValue(kind, out var ids) ? ids[i % ids.Count] : "");

    /// <summary>Mostly one's own of a kind, now and then what it should not be.</summary>
    public Gen<string> Any(string kind) => Gen.Frequency(
        (85, Own(kind)), (6, Gen.Const(foreign.GetValueOrDefault(kind, ""))), (6, Gen.Int[0, _kinds.Length - 1].SelectMany(i => Own(_kinds[i]))), (3, Own(kind).Select(id => id.ToUpperInvariant())));
}
