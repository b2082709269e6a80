using BackTracker.Service.Http;
using BackTracker.Service.Pictures;

namespace BackTracker.Service.OpenApi;

/// <summary>What a route says of itself in the document; the usual problem answers are added by <see cref="UsualAnswers"/>.</summary>
internal static class RouteDocs
{
    public static RouteHandlerBuilder Creates<T>(this RouteHandlerBuilder route, string summary) =>
        route.WithSummary(summary).Produces<T>(201).WithMetadata(new TakesIdempotencyKey());

    public static RouteHandlerBuilder Does<T>(this RouteHandlerBuilder route, string summary) =>
        route.WithSummary(summary).Produces<T>(200).WithMetadata(new TakesIdempotencyKey());

    public static RouteHandlerBuilder Lists<T>(this RouteHandlerBuilder route, string summary) =>
        route.WithSummary(summary).Produces<ListAnswer<T>>(200).WithMetadata(new TakesPage());

    public static RouteHandlerBuilder Gets<T>(this RouteHandlerBuilder route, string summary) =>
        route.WithSummary(summary).Produces<T>(200).Produces(304);

    /// <summary>A computed answer without a version.</summary>
    public static RouteHandlerBuilder Computes<T>(this RouteHandlerBuilder route, string summary) =>
        route.WithSummary(summary).Produces<T>(200);

    /// <summary>An answer with a version that also holds what changes without one.</summary>
    public static RouteHandlerBuilder Shows<T>(this RouteHandlerBuilder route, string summary) =>
        route.Computes<T>(summary).WithMetadata(new TellsVersion());

    /// <summary>A calendar to subscribe to.</summary>
    public static RouteHandlerBuilder Fetches(this RouteHandlerBuilder route, string summary) =>
        route.WithSummary(summary).Produces<string>(200, "text/calendar").Produces(304);

    /// <summary>A page to print.</summary>
    public static RouteHandlerBuilder Prints(this RouteHandlerBuilder route, string summary) =>
        route.WithSummary(summary).Produces<Stream>(200, "application/pdf");

    /// <summary>A picture, drawn anew each time.</summary>
    public static RouteHandlerBuilder Draws(this RouteHandlerBuilder route, string summary) =>
        route.WithSummary(summary).Produces<string>(200, PictureAnswer.MediaType).Produces<ProblemDocument>(422, "application/problem+json");

    /// <summary>Server-sent events.</summary>
    public static RouteHandlerBuilder Streams(this RouteHandlerBuilder route, string summary) =>
        route.WithSummary(summary).Produces<string>(200, "text/event-stream");

    public static RouteHandlerBuilder Changes<T>(this RouteHandlerBuilder route, string summary) =>
        route.WithSummary(summary).Produces<T>(200).WithMetadata(new TakesIfMatch());

    /// <summary>A change of state: needs If-Match, takes an idempotency key.</summary>
    public static RouteHandlerBuilder Moves<T>(this RouteHandlerBuilder route, string summary) =>
        route.Does<T>(summary).WithMetadata(new TakesIfMatch());

    /// <summary>A problem that is not one of the usual ones of such a route.</summary>
    public static RouteHandlerBuilder Refuses(this RouteHandlerBuilder route, ProblemKind kind) => route.Produces<ProblemDocument>(kind.Status, "application/problem+json");

    public static RouteHandlerBuilder Ends(this RouteHandlerBuilder route, string summary) =>
        route.WithSummary(summary).Produces(204);
}

/// <summary>The route takes ?limit and ?after.</summary>
internal sealed record TakesPage;

/// <summary>The route insists on If-Match.</summary>
internal sealed record TakesIfMatch;

/// <summary>The route answers an ETag to change by, though it never answers 304.</summary>
internal sealed record TellsVersion;

/// <summary>The route takes Idempotency-Key.</summary>
internal sealed record TakesIdempotencyKey;

/// <summary>The route takes a file of one of these media types as its body.</summary>
internal sealed record TakesFile(IEnumerable<string> MediaTypes);
