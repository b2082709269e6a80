using System.CommandLine;
using BackTracker.Service.Hosting;
using BackTracker.Storage;
using BackTracker.Storage.Dialects;
using BackTracker.Storage.Outbox;
using BackTracker.Storage.Sessions;
using Quartz;

namespace BackTracker.Service.Commands;

/// <summary>`serve`: runs the service until it is told to stop.</summary>
internal static class ServeCommand
{
    public static Command Create()
    {
        var store = new StoreOptions();
        var transport = new TransportOptions();
        var port = new Option<int>("--port")
        {
            Description = "Port to listen at; 0 takes any that is free.",
            HelpName = "N",
            DefaultValueFactory = _ => 5280,
        };
        port.Validators.Add(result =>
        {
            if (result.Tokens is [{ Value: var text }] && (!int.TryParse(text, out var number) || number is < 0 or > 65535))
                result.AddError($"--port {text} is no port: use a number from 0 to 65535.");
        });
        var role = new RoleOption(store);
        var demo = new Option<bool>("--demo") { Description = "Fill an empty store with an invented yard first." };
        var command = new Command("serve", "Run the service. Prints its address once it answers; ends on SIGTERM or Ctrl+C.") { port, demo };
        role.AddTo(command);
        store.AddTo(command);
        transport.AddTo(command);
        command.SetAction((parsed, cancel) =>
        {
            var settings = Settings.Read(store.DataFolder(parsed));
            return RunAsync(new ServeOptions
            {
                DataFolder = store.DataFolder(parsed),
                Database = store.Connection(parsed),
                Port = parsed.GetValue(port),
                Role = role.Read(parsed),
                Transport = transport.Read(parsed, settings),
                Settings = settings,
            }, parsed.GetValue(demo) ? DemoCommand.FillAsync : (_, _) => Task.CompletedTask, cancel);
        });
        return command.WithExamples(
            "backtracker serve --data /var/lib/backtracker",
            "backtracker serve --data ./data --port 8080",
            "backtracker serve --data ./data --listen 0.0.0.0 --port 443 --certificate fullchain.pem --certificate-key privkey.pem",
            "backtracker serve --data ./data --behind-proxy 127.0.0.1",
            "backtracker serve --data ./demo --demo",
            "backtracker serve --data ./data --database \"Host=db;Database=backtracker;Username=bt\"",
            "backtracker serve --data ./worker --database \"Host=db;Database=backtracker;Username=bt\" --role worker --port 5281");
    }

    private static async Task<int> RunAsync(ServeOptions options, Func<ServeOptions, CancellationToken, Task> fillAsync, CancellationToken cancel)
    {
        Descriptors.Check();
        using var only = DataFolderLock.Take(options.DataFolder);
        await fillAsync(options, cancel);
        await using var app = ServiceHost.Build(options, TimeProvider.System);
        try
        {
            await StartAsync(app, options, cancel);
        }
        catch (Exception error) when (app.Lifetime.ApplicationStopping.IsCancellationRequested && IsCutOff(error))
        {
            return 0; // Told to stop before it had started: it has.
        }
        catch (SchedulerException error)
        {
            throw new StorageException(JobsUnusable(options, (error.InnerException ?? error).Message), error);
        }
        Console.WriteLine($"Listening on {app.Urls.First()}");
        await app.WaitForShutdownAsync(cancel);
        return app.Services.GetRequiredService<SchemaWatch>().Refusal is { } refusal ? throw refusal : 0;
    }

    /// <summary>
    /// One after another where several start on one database: on a new one each would make a key that protects cookies and secrets, which the others
    /// do not learn of for a day.
    /// </summary>
    private static async Task StartAsync(WebApplication app, ServeOptions options, CancellationToken cancel)
    {
        var database = app.Services.GetRequiredService<Database>();
        await database.PrepareAsync(cancel);
        if (options.Database is null)
            await TakeOverAsync(database, cancel);
        await using var turn = await database.Dialect.LockAsync(StoreLock.Start, cancel);
        await app.StartAsync(cancel);
    }

    /// <summary>Nobody else works on the file of a folder that this one has locked: what is claimed there was claimed by one that was killed.</summary>
    private static async Task TakeOverAsync(Database database, CancellationToken cancel)
    {
        await using var session = await database.WriteAsync("serve", cancel);
        await LaneStore.ReleaseAllAsync(session);
        await session.CommitAsync();
    }

    private static string JobsUnusable(ServeOptions options, string why) => options.Database is null
        ? $"{Path.Combine(options.DataFolder, "jobs.db")} cannot be used: {why} If it is damaged, delete it: a new one is made, and nothing is lost."
        : $"The jobs cannot use the database: {why}";

    /// <summary>Whether it failed because it was told to stop; the scheduler wraps that in an error of its own.</summary>
    private static bool IsCutOff(Exception? error) => error is not null && (error is OperationCanceledException || IsCutOff(error.InnerException));
}
