using System.Security.Cryptography;
using BackTracker.Service.Hosting;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Imports;
using BackTracker.Storage.Sessions;
using Microsoft.AspNetCore.Http.Features;

namespace BackTracker.Service.Features.Imports;

/// <summary>Files of records: all of it or, with the faults by line, nothing.</summary>
internal static class ImportEndpoints
{
    private const int BufferBytes = 1 << 16;

    public static void MapImports(this IEndpointRouteBuilder routes)
    {
        var imports = routes.MapGroup("/v1/imports").WithTags("Imports");
        imports.MapPost("/", ImportAsync).Needs(Scope.Record).Creates<ImportAnswer>("Record a file: all of it or nothing").Produces<ImportAnswer>(200)
            .WithMetadata(new TakesFile(MediaTypes.Keys));
        imports.MapGet("/", ListAsync).Needs(Scope.Read).Lists<ImportAnswer>("List imports, those that still run last");
        imports.MapGet("/{id}/progress", (string id, Caller caller, ImportProgress progress, CancellationToken cancel) => progress.StreamAsync(caller, id, cancel)).Needs(Scope.Read)
            .Streams("Follow an import: server-sent events, each with the import as it stands, until it is over");
        imports.MapGet("/{id}", GetAsync).Needs(Scope.Read).Computes<ImportAnswer>("Get an import: how far it is, or what came of it");
    }

    private static Dictionary<string, ImportFormat> MediaTypes { get; } = new(StringComparer.OrdinalIgnoreCase)
    {
        ["text/csv"] = ImportFormat.Csv,
        ["application/x-ndjson"] = ImportFormat.Ndjson,
    };

    private static async Task<IResult> ImportAsync(
        HttpContext http, string? yardId, bool? dryRun, Caller caller, ImportDesk desk, ImportProgress progress, ImportRecorder recorder, Importer importer, Writes writes, ServeOptions options)
    {
        var cancel = http.RequestAborted;
        var run = desk.Begin(caller.KeyId, FormatOf(http.Request));
        try
        {
            await using var told = progress.Tell(run);
            await using var file = TempFile.Create(options.DataFolder);
            var digest = await ReceiveAsync(http.Request, file, run, options.Settings.Limits.ImportBytes, cancel);
            var source = new ImportSource(file, options.DataFolder, yardId);
            if (dryRun == true)
                return Json.Answer(Accepted(run, await recorder.RecordAsync(run, caller, source, ImportState.Checked, cancel)));
            if (await writes.ReplayAsync(http, digest) is { } before)
                return before;
            return await importer.RunAsync(run, caller, source, async prepared =>
            {
                if (run.Faults.Any)
                    throw Refusal(run, await recorder.RefuseAsync(run, cancel));
                return await writes.RunStreamedAsync(http, digest, async session =>
                {
                    var answer = await ImportRecorder.WriteAsync(session, run, prepared);
                    return new Answer(StatusCodes.Status201Created, answer) { Location = $"/v1/imports/{run.Id}" };
                });
            }, cancel);
        }
        finally
        {
            desk.End(run);
        }
    }

    private static ImportFormat FormatOf(HttpRequest request)
    {
        var type = request.GetTypedHeaders().ContentType;
        var isUtf8 = type is null || !type.Charset.HasValue || type.Charset.Equals("utf-8", StringComparison.OrdinalIgnoreCase) || type.Charset.Equals("\"utf-8\"", StringComparison.OrdinalIgnoreCase);
        return type is not null && isUtf8 && request.Headers.ContentEncoding.Count == 0 && MediaTypes.TryGetValue(type.MediaType.ToString(), out var format)
            ? format
            : throw new ProblemException(ProblemKind.MediaType, $"Send the file as {string.Join(" or ", MediaTypes.Keys)}, in UTF-8 and not compressed.");
    }

    /// <summary>Puts the body into a file, never more of it in memory than a buffer, and returns its digest.</summary>
    private static async Task<string> ReceiveAsync(HttpRequest request, FileStream file, ImportRun run, long mostBytes, CancellationToken cancel)
    {
        if (request.ContentLength > mostBytes)
            throw TooLarge(mostBytes);
        // Counted here, so that the refusal says how much may be sent.
        request.HttpContext.Features.Get<IHttpMaxRequestBodySizeFeature>()!.MaxRequestBodySize = null;
        using var digest = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        var buffer = new byte[BufferBytes];
        for (int read; (read = await request.Body.ReadAsync(buffer, cancel)) > 0;)
        {
            if ((run.Bytes += read) > mostBytes)
                throw TooLarge(mostBytes);
            digest.AppendData(buffer, 0, read);
            await file.WriteAsync(buffer.AsMemory(0, read), cancel);
        }
        return Convert.ToHexStringLower(digest.GetHashAndReset());
    }

    private static ProblemException TooLarge(long mostBytes) =>
        new(ProblemKind.TooLarge, $"A file may hold {mostBytes >> 20} MiB here. Split it between measurements, or have it imported by `backtracker import`, which takes any size.");

    private static ImportAnswer Accepted(ImportRun run, ImportState state) =>
        state == ImportState.Refused ? throw Refusal(run, state) : run.Answer(state);

    private static ProblemException Refusal(ImportRun run, ImportState state)
    {
        var answer = run.Answer(state);
        var more = answer.FaultCount - answer.Faults.Count;
        return new ProblemException(ProblemKind.ImportRefused, $"Nothing was recorded: {answer.FaultCount} faults, by line in `errors`{(more > 0 ? $", {more} of them not listed" : "")}. Mend them and send the whole file again.")
        {
            Errors = answer.Faults.GroupBy(f => f.Member.Length == 0 ? $"/lines/{f.Line}" : $"/lines/{f.Line}/{f.Member}").ToDictionary(f => f.Key, f => f.Select(fault => fault.Text).ToArray()),
        };
    }

    private static async Task<IResult> ListAsync(HttpContext http, Caller caller, Database database, ImportProgress progress, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var over = await ImportStore.ListAsync(session, caller.Sight, caller.KeyId, Paging.Of(http));
        var running = over.NextAfter is null ? await progress.RunningAsync(session, caller) : [];
        var rows = new Paged<ImportAnswer>([.. over.Items.Select(i => Json.ReadStored<ImportAnswer>(i.Body)), .. running], over.NextAfter);
        return Paging.List(http, rows, answer => answer);
    }

    private static async Task<IResult> GetAsync(string id, Caller caller, ImportProgress progress, CancellationToken cancel) =>
        Json.Answer(await progress.FindAsync(caller, id, cancel) ?? throw ProblemException.NotFound("import", id));
}
