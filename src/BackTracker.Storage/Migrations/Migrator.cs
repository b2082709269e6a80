using System.Data.Common;
using System.Reflection;
using System.Security.Cryptography;
using System.Text;
using BackTracker.Storage.Dialects;
using Dapper;
using DbUp.Engine;
using DbUp.Engine.Output;

namespace BackTracker.Storage.Migrations;

/// <summary>Brings a database to the schema of this binary: numbered SQL, forward only, each script in its own transaction.</summary>
public static class Migrator
{
    /// <summary>The scripts of this binary in order.</summary>
    public static IReadOnlyList<SqlScript> Scripts { get; } = ReadScripts();

    /// <summary>Applies what is missing.</summary>
    /// <exception cref="StorageException">The database was written by a newer binary, or a script that was applied has been changed since.</exception>
    public static async Task UpgradeAsync(Dialect dialect, CancellationToken cancel)
    {
        await using var guard = await dialect.LockForUpgradeAsync(cancel);
        await CheckAppliedAsync(dialect, cancel);
        var result = dialect.Upgrader()
            .WithScripts(Scripts)
            .WithTransactionPerScript()
            .LogTo(new NoOpUpgradeLog())
            .Build()
            .PerformUpgrade();
        if (!result.Successful)
            throw new StorageException($"The schema could not be upgraded: {result.Error.Message}", result.Error);
        await RecordChecksumsAsync(dialect, cancel);
    }

    /// <summary>Compares what was applied with the scripts of this binary; complains in words an operator can act on.</summary>
    public static async Task CheckAppliedAsync(Dialect dialect, CancellationToken cancel)
    {
        await using var connection = await dialect.OpenAsync(cancel);
        foreach (var (name, checksum) in await AppliedAsync(dialect, connection, cancel))
        {
            var script = Scripts.FirstOrDefault(s => s.Name == name)
                ?? throw new StorageException($"The database holds schema step {name}, which this version does not know. It was written by a newer version: start that one, or restore a backup made before the upgrade.");
            if (Checksum(script) != checksum)
                throw new StorageException($"Schema step {name} was changed after it had been applied to this database. Install an unaltered version.");
        }
    }

    /// <summary>Steps of this binary that the database lacks.</summary>
    public static async Task<IReadOnlyList<string>> PendingAsync(Dialect dialect, CancellationToken cancel)
    {
        await using var connection = await dialect.OpenAsync(cancel);
        var applied = await AppliedAsync(dialect, connection, cancel);
        return [.. Scripts.Select(s => s.Name).Except(applied.Select(a => a.Name))];
    }

    private static async Task<IEnumerable<(string Name, string Checksum)>> AppliedAsync(Dialect dialect, DbConnection connection, CancellationToken cancel) =>
        await dialect.TableExistsAsync(connection, "schema_checksums", cancel)
            ? await connection.QueryAsync<(string, string)>(new CommandDefinition("select name, checksum from schema_checksums order by name", cancellationToken: cancel))
            : [];

    private static async Task RecordChecksumsAsync(Dialect dialect, CancellationToken cancel)
    {
        await using var connection = await dialect.OpenAsync(cancel);
        await connection.ExecuteAsync("create table if not exists schema_checksums (name text primary key, checksum text not null)");
        await connection.ExecuteAsync(
            "insert into schema_checksums (name, checksum) values (@Name, @checksum) on conflict (name) do nothing",
            Scripts.Select(script => new { script.Name, checksum = Checksum(script) }));
    }

    private static string Checksum(SqlScript script) =>
        Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(script.Contents.ReplaceLineEndings("\n"))));

    private static List<SqlScript> ReadScripts()
    {
        var assembly = Assembly.GetExecutingAssembly();
        const string prefix = "BackTracker.Storage.Migrations.";
        return [.. assembly.GetManifestResourceNames()
            .Where(n => n.StartsWith(prefix, StringComparison.Ordinal) && n.EndsWith(".sql", StringComparison.Ordinal))
            .Order(StringComparer.Ordinal)
            .Select(n => SqlScript.FromStream(n[prefix.Length..], assembly.GetManifestResourceStream(n)!))];
    }
}
