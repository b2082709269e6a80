using System.ComponentModel.DataAnnotations;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Keys;

namespace BackTracker.Service.Features.Keys;

/// <summary>A key to make.</summary>
public sealed record KeyRequest : ICheckedRequest
{
    /// <summary>What it is for.</summary>
    [Required, StringLength(200, MinimumLength = 1)]
    public string? Name { get; init; }

    /// <summary>What it may do.</summary>
    [Required, MinLength(1), MaxLength(5)]
    public IReadOnlyList<Scope>? Scopes { get; init; }

    /// <summary>The yards it reaches; empty or left out for every yard, which needs the scope admin.</summary>
    [MaxLength(1000)]
    public IReadOnlyList<string>? YardIds { get; init; }

    /// <summary>The person who uses it; what they record is then theirs.</summary>
    public string? PersonId { get; init; }

    /// <summary>Last day it works.</summary>
    public DateOnly? ExpiresOn { get; init; }

    internal bool EveryYard => YardIds is null or [];

    public void Check(Faults faults)
    {
        if (EveryYard && !Scopes!.Contains(Scope.Admin))
            faults.Add("/yardIds", "Name the yards the key reaches. Only a key with the scope admin may reach every yard.");
    }
}

/// <summary>A key without its secret.</summary>
/// <param name="Id">Id.</param>
/// <param name="Name">What it is for.</param>
/// <param name="Scopes">What it may do.</param>
/// <param name="YardIds">The yards it reaches; empty for every yard.</param>
/// <param name="PersonId">The person who uses it.</param>
/// <param name="ExpiresOn">Last day it works.</param>
/// <param name="RevokedAt">When it was revoked, or ends after a rotation.</param>
/// <param name="LastUsedAt">When it was last used; null where it never was.</param>
/// <param name="CreatedAt">When it was made.</param>
public sealed record KeyAnswer(
    string Id, string Name, IReadOnlyList<Scope> Scopes, IReadOnlyList<string> YardIds, string? PersonId, DateOnly? ExpiresOn,
    string? RevokedAt, string? LastUsedAt, string CreatedAt)
{
    public static KeyAnswer Of(KeyRow row) => new(
        row.Id, row.Name, [.. Json.Read<string[]>(row.Scopes).Select(Words.Read<Scope>)], row.YardIds, row.PersonId,
        Instants.ReadDayIfAny(row.ExpiresOn), row.RevokedAt, row.LastUsedAt, row.CreatedAt);
}

/// <summary>A new key with its secret, which is shown this once.</summary>
/// <param name="Id">Id.</param>
/// <param name="Secret">The key to send as a bearer token; null where an answer is repeated, because it is not kept.</param>
/// <param name="SecretNote">What to know about the secret.</param>
/// <param name="Key">The rest.</param>
public sealed record NewKeyAnswer(string Id, string? Secret, string SecretNote, KeyAnswer Key)
{
    public static NewKeyAnswer Shown(string secret, KeyRow row) =>
        new(row.Id, secret, "Shown this once: keep it now.", KeyAnswer.Of(row));

    public NewKeyAnswer WithoutSecret() =>
        this with { Secret = null, SecretNote = "This repeats an earlier answer; the secret was shown then and is not kept. Rotate the key if it is lost." };
}
