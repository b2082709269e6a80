using System.Text.Json.Nodes;
using CsCheck;

namespace BackTracker.Service.Tests.Hostile;

internal enum MutationKind
{
    Replace,
    Remove,
    Add,
    Misspell,
    Repeat,
    Wrap,
    Quote,
}

/// <summary>One change to JSON: of which place, and how.</summary>
internal sealed record Mutation(int At, MutationKind Kind, Func<JsonNode?> Value)
{
    public static readonly Gen<Mutation> Any = Gen.Select(
        Gen.Int[0, 99_999],
        Gen.Frequency((8, Gen.Const(MutationKind.Replace)), (2, Gen.Const(MutationKind.Remove)), (2, Gen.OneOf(MutationKind.Add, MutationKind.Misspell, MutationKind.Repeat, MutationKind.Wrap, MutationKind.Quote))),
        HostileValues.Json,
        (at, kind, value) => new Mutation(at, kind, value));

    /// <summary>A changed copy.</summary>
    public JsonNode? Apply(JsonNode? before)
    {
        var root = new JsonArray(before?.DeepClone());
        var places = Places(root).ToList();
        var (parent, key) = places[At % places.Count];
        switch (parent)
        {
            case JsonObject members:
                Change(members, (string)key);
                break;
            case JsonArray list when list != root || Kind == MutationKind.Replace:
                Change(list, (int)key);
                break;
        }
        return root[0]?.DeepClone();
    }

    /// <summary>Every place in it, each a parent with a name or an index.</summary>
    public static IEnumerable<(JsonNode Parent, object Key)> Places(JsonNode? node) => node switch
    {
        JsonObject members => members.SelectMany(member => Places(member.Value).Prepend((members, (object)member.Key))),
        JsonArray list => list.Take(50).SelectMany((element, i) => Places(element).Prepend((list, (object)i))),
        _ => [],
    };

    private void Change(JsonObject members, string name)
    {
        var value = members[name]?.DeepClone();
        if (Kind is MutationKind.Remove or MutationKind.Misspell)
            members.Remove(name);
        if (Kind == MutationKind.Remove)
            return;
        members[Kind switch { MutationKind.Add => "extra", MutationKind.Misspell => name + "x", _ => name }] = Kind is MutationKind.Replace or MutationKind.Add ? Value() : Changed(value);
    }

    private void Change(JsonArray list, int index)
    {
        var value = list[index]?.DeepClone();
        if (Kind == MutationKind.Remove)
            list.RemoveAt(index);
        else if (Kind == MutationKind.Repeat)
            for (var i = 0; i < 5000; i++)
                list.Add(value?.DeepClone());
        else
            list[index] = Kind is MutationKind.Replace or MutationKind.Add ? Value() : Changed(value);
    }

    private JsonNode? Changed(JsonNode? value) => Kind switch
    {
        MutationKind.Wrap => new JsonArray(value),
        MutationKind.Quote => value?.ToJsonString() ?? "null",
        MutationKind.Repeat when value is JsonValue text && text.TryGetValue<string>(out var word) => string.Concat(Enumerable.Repeat(word, 2000)),
        _ => value,
    };
}
