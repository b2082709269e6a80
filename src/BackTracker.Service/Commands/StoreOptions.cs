using System.CommandLine;
using System.CommandLine.Parsing;
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
    };

    private readonly Option<string?> _database = new("--database")
    {
        Description = "PostgreSQL connection string, for example \"Host=db;Database=backtracker;Username=bt\". Without it the data is in SQLite.",
        HelpName = "CONNECTION",
    };

    /// <summary>True for the one command that can do without.</summary>
    public bool DataIsOptional { get; init; }

    public void AddTo(Command command)
    {
        _data.Required = !DataIsOptional;
        command.Add(_data);
        command.Add(_database);
    }

    public string DataFolder(ParseResult parsed) => Path.GetFullPath(parsed.GetRequiredValue(_data));

    public string? Connection(ParseResult parsed) => parsed.GetValue(_database);

    public bool NamesStore(SymbolResult result) => result.GetValue(_data) is not null;

    public bool NamesServer(SymbolResult result) => result.GetValue(_database) is not null;

    /// <summary>The SQLite file of the data folder, whatever server is named beside it.</summary>
    public SqliteDialect ExistingFile(ParseResult parsed)
    {
        var dialect = (SqliteDialect)Storage.Dialects.Dialect.Choose(DataFolder(parsed), null);
        return File.Exists(dialect.FilePath) ? dialect : throw new CommandException($"There is no SQLite file in {DataFolder(parsed)}.");
    }

    public Dialect Dialect(ParseResult parsed) => Storage.Dialects.Dialect.Choose(DataFolder(parsed), Connection(parsed));

    /// <summary>The store, made where there is none.</summary>
    public async Task<Database> OpenOrMakeAsync(ParseResult parsed, CancellationToken cancel)
    {
        var database = new Database(Dialect(parsed), TimeProvider.System);
        await database.PrepareAsync(cancel);
        return database;
    }

    /// <summary>The store that is there, brought to the schema of this version.</summary>
    public async Task<Database> OpenAsync(ParseResult parsed, CancellationToken cancel)
    {
        var database = new Database(ExistingDialect(parsed), TimeProvider.System);
        await database.PrepareAsync(cancel);
        return database;
    }

    /// <summary>The database that is there, as it is; a mistyped folder must not become an empty store.</summary>
    public Dialect ExistingDialect(ParseResult parsed) =>
        Dialect(parsed) is var dialect && dialect is SqliteDialect { FilePath: var path } && !File.Exists(path)
            ? throw new CommandException($"There is no data in {DataFolder(parsed)}. Name the folder that `backtracker serve` uses.")
            : dialect;
}
