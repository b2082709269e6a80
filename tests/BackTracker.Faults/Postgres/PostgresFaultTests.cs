using System.Globalization;
using BackTracker.Faults.MixedLoad;
using BackTracker.Service.Tests.Harness;
using Npgsql;

namespace BackTracker.Faults.Postgres;

/// <summary>
/// The real binary under load while its PostgreSQL server goes away, cuts it off or keeps it waiting: what was acknowledged is there, what was refused
/// was refused in words, and nobody has to start anything again. BACKTRACKER_RESTARTS says how often.
/// </summary>
public sealed class PostgresFaultTests
{
    private const int Some = 30;

    private static int Rounds => int.TryParse(Environment.GetEnvironmentVariable("BACKTRACKER_RESTARTS"), CultureInfo.InvariantCulture, out var rounds) ? rounds : 1;

    [Fact]
    public async Task Restart_ofTheServerUnderLoad_isRefusedInWordsMeanwhile_andLosesNothing()
    {
        await using var yard = await PostgresYard.CreateAsync();
        await UnderLoadAsync(yard, "", async client =>
        {
            await yard.Server.StopAsync();
            Assert.Equal(503, await client.StatusAsync("/health/ready"));
            Assert.Equal(200, await client.StatusAsync("/health/live"));
            await yard.DoubtedAsync(10, "Nobody was told that the store is away.");
            await yard.Server.StartAsync();
        });
    }

    [Fact]
    public async Task Termination_ofAllConnectionsUnderLoad_losesNothing()
    {
        await using var yard = await PostgresYard.CreateAsync();
        await UnderLoadAsync(yard, "", async _ =>
        {
            for (var times = 0; times < 3; times++)
            {
                await yard.ListAsync("select pg_terminate_backend(pid) from pg_stat_activity where backend_type = 'client backend' and pid <> pg_backend_pid()");
                await yard.MoreAsync(Some, "It does not go on after its connections were ended.");
            }
        });
    }

    [Fact]
    public async Task Lock_heldByAnotherSession_keepsRequestsWaitingOrRefusesThem_andNothingElse()
    {
        await using var yard = await PostgresYard.CreateAsync();
        await UnderLoadAsync(yard, "Command Timeout=3", async client =>
        {
            await using var other = await yard.OpenAsync();
            await using var transaction = await other.BeginTransactionAsync(TestContext.Current.CancellationToken);
            await using (var take = new NpgsqlCommand("lock table measurements in access exclusive mode", other, transaction))
                await take.ExecuteNonQueryAsync(TestContext.Current.CancellationToken);

            await Eventually.TrueAsync(async () => (await yard.ListAsync("select pid from pg_locks where not granted")).Count > 0, () => "Nobody waits.");
            Assert.Equal(200, await client.StatusAsync("/health/live"));
            Assert.Equal(200, await client.StatusAsync("/v1/yards"));
            await yard.DoubtedAsync(1, "Nobody was refused though three seconds have passed.");
            Assert.Equal(200, await client.StatusAsync("/health/live"));
            await transaction.RollbackAsync(TestContext.Current.CancellationToken);
        });
        Assert.InRange(yard.Longest, TimeSpan.FromSeconds(3), TimeSpan.FromSeconds(30));
    }

    // A commit that waits for a standby that is not there is lasting already, and not yet answered.
    [Fact]
    public async Task Commit_brokenOffBeforeItsAnswer_isNotCalledUndone_andTheSameKeySettlesIt()
    {
        await using var yard = await PostgresYard.CreateAsync();
        using var client = yard.ClientOf(await yard.ServeAsync("api"));
        var yardId = await client.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
        await WaitForStandbyAsync(yard, "nobody");
        var work = new Work(WorkKind.Register, HttpMethod.Post, "/v1/horses", $$"""{"yardId":"{{yardId}}","name":"Bramble"}""") { Key = "unheard" };

        var asked = client.TryAsync(work);
        await Eventually.TrueAsync(async () => (await yard.ListAsync("select pg_terminate_backend(pid) from pg_stat_activity where wait_event = 'SyncRep'")).Count > 0, () => "It never came to its commit.");
        var answer = (await asked)!.Value;
        await WaitForStandbyAsync(yard, "");

        Assert.Equal(503, answer.Status);
        Assert.Contains("whether it was kept is not known", answer.Text, StringComparison.Ordinal);
        Assert.Equal(201, (await client.TryAsync(work))!.Value.Status);
        Assert.Single(await client.AllAsync($"/v1/horses?yardId={yardId}"));
    }

    private static async Task WaitForStandbyAsync(PostgresYard yard, string name)
    {
        await yard.ListAsync($"alter system set synchronous_standby_names = '{name}'");
        await yard.ListAsync("select pg_reload_conf()");
        await Eventually.TrueAsync(async () => (await yard.ListAsync("show synchronous_standby_names")).Single() == name, () => "The server does not take the setting.");
    }

    /// <summary>Loads one instance, has something happen to it, and sees that it is ready again and goes on by itself.</summary>
    private static async Task UnderLoadAsync(PostgresYard yard, string connectionMore, Func<Client, Task> happen)
    {
        var service = await yard.ServeAsync(connectionMore: connectionMore);
        using var client = yard.ClientOf(service);
        await yard.LoadAsync(client);
        for (var round = 0; round < Rounds; round++)
        {
            await yard.MoreAsync(Some, "There is no load.");
            await happen(client);
            await Eventually.TrueAsync(async () => await client.StatusAsync("/health/ready") == 200, () => "It is not ready again.", withinSeconds: 60);
            await yard.MoreAsync(Some, "It does not go on.");
        }
        await yard.ReckonAsync(client);
        await yard.VerifyAsync();
    }
}
