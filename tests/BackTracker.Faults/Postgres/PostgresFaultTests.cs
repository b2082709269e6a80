using System.Globalization;
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
