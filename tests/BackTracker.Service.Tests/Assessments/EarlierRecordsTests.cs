using System.Net;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Assessments;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.WorkQueue;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Assessments;

/// <summary>What an earlier version stored goes on being read.</summary>
public sealed class EarlierRecordsTests
{
    [Fact]
    public async Task Assessment_ofTheEarlierFormat_isReadByBoardRouteAndNextAssessment()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        var id = await StoreAsync(service, yard, Earlier(yard));

        var read = (await service.Admin.GetAsync($"/v1/assessments/{id}")).Should(HttpStatusCode.OK);
        var board = (await service.Admin.GetAsync($"/v1/yards/{yard.YardId}/board")).Should(HttpStatusCode.OK);
        var next = await service.Services.GetRequiredService<Assessor>().DrainAsync(TestContext.Current.CancellationToken);

        var finding = read["outputs"]!["pairings"]![0]!["findings"]![0]!;
        Assert.Equal(("width150@T13", "watch"), (finding["key"]!.GetValue<string>(), finding["severity"]!.GetValue<string>()));
        Assert.Equal("""{"outBelow":null,"watchBelow":null,"watchAbove":null,"outAbove":null}""", finding["limits"]!.ToJsonString());
        var pairing = board["horses"]![0]!["pairings"]![0]!;
        Assert.Equal("watch", pairing["worstFinding"]!["severity"]!.GetValue<string>());
        Assert.Equal("2027-01-20", pairing["leavesToleranceOn"]!["p20"]!.GetValue<string>());
        Assert.Equal((1, 1), (next.Assessed, next.Stored));
    }

    [Fact]
    public async Task Measurement_withATraceThatCannotBeReadAnyMore_keepsNobodyFromBeingAssessed()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureAsync();
        // Points 50 mm apart: refused today.
        await AddMeasurementAsync(service, yard, """
            {"traces":[{"station":"T13","repeat":1,"points":[[-150,150],[-100,80],[-50,25],[0,0],[50,25],[100,80],[150,150]]}],"weightKg":470}
            """);

        var result = await service.Services.GetRequiredService<Assessor>().DrainAsync(TestContext.Current.CancellationToken);

        Assert.Equal((1, 1), (result.Assessed, result.Stored));
        Assert.Equal("ok", TracedYard.Finding(await yard.FitAsync(), "width@T13")["severity"]!.GetValue<string>());
        var t13 = (await yard.ProfilesAsync())["items"]![1]!;
        Assert.Equal(2, t13["last"]!["repeats"]!.GetValue<int>());
    }

    private static async Task<string> StoreAsync(RunningService service, Yardful yard, string outputs)
    {
        await using var session = await service.Database.WriteAsync("test", TestContext.Current.CancellationToken);
        var id = session.NewId();
        await AssessmentStore.AddAsync(session, new AssessmentRow
        {
            Id = id,
            HorseId = yard.HorseId,
            AssessedOn = "2026-11-24",
            EngineVersion = "0.1.0",
            Inputs = "{}",
            Outputs = outputs,
            Signature = "earlier",
            CreatedAt = session.NowText,
        });
        await session.CommitAsync();
        return id;
    }

    private static async Task AddMeasurementAsync(RunningService service, TracedYard yard, string body)
    {
        await using var session = await service.Database.WriteAsync("test", TestContext.Current.CancellationToken);
        await MeasurementStore.AddAsync(session, new MeasurementRow
        {
            Id = session.NewId(),
            HorseId = yard.HorseId,
            MeasuredAt = session.NowText,
            MeasuredOn = yard.TodayText,
            Method = "flexible-curve",
            Exercise = "before",
            Body = body,
            Version = 1,
            CreatedAt = session.NowText,
        });
        await WorkQueueStore.AddHorseAsync(session, yard.HorseId);
        await session.CommitAsync();
    }

    // As it was written when widths were all there was: limits by name, the key computed and at the end.
    private static string Earlier(Yardful yard) => $$"""
        {"modelVersion":"1","vetFirstObservationIds":[],"trends":[],"pairings":[{"pairingId":"{{yard.PairingId}}","saddleId":"{{yard.SaddleId}}",
        "saddleLabel":"Bramble's saddle","advice":"nothing-against","adviceText":"Nothing recorded speaks against it; that does not mean safe.",
        "findings":[{"measure":"width150","station":"T13","side":null,"value":-8,"valueSd":2.5,"unit":"mm","treeMm":320,"backMm":328,
        "limits":{"watchWideMm":10,"outWideMm":20,"watchNarrowMm":7,"outNarrowMm":14},"source":"One fitting.","severity":"watch","probabilityOut":0.02,
        "text":"Keep an eye on it.","key":"width150@T13"}],"missing":[],"leavesToleranceOn":{"p20":"2027-01-20","p50":null},"probabilityOut":0.02,"drivenBy":"T13"}],
        "wanted":[],"decisions":[]}
        """;
}
