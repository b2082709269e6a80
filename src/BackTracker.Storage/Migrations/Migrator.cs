using System.Reflection;
using System.Security.Cryptography;
using System.Text;
using BackTracker.Storage.Dialects;
using Dapper;
using DbUp.Engine;
using DbUp.Engine.Output;

namespace BackTracker.Storage.Migrations;

/// <summary>
/// Brings a database to the schema of this binary: numbered SQL, forward only, each script in its own transaction together with the note that it was
/// applied. A script whose first line begins with "-- additive" says that versions that do not know it can go on beside it.
/// </summary>
public static class Migrator
{
    private const string Additive = " additive";

    /// <summary>The scripts of this binary in order.</summary>
    public static IReadOnlyList<SqlScript> Scripts { get; } = ReadScripts();

    /// <summary>Applies what is missing.</summary>
    /// <exception cref="StorageException">The database was written by a newer binary that this one cannot go on beside, or a script that was applied has been changed since.</exception>
    public static Task UpgradeAsync(Dialect dialect, CancellationToken cancel) => UpgradeAsync(dialect, Scripts, cancel);

    /// <summary>Brings a database to the schema of any version, which is known by its scripts.</summary>
    public static async Task UpgradeAsync(Dialect dialect, IReadOnlyList<SqlScript> scripts, CancellationToken cancel)
    {
        await using var guard = await dialect.LockAsync(StoreLock.Upgrade, cancel);
        if (Refusal(await AppliedAsync(dialect, cancel), scripts) is { } refusal)
            throw refusal;
        await ExecuteAsync(dialect, "create table if not exists schema_checksums (name text primary key, checksum text not null)", cancel);
        var result = dialect.Upgrader()
            .WithScripts(scripts.Select(script => new SqlScript(script.Name, $"{script.Contents}\n{NoteSql(script)}")))
            .WithVariablesDisabled()
            .WithTransactionPerScript()
            .WithExecutionTimeout(TimeSpan.Zero) // None: a step takes as long as there are rows.
            .LogTo(new NoOpUpgradeLog())
            .Build()
            .PerformUpgrade();
        if (!result.Successful)
            throw new StorageException($"The schema could not be upgraded: {result.Error.Message}", result.Error);
        // Versions before this one noted what they had applied afterwards, and may have been cut off before they did.
        await ExecuteAsync(dialect, string.Join('\n', scripts.Select(NoteSql)), cancel);
    }

    /// <summary>Why this binary must not work on the database: a step that it does not know and cannot go on beside, or one that was changed; null where it may.</summary>
    public static async Task<StorageException?> RefusalAsync(Dialect dialect, CancellationToken cancel) => Refusal(await AppliedAsync(dialect, cancel), Scripts);

    /// <summary>Insists that what was applied is known to this binary, step by step: what reads or writes every table must know them all.</summary>
    /// <exception cref="StorageException">A step is not known, or was changed.</exception>
    public static async Task CheckAppliedAsync(Dialect dialect, CancellationToken cancel)
    {
        var applied = await AppliedAsync(dialect, cancel);
        if ((Refusal(applied, Scripts) ?? Unknown(applied, Scripts).Select(Newer).FirstOrDefault()) is { } refusal)
            throw refusal;
    }

    /// <summary>Steps of this binary that the database lacks.</summary>
    public static async Task<IReadOnlyList<string>> PendingAsync(Dialect dialect, CancellationToken cancel) =>
        [.. Scripts.Select(s => s.Name).Except((await AppliedAsync(dialect, cancel)).Select(a => a.Name))];

    private static StorageException? Refusal(IReadOnlyList<AppliedStep> applied, IReadOnlyList<SqlScript> scripts)
    {
        if (Unknown(applied, scripts).FirstOrDefault(step => !step.Checksum.EndsWith(Additive, StringComparison.Ordinal)) is { } unknown)
            return Newer(unknown);
        var checksums = scripts.ToDictionary(script => script.Name, Checksum);
        return applied.FirstOrDefault(step => checksums.TryGetValue(step.Name, out var checksum) && checksum != step.Checksum) is { } changed
            ? new($"Schema step {changed.Name} was changed after it had been applied to this database. Install an unaltered version.")
            : null;
    }

    private static IEnumerable<AppliedStep> Unknown(IReadOnlyList<AppliedStep> applied, IReadOnlyList<SqlScript> scripts) =>
        applied.ExceptBy(scripts.Select(script => script.Name), step => step.Name);

    private static StorageException Newer(AppliedStep step) =>
        new($"The database holds schema step {step.Name}, which this version does not know. It was written by a newer version: start that one, or restore a backup made before the upgrade.");

    private static async Task<IReadOnlyList<AppliedStep>> AppliedAsync(Dialect dialect, CancellationToken cancel)
    {
        await using var connection = await dialect.OpenAsync(cancel);
        return await dialect.TableExistsAsync(connection, "schema_checksums", cancel)
            ? [.. await connection.QueryAsync<AppliedStep>(new CommandDefinition("select name, checksum from schema_checksums order by name", cancellationToken: cancel))]
            : [];
    }

    private static async Task ExecuteAsync(Dialect dialect, string sql, CancellationToken cancel)
    {
        await using var connection = await dialect.OpenAsync(cancel);
        await connection.ExecuteAsync(new CommandDefinition(sql, cancellationToken: cancel));
    }

    // Names and checksums are the binary's own and hold no quotes.
    private static string NoteSql(SqlScript script) =>
        $"insert into schema_checksums (name, checksum) values ('{script.Name}', '{Checksum(script)}') on conflict (name) do nothing;";

    private static string Checksum(SqlScript script) =>
        Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(script.Contents.ReplaceLineEndings("\n"))))
        + (script.Contents.StartsWith("--" + Additive, StringComparison.Ordinal) ? Additive : "");

    private static List<SqlScript> ReadScripts()
    {
        var assembly = Assembly.GetExecutingAssembly();
        const string prefix = "BackTracker.Storage.Migrations.";
        return [.. assembly.GetManifestResourceNames()
            .Where(n => n.StartsWith(prefix, StringComparison.Ordinal) && n.EndsWith(".sql", StringComparison.Ordinal))
            .Order(StringComparer.Ordinal)
            .Select(n => SqlScript.FromStream(n[prefix.Length..], assembly.GetManifestResourceStream(n)!))];
    }

    private sealed record AppliedStep(string Name, string Checksum);
}
