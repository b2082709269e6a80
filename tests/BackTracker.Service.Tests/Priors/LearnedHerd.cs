using System.Globalization;
using System.Net;
using System.Text;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Priors;
using BackTracker.Engine.Trends;
using BackTracker.Service.Features.Priors;
using BackTracker.Service.Http;
using BackTracker.Service.Tests.Harness;
using BackTracker.Service.Tests.Imports;
using BackTracker.Storage.Priors;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Priors;

/// <summary>Herds from which something can be learned, and services that have learned.</summary>
internal static class LearnedHerd
{
    public static readonly DateOnly First = new(2025, 12, 1);

    public static PriorLearner Learner(this RunningService service) => service.Services.GetRequiredService<PriorLearner>();

    /// <summary>A yard of horses that are measured and weighed every four weeks for a year: .12 mm of their width goes with a kg. Returns the yard and the horses.</summary>
    public static async Task<(string YardId, IReadOnlyList<string> Horses)> HerdAsync(this RunningService service, int count)
    {
        var (yard, random) = (await service.YardAsync(), new Random(23));
        var fitter = await service.Admin.MakeAsync("/v1/people", new { name = "A fitter", role = "fitter", yardIds = new[] { yard } });
        var (horses, rows) = (new List<string>(), new StringBuilder(Files.Header));
        for (var i = 0; i < count; i++)
        {
            horses.Add(await service.HorseAsync(yard, $"Horse {i}"));
            var (phase, swing, drift) = (6 * random.NextDouble(), 20 + (40 * random.NextDouble()), .01 * Gauss(random));
            for (var session = 0; session < 13; session++)
            {
                var kg = swing * Math.Sin((session / 2.0) + phase);
                var width = 300 + (drift * 28 * session) + (.12 * kg) + (1.8 * Gauss(random));
                rows.Append(Rows(horses[^1], fitter, First.AddDays(28 * session), width, 500 + kg + (5 * Gauss(random))));
            }
        }
        (await service.ImportAsync(Files.Csv, rows.ToString())).Should(HttpStatusCode.Created);
        return (yard, horses);
    }

    /// <summary>A horse that widens fast while its weight stays, measured and weighed every fortnight.</summary>
    public static async Task<string> GainingHorseAsync(this RunningService service, string yard)
    {
        var (horse, random, rows) = (await service.HorseAsync(yard, "Sorrel"), new Random(5), new StringBuilder(Files.Header));
        var fitter = await service.Admin.MakeAsync("/v1/people", new { name = "Another fitter", role = "fitter", yardIds = new[] { yard } });
        for (var session = 0; session < 25; session++)
            rows.Append(Rows(horse, fitter, First.AddDays(14 * session), 290 + (2.5 * session) + Gauss(random), 500 + (3 * Gauss(random))));
        (await service.ImportAsync(Files.Csv, rows.ToString())).Should(HttpStatusCode.Created);
        return horse;
    }

    /// <summary>Has a service know a round that was learned, without a herd; returns its id.</summary>
    public static async Task<string> LearnedAsync(RunningService service)
    {
        var cancel = TestContext.Current.CancellationToken;
        await using (var reading = await service.Database.ReadAsync(cancel))
        {
            if (await PriorStore.LatestAsync(reading) is { } there)
                return there.Id;
        }
        var learned = new LearnedPriors
        {
            Name = "learned-1-2026-11-01",
            Horses = 60,
            Priors = [new(new(HorseClass.All, Quantity.Width, PriorContext.NothingRecorded), 60, .6, new(new(.02, .5), new(60, .6), new(1.7, .4)), new(200, .8, -2.8), new(200, .81, -2.9))],
            Refused = [new(new(HorseClass.Growing, Quantity.Width, PriorContext.NothingRecorded), 12, PriorRefusal.TooFewHorses)],
            SessionSds = [new(Quantity.Width, 60, 300, 1.9)],
            WeightShares = [new(Metric.Width(Station.Of(8), 150), Engine.Muscle.WeightBasis.WeightAndCondition, 60, .1, 2.5, .0004, .2, -.001)],
            RefusedShares = [new(Metric.Width(Station.Of(13), 150), Engine.Muscle.WeightBasis.Weight, 3, Engine.Muscle.ShareRefusal.TooFewHorses)],
        };
        return await service.Database.ChangeAsync("test", async session =>
        {
            var row = new PriorRow { Id = session.NewId(), Number = 1, LearnedOn = "2026-11-01", EngineVersion = HorseAssessment.EngineVersion, Horses = 60, Body = Json.Write(learned), CreatedAt = session.NowText };
            await PriorStore.AddAsync(session, row);
            return row.Id;
        }, cancel);
    }

    private static string Rows(string horse, string fitter, DateOnly on, double width, double kg) => string.Create(
        CultureInfo.InvariantCulture,
        $"""
        {horse},{on:yyyy-MM-dd}T12:00:00Z,{fitter},arm-gauge,before,T8,150,{width + 1.4:0.0},,,1,{kg:0},,,
        {horse},{on:yyyy-MM-dd}T12:00:00Z,{fitter},arm-gauge,before,T8,150,{width - 1.4:0.0},,,2,{kg:0},,,

        """);

    private static double Gauss(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
