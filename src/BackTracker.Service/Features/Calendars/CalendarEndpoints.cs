using System.Security.Cryptography;
using BackTracker.Service.Delivery.Calendar;
using BackTracker.Service.Features.People;
using BackTracker.Service.Hosting;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Calendars;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;
using Microsoft.AspNetCore.Mvc;

namespace BackTracker.Service.Features.Calendars;

/// <summary>The address of a person's calendar; shown this once, because only a hash of it is kept.</summary>
/// <param name="Url">The address to subscribe to; null where an answer is repeated.</param>
/// <param name="UrlNote">What to know about it.</param>
public sealed record CalendarAddressAnswer(string? Url, string UrlNote);

/// <summary>Calendars of people, read at a secret address without a key.</summary>
internal static class CalendarEndpoints
{
    private static readonly CalendarAddressAnswer Repeated =
        new(null, "This repeats an earlier answer; the address was shown then and is not kept. Make a new one if it is lost.");

    public static void MapCalendars(this IEndpointRouteBuilder routes)
    {
        var people = routes.MapGroup("/v1/people/{id}/calendar-token").WithTags("Calendars");
        people.MapPost("/", MakeAsync).Needs(Scope.Read).Does<CalendarAddressAnswer>("Give a person's calendar a new address; the old one ends. Own key or `manage`, over all their yards");
        people.MapDelete("/", EndAsync).Needs(Scope.Read).Ends("End the address of a person's calendar. Own key or `manage`, over all their yards");
        routes.MapGroup("/v1/calendars").WithTags("Calendars").MapGet("/{token}.ics", ReadAsync).NeedsNoKey("The address is the secret.").Fetches("A person's checks and visits as iCalendar").Refuses(ProblemKind.BadQuery);
    }

    private static Task<IResult> MakeAsync(HttpContext http, string id, Caller caller, Writes writes, PageSettings pages) => writes.RunAsync(http, new NoBody(), async session =>
    {
        var person = await OwnerAsync(session, caller, id);
        var token = WebSecret.New();
        await CalendarStore.SetTokenAsync(session, person.Id, WebSecret.Hash(token));
        await AuditStore.NoteAsync(session, "rotate", "calendar", person.Id);
        var shown = new CalendarAddressAnswer(new Uri(Service(http, pages), $"/v1/calendars/{token}.ics").AbsoluteUri, "Shown this once: whoever has it reads the calendar.");
        return new Answer(StatusCodes.Status200OK, shown) { Remembered = Repeated };
    });

    private static Task<IResult> EndAsync(HttpContext http, string id, Caller caller, Writes writes) => writes.RunAsync(http, new NoBody(), async session =>
    {
        var person = await OwnerAsync(session, caller, id);
        await CalendarStore.ForgetTokenAsync(session, person.Id);
        await AuditStore.NoteAsync(session, "revoke", "calendar", person.Id);
        return Answer.NoContent;
    });

    private static async Task<IResult> ReadAsync(
        HttpContext http, [FromRoute(Name = "token")] string id, Database database, TimeProvider clock, PageSettings pages, RateLimits limits, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var owner = await CalendarStore.OwnerAsync(session, WebSecret.Hash(id), clock.GetUtcNow());
        if (owner is null)
        {
            limits.CountFailedTry(http, id);
            throw new ProblemException(ProblemKind.NotFound, "No calendar is at this address, or none any more: a new address ends the one before it, and so does the end of the key it was made with. Ask for a new one: POST /v1/people/{id}/calendar-token.");
        }
        var entries = await new CalendarFeed(owner, clock.GetUtcNow()).EntriesAsync(session);
        var service = Service(http, pages);
        var file = CalendarFile.Of(new CalendarSource($"BackTracker: {owner.Name}", new Uri(service, http.Request.Path)), entries, service);
        http.Response.Headers.CacheControl = "private, no-cache";
        return Conditional.IsKnown(http, $"\"{Convert.ToHexStringLower(SHA256.HashData(file))}\"")
            ? Results.StatusCode(StatusCodes.Status304NotModified)
            : Results.Bytes(file, CalendarFile.MediaType);
    }

    // Everything booked with a person is in their calendar, whoever booked it: a key of one yard must not open the others.
    private static async Task<PersonRow> OwnerAsync(ReadSession session, Caller caller, string id)
    {
        var person = await PersonEndpoints.RequireAsync(session, caller, id);
        if (caller.PersonId != person.Id && !caller.May(Scope.Manage))
            throw new ProblemException(ProblemKind.WrongScope, "The address of a calendar is made and ended with a key of the person themselves, or with one of the scope manage.");
        return person.YardIds.All(caller.Sight.Covers)
            ? person
            : throw new ProblemException(ProblemKind.WrongScope, "This person works in yards that this key does not reach as well. Use one that reaches all of them.");
    }

    private static Uri Service(HttpContext http, PageSettings pages) => pages.Place ?? new($"{http.Request.Scheme}://{http.Request.Host}");
}
