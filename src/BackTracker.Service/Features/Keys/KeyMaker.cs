using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Keys;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Keys;

/// <summary>Makes keys, for the API and for the command line alike.</summary>
internal static class KeyMaker
{
    public static async Task<(KeyRow Row, string Secret)> MakeAsync(WriteSession session, KeyRequest request)
    {
        var secret = KeySecret.New();
        var yards = request.YardIds?.Distinct().ToList() ?? [];
        var row = new KeyRow
        {
            Id = session.NewId(),
            Name = request.Name!,
            SecretHash = KeySecret.Hash(secret),
            Scopes = Json.Write(request.Scopes!.Distinct().Order()),
            EveryYard = request.EveryYard ? 1 : 0,
            PersonId = request.PersonId,
            ExpiresOn = request.ExpiresOn is { } day ? Instants.WriteDay(day) : null,
            Version = 1,
            CreatedAt = session.NowText,
            Yards = string.Join(',', yards),
        };
        await KeyStore.AddAsync(session, row, yards);
        await AuditStore.NoteAsync(session, "create", "key", row.Id);
        return (row, secret);
    }
}
