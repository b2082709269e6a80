using BackTracker.Storage;
using BackTracker.Storage.Keys;

namespace BackTracker.Service.Http;

/// <summary>Who asks: a key, the yards it reaches, what it may do, and the person who uses it.</summary>
/// <param name="KeyId">The key.</param>
/// <param name="Sight">The yards it reaches.</param>
/// <param name="Held">Its scopes.</param>
/// <param name="PersonId">The person it is bound to; null where it is a machine's.</param>
public sealed record Caller(string KeyId, Sight Sight, IReadOnlyList<Scope> Held, string? PersonId)
{
    /// <summary>The service acting for itself: jobs and the command line.</summary>
    public static Caller Service(string name) => new(name, Sight.All, [Scope.Admin], null);

    /// <summary>Whoever uses a key.</summary>
    public static Caller OfKey(KeyRow key) => new(
        key.Id, key.EveryYard == 1 ? Sight.All : Sight.Of(key.YardIds), [.. Json.Read<string[]>(key.Scopes).Select(Words.Read<Scope>)], key.PersonId);

    /// <summary>Whose what is typed on a page is: the person's, with whichever key, or the key's where it is a machine's.</summary>
    public string Who => PersonId ?? KeyId;

    public bool May(Scope scope) => Held.Any(h => h.Includes(scope));

    /// <summary>The person who did something: the key's own person where it has one, else the one named.</summary>
    /// <exception cref="ProblemException">A personal key named somebody else, or nobody was named.</exception>
    public string Person(string? named, string pointer)
    {
        if (PersonId is null)
            return named ?? throw ProblemException.Impossible(pointer, $"Say who: {pointer[1..]} is the id of a person, unless the key belongs to one.");
        if (named is not null && named != PersonId)
            throw ProblemException.Impossible(pointer, $"This key belongs to one person and cannot record for another. Leave {pointer[1..]} out.");
        return PersonId;
    }

    public static Caller Of(HttpContext http) => http.Features.Get<Caller>() ?? throw new InvalidOperationException("The route does not say which scope it needs.");

    /// <summary>Binds a handler's parameter to whoever sent the request.</summary>
    public static ValueTask<Caller> BindAsync(HttpContext http) => ValueTask.FromResult(Of(http));
}
