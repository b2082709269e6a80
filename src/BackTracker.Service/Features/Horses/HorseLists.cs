using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Horses;

/// <summary>Lists of what was recorded of horses.</summary>
internal static class HorseLists
{
    /// <summary>Maps the list of one horse and that of all whom the caller sees, narrowed to a yard where one is asked for.</summary>
    /// <param name="routes">Where.</param>
    /// <param name="path">Last part of both paths.</param>
    /// <param name="name">What is listed, in the words of the summary.</param>
    /// <param name="read">Reads a page.</param>
    /// <param name="show">A row as the caller may see it.</param>
    public static void MapHorseLists<TRow, TAnswer>(
        this IEndpointRouteBuilder routes, string path, string name, Func<ReadSession, Sight, HorseFilter, Page, Task<Paged<TRow>>> read, Func<TRow, Sight, TAnswer> show)
    {
        routes.MapGet($"/horses/{{id}}/{path}", OfHorseAsync).Needs(Scope.Read).Lists<TAnswer>($"List the {name} of a horse");
        routes.MapGet($"/{path}", OfAllAsync).Needs(Scope.Read).Lists<TAnswer>($"List {name}");

        async Task<IResult> OfHorseAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
        {
            await using var session = await database.ReadAsync(cancel);
            var horse = await HorseEndpoints.RequireAsync(session, caller, id);
            return await PageAsync(http, session, caller, new HorseFilter(horse.Id, null));
        }

        async Task<IResult> OfAllAsync(HttpContext http, Caller caller, Database database, CancellationToken cancel, string? yardId = null)
        {
            await using var session = await database.ReadAsync(cancel);
            return await PageAsync(http, session, caller, await HorseEndpoints.FilterAsync(session, caller, yardId));
        }

        async Task<IResult> PageAsync(HttpContext http, ReadSession session, Caller caller, HorseFilter filter) =>
            Paging.List(http, await read(session, caller.Sight, filter, Paging.Of(http)), row => show(row, caller.Sight));
    }
}
