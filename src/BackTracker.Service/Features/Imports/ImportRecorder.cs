using BackTracker.Service.Http;
using BackTracker.Storage.Imports;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Imports;

/// <summary>Records a file, or says why not, and keeps what came of it.</summary>
internal sealed class ImportRecorder(Importer importer, Database database)
{
    /// <summary>Records, unless that is only asked; without the memory of an idempotency key.</summary>
    public Task<ImportState> RecordAsync(ImportRun run, Caller caller, ImportSource source, ImportState wanted, CancellationToken cancel) =>
        importer.RunAsync(run, caller, source, async prepared =>
        {
            if (wanted == ImportState.Checked)
                return run.Faults.Any ? ImportState.Refused : ImportState.Checked;
            if (run.Faults.Any)
                return await RefuseAsync(run, cancel);
            return await database.ChangeAsync(caller.KeyId, async session =>
            {
                await WriteAsync(session, run, prepared);
                return ImportState.Done;
            }, cancel);
        }, cancel);

    /// <summary>Writes what is ready, and that it was written.</summary>
    public static async Task<ImportAnswer> WriteAsync(WriteSession session, ImportRun run, PreparedImport prepared)
    {
        await prepared.WriteAsync(session);
        return await KeepAsync(session, run, ImportState.Done);
    }

    /// <summary>Keeps the faults, so that they can be read again.</summary>
    public Task<ImportState> RefuseAsync(ImportRun run, CancellationToken cancel) => database.ChangeAsync(run.KeyId, async session =>
    {
        await KeepAsync(session, run, ImportState.Refused);
        return ImportState.Refused;
    }, cancel);

    private static async Task<ImportAnswer> KeepAsync(WriteSession session, ImportRun run, ImportState state)
    {
        var answer = run.Answer(state);
        await ImportStore.AddAsync(session, new ImportRow { Id = run.Id, State = Words.Write(state), Body = Json.Write(answer) });
        return answer;
    }
}
