using System.Security.Cryptography;
using System.Text;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Audit;
using BackTracker.Service.Features.Pairings;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Pairings;
using BackTracker.Storage.Policies;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Policies;

/// <summary>Settings of yards and pairings: what is in force and where it comes from.</summary>
internal static class PolicyEndpoints
{
    public static void MapPolicies(this IEndpointRouteBuilder routes)
    {
        var policies = routes.MapGroup("/v1").WithTags("Policies");
        policies.MapGet("/yards/{id}/policy", GetYardAsync).Needs(Scope.Read).Gets<PolicyAnswer>("Settings in force in a yard and where each comes from");
        policies.MapPut("/yards/{id}/policy", PutYardAsync).Needs(Scope.Manage).Changes<PolicyAnswer>("Replace the settings that a yard has of its own");
        policies.MapGet("/pairings/{id}/policy", GetPairingAsync).Needs(Scope.Read).Gets<PolicyAnswer>("Settings in force for a pairing and where each comes from");
        policies.MapPut("/pairings/{id}/policy", PutPairingAsync).Needs(Scope.Manage).Changes<PolicyAnswer>("Replace the settings that a pairing has of its own");
    }

    private static async Task<IResult> GetYardAsync(HttpContext http, string id, Caller caller, Database database, CheckPolicy service, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var yard = await YardEndpoints.RequireAsync(session, caller, id);
        var answer = await OfYardAsync(session, yard.Id, service);
        return Conditional.Ok(http, answer, VersionOf(answer));
    }

    /// <summary>Replace the settings that a yard has of its own</summary>
    public static Task<IResult> PutYardAsync(HttpContext http, string id, PolicyRequest request, Caller caller, Writes writes, CheckPolicy service) => writes.RunAsync(http, request, async session =>
    {
        var yard = await YardEndpoints.RequireAsync(session, caller, id);
        Conditional.RequireMatch(http, VersionOf(await OfYardAsync(session, yard.Id, service)));
        var own = PolicyRules.Check(request, PolicyLevel.Yard, service);
        foreach (var pairing in await PolicyStore.OfYardsPairingsAsync(session, yard.Id))
            PolicyRules.RefuseCrossed(service.With(own), pairing.OwnerId, PolicyLevels.ValuesOf(pairing));
        var before = await PolicyStore.OfYardAsync(session, yard.Id);
        if (!await PolicyStore.PutYardAsync(session, Changed(session, before, own)))
            throw ProblemException.Overtaken();
        await WorkQueueStore.AddHorsesOfYardAsync(session, yard.Id);
        await AuditStore.NoteChangeAsync(session, "yard-policy", yard.Id, AuditChanges.Between(PolicyLevels.ValuesOf(before).ByName, own.ByName));
        var answer = await OfYardAsync(session, yard.Id, service);
        return Answer.Ok(answer, VersionOf(answer));
    });

    private static async Task<IResult> GetPairingAsync(HttpContext http, string id, Caller caller, Database database, CheckPolicy service, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var answer = await OfPairingAsync(session, await PairingEndpoints.RequireAsync(session, caller, id), service);
        return Conditional.Ok(http, answer, VersionOf(answer));
    }

    private static Task<IResult> PutPairingAsync(HttpContext http, string id, PolicyRequest request, Caller caller, Writes writes, CheckPolicy service) => writes.RunAsync(http, request, async session =>
    {
        var pairing = await PairingEndpoints.RequireAsync(session, caller, id);
        Conditional.RequireMatch(http, VersionOf(await OfPairingAsync(session, pairing, service)));
        var own = PolicyRules.Check(request, PolicyLevel.Pairing, await PolicyLevels.InYardAsync(session, service, pairing.YardId));
        var before = await PolicyStore.OfPairingAsync(session, pairing.Id);
        if (!await PolicyStore.PutPairingAsync(session, Changed(session, before, own)))
            throw ProblemException.Overtaken();
        await WorkQueueStore.AddHorseAsync(session, pairing.HorseId);
        await AuditStore.NoteChangeAsync(session, "pairing-policy", pairing.Id, AuditChanges.Between(PolicyLevels.ValuesOf(before).ByName, own.ByName));
        var answer = await OfPairingAsync(session, pairing, service);
        return Answer.Ok(answer, VersionOf(answer));
    });

    private static PolicyRow Changed(WriteSession session, PolicyRow before, PolicyValues own) => before with { Settings = Json.Write(own.ByName), ChangedAt = session.NowText };

    /// <summary>Settings in force in a yard and where each comes from</summary>
    public static async Task<PolicyAnswer> OfYardAsync(ReadSession session, string yardId, CheckPolicy service) =>
        PolicyAnswer.OfYard(yardId, service, PolicyLevels.ValuesOf(await PolicyStore.OfYardAsync(session, yardId)));

    private static async Task<PolicyAnswer> OfPairingAsync(ReadSession session, PairingRow pairing, CheckPolicy service) => PolicyAnswer.OfPairing(
        pairing.YardId, pairing.Id, service, PolicyLevels.ValuesOf(await PolicyStore.OfYardAsync(session, pairing.YardId)), PolicyLevels.ValuesOf(await PolicyStore.OfPairingAsync(session, pairing.Id)));

    // What is shown hangs on every level, the operator's settings among them, which have no version: so the answer is its own.
    public static long VersionOf(PolicyAnswer answer) =>
        BitConverter.ToInt64(SHA256.HashData(Encoding.UTF8.GetBytes(Json.Write(answer)))) & long.MaxValue;
}
