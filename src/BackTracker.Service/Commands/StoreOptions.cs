using System.CommandLine;
using BackTracker.Storage.Dialects;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Commands;

/// <summary>The two options that say where the data is; the same for every command.</summary>
internal sealed class StoreOptions
{
    private readonly Option<string> _data = new("--data")
    {
        Description = "Data folder. Holds the database file, unless --database names a server, and appsettings.json where there are settings.",
        HelpName = "DIR",
        Required = true,
    };

    private readonly Option<string?> _database = new("--database")
    {
        Description = "PostgreSQL connection string, for example \"Host=db;Database=backtracker;Username=bt\". Without it the data is in SQLite.",
        HelpName = "CONNECTION",
    };

    public void AddTo(Command command)
    {
        command.Add(_data);
        command.Add(_database);
    }

    public string DataFolder(ParseResult parsed) => Path.GetFullPath(parsed.GetRequiredValue(_data));

    public string? Connection(ParseResult parsed) => parsed.GetValue(_database);

    public Dialect Dialect(ParseResult parsed) => Storage.Dialects.Dialect.Choose(DataFolder(parsed), Connection(parsed));

    /// <summary>The store, made where there is none.</summary>
    public async Task<Database> OpenOrMakeAsync(ParseResult parsed, CancellationToken cancel)
    {
        var database = new Database(Dialect(parsed), TimeProvider.System);
        await database.PrepareAsync(cancel);
        return database;
    }

    /// <summary>The store that is there; a mistyped folder must not become an empty one.</summary>
    public async Task<Database> OpenAsync(ParseResult parsed, CancellationToken cancel) =>
        Dialect(parsed) is SqliteDialect { FilePath: var path } && !File.Exists(path)
            ? throw new CommandException($"There is no data in {DataFolder(parsed)}. Name the folder that `backtracker serve` uses.")
            : await OpenOrMakeAsync(parsed, cancel);
}
