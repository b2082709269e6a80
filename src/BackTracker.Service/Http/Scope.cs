namespace BackTracker.Service.Http;

/// <summary>What a key may do. Each includes the ones before it, except that fit and manage stand side by side.</summary>
public enum Scope
{
    Read,
    Record,
    Fit,
    Manage,
    Admin,
}

internal static class Scopes
{
    /// <summary>Whether a key that has <paramref name="held"/> may do what needs <paramref name="needed"/>.</summary>
    public static bool Includes(this Scope held, Scope needed) => held switch
    {
        Scope.Fit => needed is Scope.Read or Scope.Record or Scope.Fit,
        Scope.Manage => needed is Scope.Read or Scope.Record or Scope.Manage,
        _ => needed <= held,
    };

    /// <summary>Marks what a route needs, any one of those named; every route under /v1 has this.</summary>
    public static TBuilder Needs<TBuilder>(this TBuilder route, params Scope[] anyOf) where TBuilder : IEndpointConventionBuilder =>
        route.WithMetadata(new NeedsScope(anyOf));

    /// <summary>Marks a route that needs no key, and says why.</summary>
    public static TBuilder NeedsNoKey<TBuilder>(this TBuilder route, string why) where TBuilder : IEndpointConventionBuilder =>
        route.WithMetadata(new IsOpen(why));
}

/// <summary>Marks a route under /v1 that is open to whoever has its address.</summary>
/// <param name="Why">Why no key is needed.</param>
public sealed record IsOpen(string Why);

/// <summary>The scopes of which a route needs one.</summary>
/// <param name="AnyOf">The scopes.</param>
public sealed record NeedsScope(IReadOnlyList<Scope> AnyOf)
{
    public override string ToString() => string.Join(" or ", AnyOf.Select(s => $"`{Words.Write(s)}`"));
}
