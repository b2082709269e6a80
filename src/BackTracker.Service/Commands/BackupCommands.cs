using System.CommandLine;
using BackTracker.Service.Hosting;
using BackTracker.Storage.Backup;
using BackTracker.Storage.Dialects;

namespace BackTracker.Service.Commands;

/// <summary>`backup`, `restore`, `transfer` and `verify`.</summary>
internal static class BackupCommands
{
    public static Command Backup()
    {
        var store = new StoreOptions();
        var file = new Argument<string>("FILE") { Description = "The file to write; must not exist." };
        var command = new Command("backup", "Write one moment of the store into one file, also while the service runs.") { file };
        store.AddTo(command);
        command.SetAction(async (parsed, cancel) =>
        {
            await using var dialect = store.ExistingDialect(parsed);
            await BackupFile.WriteAsync(dialect, parsed.GetRequiredValue(file), cancel);
            return 0;
        });
        return command.WithExamples("backtracker backup /backups/$(date +%F).db --data ./data");
    }

    public static Command Restore()
    {
        var store = new StoreOptions();
        var file = new Argument<string>("FILE") { Description = "A file that `backup` wrote, from either kind of database." };
        var force = new Option<bool>("--force") { Description = "Replace the data that is there. A SQLite file in the way is kept beside the new one." };
        var command = new Command("restore", "Put a backup back into an empty store. The service must not run.") { file, force };
        store.AddTo(command);
        command.SetAction(async (parsed, cancel) =>
        {
            using var only = DataFolderLock.Take(store.DataFolder(parsed));
            await using var dialect = store.Dialect(parsed);
            var mode = parsed.GetValue(force) ? RestoreMode.Replace : RestoreMode.IntoEmpty;
            if (await Storage.Backup.Restore.FromAsync(parsed.GetRequiredValue(file), dialect, mode, cancel) is { } aside)
                Console.WriteLine($"The data that was there is kept in {aside}.");
            return 0;
        });
        return command.WithExamples(
            "backtracker restore /backups/2026-11-25.db --data ./data",
            "backtracker restore /backups/2026-11-25.db --data ./data --database \"Host=db;Database=backtracker\" --force");
    }

    public static Command Transfer()
    {
        var store = new StoreOptions();
        var command = new Command("transfer", "Move the SQLite file in --data to the empty PostgreSQL database in --database, and hold every row against the file. The service must not run.");
        store.AddTo(command);
        command.Validators.Add(result =>
        {
            if (!store.NamesServer(result))
                result.AddError("Name the PostgreSQL database by --database.");
        });
        command.SetAction(async (parsed, cancel) =>
        {
            using var only = DataFolderLock.Take(store.DataFolder(parsed));
            await using var file = store.ExistingFile(parsed);
            await using var server = store.Dialect(parsed);
            await Storage.Backup.Transfer.RunAsync(file, server, cancel);
            Console.WriteLine($"Every row is in the database. Start the service with the same --database from now on; {file.FilePath} is no longer used.");
            return 0;
        });
        return command.WithExamples("backtracker transfer --data ./data --database \"Host=db;Database=backtracker;Username=bt\"");
    }

    public static Command Verify()
    {
        var store = new StoreOptions { DataIsOptional = true };
        var file = new Argument<string?>("FILE") { Description = "A backup; without it the store in --data or --database is checked.", Arity = ArgumentArity.ZeroOrOne };
        var command = new Command("verify", "Read every row of a backup, or of the store, and name everything that cannot be. Changes nothing. Prints the rows of each table.") { file };
        store.AddTo(command);
        command.Validators.Add(result =>
        {
            if (result.GetValue(file) is null == !store.NamesStore(result))
                result.AddError("Name either a FILE or the store by --data DIR.");
        });
        command.SetAction(async (parsed, cancel) =>
        {
            await using var dialect = parsed.GetValue(file) is { } path ? Existing(path) : store.ExistingDialect(parsed);
            var report = await StoreCheck.RunAsync(dialect, cancel);
            foreach (var (table, rows) in report.Rows)
                Console.WriteLine($"{table}\t{rows}");
            foreach (var fault in report.Faults)
                await Console.Error.WriteLineAsync(fault);
            return report.Faults.Count == 0 ? 0 : CommandLine.Failed;
        });
        return command.WithExamples("backtracker verify --data ./data", "backtracker verify /backups/2026-11-25.db");
    }

    private static SqliteDialect Existing(string path) =>
        File.Exists(path) ? SqliteDialect.ReadOnly(path) : throw new CommandException($"There is no file {path}.");
}
