using Dapper;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Data.Sqlite;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace BackTracker.Benchmarks.Reference;

/// <summary>What this machine can do at all: a bare minimal API, no logging, one indexed read of a row of 1 KB through Dapper on a pooled SQLite connection.</summary>
internal static class BareReads
{
    public const int Rows = 10_000;

    public static async Task ServeAsync(string folder)
    {
        await using var app = Build(folder);
        await app.StartAsync();
        Console.WriteLine(app.Urls.First());
        await app.WaitForShutdownAsync();
    }

    private static WebApplication Build(string folder)
    {
        var connectionString = new SqliteConnectionStringBuilder { DataSource = Path.Combine(folder, "bare.db"), Pooling = true }.ToString();
        Fill(connectionString);
        var builder = WebApplication.CreateSlimBuilder();
        builder.WebHost.UseUrls("http://127.0.0.1:0");
        builder.Logging.ClearProviders();
        var app = builder.Build();
        app.MapGet("/row/{id:int}", (int id) =>
        {
            using var connection = new SqliteConnection(connectionString);
            return connection.QuerySingleOrDefault<Row>("select id, body from rows where id = @id", new { id }) is { } row ? Results.Ok(row) : Results.NotFound();
        });
        return app;
    }

    private static void Fill(string connectionString)
    {
        using var connection = new SqliteConnection(connectionString);
        connection.Open();
        if (connection.ExecuteScalar<long>("select count(*) from sqlite_master") > 0)
            return;
        connection.Execute("pragma journal_mode = wal; create table rows (id integer primary key, body text not null)");
        using var transaction = connection.BeginTransaction();
        var body = new string('x', 1000);
        for (var id = 1; id <= Rows; id++)
            connection.Execute("insert into rows values (@id, @body)", new { id, body }, transaction);
        transaction.Commit();
    }

    private sealed record Row
    {
        public long Id { get; init; }

        public string Body { get; init; } = "";
    }
}
