using System.Globalization;
using System.Net.Sockets;
using System.Text;
using BackTracker.Service.Tests.Harness;
using Microsoft.Data.Sqlite;

namespace BackTracker.Faults.MixedLoad;

/// <summary>Killed once a change is lasting and before its answer was heard: the repeat gives the same record.</summary>
public sealed class UnheardAnswerTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("backtracker-fault-").FullName;

    [Fact]
    public async Task Kill_betweenCommitAndAnswer_theSameKeyGivesTheSameRecord()
    {
        var key = await ServiceProcess.RunAsync("key", "add", "--data", _folder, "--name", "faults", "--scopes", "admin");
        string yardId, kept;
        var work = new Work(WorkKind.Register, HttpMethod.Post, "/v1/horses", "") { Key = "unheard" };
        await using (var service = await ServiceProcess.StartAsync(_folder))
        {
            using var client = new Client(service.Address, key);
            yardId = await client.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
            work = work with { Body = $$"""{"yardId":"{{yardId}}","name":"Bramble"}""" };
            using var socket = await AskAsync(service.Address, key, work);
            kept = "";
            await Eventually.TrueAsync(async () => (kept = await KeptAsync(work.Key)).Length > 0, () => "It never became lasting.");
            await service.KillAsync();
        }

        await using var again = await ServiceProcess.StartAsync(_folder);
        using var survivor = new Client(again.Address, key);
        Assert.EndsWith("/" + await survivor.MakeAsync(work.Path, new { yardId, name = "Bramble" }, work.Key), kept, StringComparison.Ordinal);
        Assert.Single(await survivor.AllAsync($"/v1/horses?yardId={yardId}"));
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    /// <summary>Sends a request over a bare connection from which nothing is ever read.</summary>
    private static async Task<Socket> AskAsync(Uri address, string key, Work work)
    {
        var socket = new Socket(SocketType.Stream, ProtocolType.Tcp);
        await socket.ConnectAsync(address.Host, address.Port, TestContext.Current.CancellationToken);
        var request = string.Create(CultureInfo.InvariantCulture, $"POST {work.Path} HTTP/1.1\r\nHost: {address.Authority}\r\nAuthorization: Bearer {key}\r\nIdempotency-Key: {work.Key}\r\nContent-Type: application/json\r\nContent-Length: {work.Body.Length}\r\n\r\n{work.Body}");
        await socket.SendAsync(Encoding.ASCII.GetBytes(request), TestContext.Current.CancellationToken);
        return socket;
    }

    /// <summary>Where the record lies that was made under a key, as the file has it; empty before it is lasting.</summary>
    private async Task<string> KeptAsync(string key)
    {
        await using var connection = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = Path.Combine(_folder, "backtracker.db"), Mode = SqliteOpenMode.ReadOnly, Pooling = false }.ToString());
        await connection.OpenAsync(TestContext.Current.CancellationToken);
        await using var command = connection.CreateCommand();
        command.CommandText = "select location from idempotency where idempotency_key = $key";
        command.Parameters.AddWithValue("$key", key);
        return await command.ExecuteScalarAsync(TestContext.Current.CancellationToken) as string ?? "";
    }
}
