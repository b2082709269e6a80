using System.Data.Common;
using System.Diagnostics;
using System.Text.Json;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using Microsoft.AspNetCore.Http.Features;

namespace BackTracker.Service.Http;

/// <summary>Turns whatever ends a request badly into an RFC 9457 problem document, or for people into a page that says the same; never a stack trace.</summary>
internal sealed partial class ProblemWriter(RequestDelegate next, ILogger<ProblemWriter> log)
{
    // They say how to mend it, or how to avoid it.
    private static readonly string[] Kept = ["Allow", "Retry-After", RateFields.Policy, RateFields.State];

    public async Task InvokeAsync(HttpContext http)
    {
        try
        {
            await next(http);
            if (http.Response is { HasStarted: false, StatusCode: >= 400, ContentLength: null, ContentType: null })
                await WriteAsync(http, OfStatus(http, http.Response.StatusCode));
        }
        catch (OperationCanceledException) when (http.RequestAborted.IsCancellationRequested)
        {
            http.Response.StatusCode = 499; // The client went away: nobody reads this, the log does.
        }
        catch (Exception error) when (!http.Response.HasStarted)
        {
            var problem = Of(http, error);
            if (problem.Kind.Status >= 500 && error is not ProblemException { InnerException: null })
                LogFailure(error, http.Request.Method, Logged(http));
            await WriteAsync(http, problem);
        }
    }

    public static Task WriteAsync(HttpContext http, ProblemException problem)
    {
        var kept = Kept.Select(name => (Name: name, Value: http.Response.Headers[name])).ToList();
        http.Response.Clear();
        SecurityHeaders.Set(http.Response);
        foreach (var (name, value) in kept)
            http.Response.Headers[name] = value;
        if (ErrorPage.Answers(http))
            return ErrorPage.WriteAsync(http, problem);
        http.Response.StatusCode = problem.Kind.Status;
        if (problem.Kind == ProblemKind.NoKey)
            http.Response.Headers.WWWAuthenticate = "Bearer";
        if (problem.Kind == ProblemKind.NotReady)
            http.Response.Headers.RetryAfter = "5";
        var document = new ProblemDocument(
            problem.Kind.Type, problem.Kind.Title, problem.Kind.Status, problem.Message,
            problem.Errors.Count == 0 ? null : problem.Errors, Activity.Current?.TraceId.ToString() ?? http.TraceIdentifier);
        return http.Response.WriteAsJsonAsync(document, Json.Options, "application/problem+json", http.RequestAborted);
    }

    // What opens a door by itself has no place in a log.
    private static string Logged(HttpContext http) => http.GetEndpoint() is RouteEndpoint route && route.Metadata.GetMetadata<IsOpen>() is not null
        ? route.RoutePattern.RawText ?? ""
        : http.Request.Path;

    private static string MostBytes(HttpContext http) => http.Features.Get<IHttpMaxRequestBodySizeFeature>()?.MaxRequestBodySize is { } bytes ? $"{bytes >> 20} MiB" : "less";

    private static ProblemException OfStatus(HttpContext http, int status)
    {
        var kind = ProblemKind.OfStatus(status);
        return new ProblemException(kind, kind.Status switch
        {
            404 => $"Nothing is at {http.Request.Path}. The document at /openapi/v1.json lists every address.",
            405 => $"{http.Request.Path} does not answer {http.Request.Method}.",
            408 => "The body stopped coming, or came too slowly to wait for it. Nothing of it was kept; send it again over a better connection.",
            413 => $"A request to this address may hold {MostBytes(http)}. Send less at a time.",
            415 => "Send the body as application/json.",
            _ => kind.Title + ".",
        });
    }

    private static bool IsShortOfMemory(Exception? error) => error is not null && (error is OutOfMemoryException || IsShortOfMemory(error.InnerException));

    private static ProblemException Of(HttpContext http, Exception error) => error switch
    {
        ProblemException problem => problem,
        BadHttpRequestException { InnerException: JsonException json } => JsonFaults.Explain(json),
        BadHttpRequestException { StatusCode: 408 or 413 or 415 } bad => OfStatus(http, bad.StatusCode),
        BadHttpRequestException bad => JsonFaults.ExplainBinding(bad.Message),
        StorageException storage => new(ProblemKind.NotReady, storage.Message),
        DbException => new(ProblemKind.NotReady, "The store cannot be used at the moment. Nothing of the request was kept; try again in a few seconds."),
        _ when IsShortOfMemory(error) => new(ProblemKind.NotReady, "There is too little memory for this at the moment. Nothing of the request was kept; try again in a few seconds."),
        _ => new(ProblemKind.Unexpected, "The fault is on this side and was logged under the traceId given here. Nothing of the request was kept; it is safe to send it again with the same Idempotency-Key."),
    };

    [LoggerMessage(Level = LogLevel.Error, Message = "{Method} {Path} failed")]
    private partial void LogFailure(Exception error, string method, string path);
}

/// <summary>RFC 9457 problem document.</summary>
/// <param name="Type">URN of the kind of problem; docs/errors.md lists them.</param>
/// <param name="Title">The kind in words.</param>
/// <param name="Status">HTTP status.</param>
/// <param name="Detail">What was wrong and how to mend it.</param>
/// <param name="Errors">Faults by JSON pointer.</param>
/// <param name="TraceId">To find the request in the log.</param>
public sealed record ProblemDocument(
    string Type, string Title, int Status, string Detail, IReadOnlyDictionary<string, string[]>? Errors, string TraceId);
