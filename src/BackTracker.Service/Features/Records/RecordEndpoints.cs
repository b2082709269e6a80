using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Service.Pages;
using BackTracker.Service.Paper;
using BackTracker.Storage;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Records;

/// <summary>The record of a horse, to be handed on with it.</summary>
internal static class RecordEndpoints
{
    public static void MapHorseRecords(this IEndpointRouteBuilder routes) =>
        routes.MapGet("/v1/horses/{id}/record.pdf", PrintAsync).WithTags("Horses").Needs(Scope.Read).Prints("All that is on record of a horse, on paper");

    public static void MapRecordPages(this IEndpointRouteBuilder routes) => routes.MapPage("/horses/{id}/record.pdf", PrintAsync).Needs(Scope.Read);

    private static async Task<IResult> PrintAsync(HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        var record = await new HorseRecordBuilder(session, caller, horse, policy).BuildAsync(clock.GetUtcNow());
        return PaperAnswer.Of(http, $"record-{Instants.WriteDay(record.Today)}", HorseRecordPaper.Print(record));
    }
}
