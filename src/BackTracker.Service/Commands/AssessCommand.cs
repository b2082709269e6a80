using System.CommandLine;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Hosting;
using BackTracker.Service.Http;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;
using BackTracker.Storage.Yards;
using Microsoft.Extensions.Logging.Console;

namespace BackTracker.Service.Commands;

/// <summary>`assess`: assesses now what would otherwise wait for a change or for the night.</summary>
internal static class AssessCommand
{
    private const string Actor = "command-line";

    public static Command Create()
    {
        var store = new StoreOptions();
        var horse = new Option<string?>("--horse") { Description = "Id of the one horse to assess; every active horse without it.", HelpName = "ID" };
        var command = new Command("assess", "Assess horses now and open, move or close their checks. Horses that wait already are assessed too.") { horse };
        store.AddTo(command);
        command.SetAction(async (parsed, cancel) =>
        {
            var database = await store.OpenAsync(parsed, cancel);
            var waiting = await EnqueueAsync(database, parsed.GetValue(horse), cancel);
            using var logs = LoggerFactory.Create(log => log.AddSimpleConsole(c => c.SingleLine = true)
                .Services.Configure<ConsoleLoggerOptions>(c => c.LogToStandardErrorThreshold = LogLevel.Trace));
            var settings = Settings.Read(store.DataFolder(parsed));
            var done = default(DrainResult);
            await using (new Meter(() => $"{Meter.Bar(done.Assessed + done.Failed, waiting)} {done.Assessed} assessed, {done.Failed} failed"))
                await new Assessor(database, TimeProvider.System, settings.Policy, settings.Alerts, logs.CreateLogger<Assessor>()).DrainAsync(now => done = now, cancel);
            Console.WriteLine($"{done.Assessed} assessed, {done.Stored} with news, {done.Failed} failed");
            return done.Failed == 0 ? 0 : CommandLine.Failed;
        });
        return command.WithExamples("backtracker assess --data ./data", "backtracker assess --horse 0199f6c2-7c1a-7000-8f3e-1f2d3c4b5a69 --data ./data");
    }

    /// <returns>How many wait then.</returns>
    private static async Task<long> EnqueueAsync(Database database, string? horseId, CancellationToken cancel)
    {
        await using var session = await database.WriteAsync(Actor, cancel);
        if (horseId is not null)
            await WorkQueueStore.AddHorseAsync(session, (await HorseEndpoints.RequireAsync(session, Caller.Service(Actor), horseId)).Id);
        else
            foreach (var yard in await YardStore.AllAsync(session))
                await WorkQueueStore.AddHorsesOfYardAsync(session, yard.Id);
        var waiting = await WorkQueueStore.CountAsync(session);
        await session.CommitAsync();
        return waiting;
    }
}
