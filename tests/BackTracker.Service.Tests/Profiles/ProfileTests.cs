using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Profiles;

public sealed class ProfileTests
{
    [Fact]
    public async Task Profiles_dump()
    {
        await using var service = await RunningService.StartAsync(jobs: JobMode.Rest);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, i => new TracedBack { WiderMm = i });
        File.WriteAllText("/tmp/profiles.json", (await yard.ProfilesAsync()).Body.ToJsonString(new() { WriteIndented = true }));
        File.WriteAllText("/tmp/fit.json", (await yard.FitAsync()).Body.ToJsonString(new() { WriteIndented = true }));
        File.WriteAllText("/tmp/forecast.json", (await yard.ForecastAsync()).Body.ToJsonString(new() { WriteIndented = true }));
    }
}
