using System.Net;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Edge;

public sealed class RoleTests
{
    private static readonly Settings WithoutBackups = new() { Backups = new() { Nightly = false } };

    [Fact]
    public async Task Api_leavesTheWorkToAWorker_whichDoesItAndAnswersOfItselfAlone()
    {
        await using var api = await RunningService.StartAsync(StoreKind.Postgres, role: ServiceRole.Api);
        var yard = await Yardful.SettleAsync(api);
        await yard.MeasureAsync(340);
        Assert.NotEmpty(await api.WaitingAsync());
        Assert.False(await HasSchedulerAsync(api));

        var worker = await api.AgainAsync(WithoutBackups, ServiceRole.Worker);
        await api.SettledAsync();

        Assert.Single((await api.Admin.GetAsync($"/v1/checks?horseId={yard.HorseId}")).Items, check => check!["kind"]!.GetValue<string>() == "refit");
        foreach (var open in new[] { "/health/live", "/health/ready", "/metrics" })
            (await worker.Admin.GetAsync(open)).Should(HttpStatusCode.OK);
        foreach (var (method, path) in new[] { (HttpMethod.Get, "/v1/yards"), (HttpMethod.Post, "/v1/yards"), (HttpMethod.Get, "/"), (HttpMethod.Get, "/sign-in"), (HttpMethod.Get, "/openapi/v1.json") })
            Assert.Contains("--role worker", (await worker.Admin.SendAsync(method, path, null)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found").Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Change_onAnApi_isAssessedByAWorkerWithinSeconds()
    {
        await using var api = await RunningService.StartAsync(StoreKind.Postgres, role: ServiceRole.Api);
        await api.AgainAsync(WithoutBackups, ServiceRole.Worker);
        var yard = await Yardful.SettleAsync(api);
        await api.SettledAsync();

        await yard.MeasureAsync(340);

        await api.SettledAsync(withinSeconds: 10); // Two where nobody else needs the machine.
    }

    [Fact]
    public async Task Pages_signedInOnOneInstance_areReadAndWrittenOnAnother()
    {
        await using var one = await RunningService.StartAsync(StoreKind.Postgres, role: ServiceRole.Api);
        var other = await one.AgainAsync(WithoutBackups, ServiceRole.Api);
        var yard = await Yardful.SettleAsync(one);
        using var onOne = await PageClient.SignedInAsync(one);
        using var onOther = new PageClient(other);
        var form = $"/horses/{yard.HorseId}/observe";
        var token = await onOne.TokenAsync(form);
        onOther.Cookies.Add(onOne.Cookies.GetCookies(new Uri(one.Address)));

        (await onOther.GetAsync($"/horses/{yard.HorseId}")).Should(HttpStatusCode.OK);
        var sent = await onOther.PostAsync(form, (PageClient.Token, token), ("/observedOn", "2026-11-25"), ("/kind", "rub"), ("/note", "Seen."), ("once", "first"));

        sent.Should(HttpStatusCode.Found);
        Assert.Single((await one.Admin.GetAsync($"/v1/horses/{yard.HorseId}/observations")).Items);
    }

    private static async Task<bool> HasSchedulerAsync(RunningService service)
    {
        await using var connection = await service.Database.Dialect.OpenAsync(TestContext.Current.CancellationToken);
        return await service.Database.Dialect.TableExistsAsync(connection, "qrtz_triggers", TestContext.Current.CancellationToken);
    }
}
