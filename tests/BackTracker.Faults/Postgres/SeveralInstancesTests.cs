using BackTracker.Service.Tests.Harness;

namespace BackTracker.Faults.Postgres;

/// <summary>One instance that serves and two that work, on one database: they share the work, and one takes over from the other.</summary>
public sealed class SeveralInstancesTests
{
    private const int Some = 40;
    private const string Assessing = "from qrtz_fired_triggers where job_name = 'assess' and state = 'EXECUTING'";

    [Fact]
    public async Task Kill_ofTheWorkerThatAssesses_losesAndDoublesNothing_andTheOtherTakesOver()
    {
        await using var yard = await PostgresYard.CreateAsync();
        var api = await yard.ServeAsync("api");
        var workers = new Dictionary<string, ServiceProcess>();
        for (var i = 0; i < 2; i++)
        {
            var worker = await yard.ServeAsync("worker");
            string? name = null;
            await Eventually.TrueAsync(
                async () => (name = (await yard.ListAsync("select instance_name from qrtz_scheduler_state")).SingleOrDefault(known => !workers.ContainsKey(known))) is not null, () => "It does not say that it is there.");
            workers.Add(name!, worker);
        }
        using var client = yard.ClientOf(api);
        await yard.LoadAsync(client);
        await yard.MoreAsync(Some, "There is no load.");

        IReadOnlyList<string> assessing = [];
        await Eventually.TrueAsync(async () => (assessing = await yard.ListAsync($"select instance_name {Assessing}")).Count > 0, () => "Nobody assesses.");
        await workers[assessing[0]].KillAsync();
        await yard.MoreAsync(Some, "The api does not go on without a worker.");

        await yard.ReckonAsync(client);
        await yard.VerifyAsync();
        await NothingDoubledAsync(yard);
        await Eventually.TrueAsync(async () => !(await yard.ListAsync("select instance_name from qrtz_scheduler_state")).Contains(assessing[0]), () => "The dead one is still counted on.");
        Assert.Empty(await yard.ListAsync($"select instance_name {Assessing} and instance_name = '{assessing[0]}'"));
    }

    /// <summary>Whatever was raised was raised once, by whichever of them.</summary>
    private static async Task NothingDoubledAsync(PostgresYard yard)
    {
        Assert.NotEmpty(await yard.ListAsync("select id from checks"));
        Assert.NotEmpty(await yard.ListAsync("select id from alerts"));
        Assert.Empty(await yard.ListAsync("select check_id from check_history where action = 'open' group by check_id having count(*) <> 1"));
        Assert.Empty(await yard.ListAsync("select alert_id from alert_steps where action = 'raised' group by alert_id having count(*) <> 1"));
        Assert.Empty(await yard.ListAsync("select horse_id from outbox group by horse_id, sequence having count(*) > 1"));
        Assert.Empty(await yard.ListAsync("select body::json #>> '{data,checkId}' from outbox where type = 'backtracker.check.opened.v1' group by 1 having count(*) > 1"));
        Assert.Empty(await yard.ListAsync(
            """
            select id from (select id, inputs, outputs, lag(inputs) over one as inputs_before, lag(outputs) over one as outputs_before
                from assessments window one as (partition by horse_id order by id)) a
            where inputs = inputs_before and outputs = outputs_before
            """));
    }
}
