namespace BackTracker.Faults;

/// <summary>The real binary by a clock that is set forward and back while it runs: nothing is told twice or never, days are the yard's, and it goes on answering.</summary>
public sealed class ClockTests
{
    // The next two changes of London's clocks, one forward and one back (IANA tz database).
    [Theory, InlineData(0), InlineData(1)]
    public async Task Clock_setBackAndForth_overAChangeOfClocks_tellsEverythingOnceOnItsDay(int changesAhead)
    {
        using var folder = await FaultFolder.MakeAsync();
        var clock = SetClock.In(folder.Beside("clock"));
        clock.Set(ClockYard.At(changesAhead, -4, "12:00"));
        await using var receiver = await Receiver.StartAsync();
        await using var service = await ServiceProcess.StartAsync(folder.Data, clock.Settings);
        using var client = new Client(service.Address, folder.Key);
        var yard = new ClockYard(client, receiver, clock, changesAhead);
        await yard.SettleAsync();
        var bramble = await yard.HorseAsync("Bramble", 0);
        var sorrel = await yard.HorseAsync("Sorrel", 14);
        var merlin = await yard.HorseAsync("Merlin", 23);
        var measured = await MeasuredHorse.SettleAsync(client);
        var burst = new Burst(measured);

        await yard.ToldAsync(bramble, "opened 0 on -4");
        await yard.SetAsync(ClockYard.ChangeOf(changesAhead).AddSeconds(-2));
        await burst.RunAsync(client, 2, () => clock.Now < ClockYard.ChangeOf(changesAhead).AddSeconds(1));
        await yard.SetAsync(0, "04:00");
        await yard.ToldAsync(bramble, "opened 0 on -4", "due 0 on 0");
        await yard.SetAsync(-1, "23:00");
        var before = burst.Taken;
        await burst.RunAsync(client, 2, () => burst.Taken < before + 20);
        await yard.SetAsync(0, "04:30");
        await yard.SetAsync(1, "03:30");
        await yard.ToldAsync(bramble, "opened 0 on -4", "due 0 on 0", "overdue 0 on 1");

        TestContext.Current.TestOutputHelper!.WriteLine(await burst.SettleAsync(client)); // While keys are remembered.

        await yard.SetAsync(22, "12:00"); // Three weeks in which nobody worked.
        await yard.ToldAsync(sorrel, "opened 14 on 22", "due 14 on 22", "overdue 14 on 22");
        await yard.ToldAsync(merlin, "opened 23 on 22");
        await yard.SetAsync(22, "06:00");
        await yard.SetAsync(23, "04:00");
        await yard.ToldAsync(merlin, "opened 23 on 22", "due 23 on 23");

        Assert.Equal(["opened 0 on -4", "due 0 on 0", "overdue 0 on 1"], yard.Told(bramble));
        Assert.Distinct(yard.Everything.Select(told => told["id"]!.GetValue<string>()));
        foreach (var horse in yard.Everything.GroupBy(told => told["subject"]!.GetValue<string>()))
            Assert.Equal(horse.Select(told => told["id"]!.GetValue<string>()).Order(StringComparer.Ordinal), horse.Select(told => told["id"]!.GetValue<string>()));
        Assert.Equal(burst.Ids.Order(), (await measured.IdsAsync(client)).Order());
        await ServiceProcess.RunAsync("verify", "--data", folder.Data);
    }

    // Somebody set the wrong month, and sets it right.
    [Fact]
    public async Task Clock_thatWasWeeksAhead_andIsSetRight_holdsUpNoRound()
    {
        using var folder = await FaultFolder.MakeAsync();
        var clock = SetClock.In(folder.Beside("clock"));
        clock.Set(ClockYard.At(0, 28, "12:00"));
        await using var receiver = await Receiver.StartAsync();
        await using var service = await ServiceProcess.StartAsync(folder.Data, clock.Settings);
        using var client = new Client(service.Address, folder.Key);
        var yard = new ClockYard(client, receiver, clock, 0);
        await yard.SettleAsync();
        var early = await yard.HorseAsync("Early", 29);
        await yard.ToldAsync(early, "opened 29 on 28");
        await yard.SetAsync(29, "12:00");
        await yard.ToldAsync(early, "opened 29 on 28", "due 29 on 29");

        await yard.SetAsync(1, "12:00");
        var bramble = await yard.HorseAsync("Bramble", 2);
        await yard.ToldAsync(bramble, "opened 2 on 1");
        await yard.SetAsync(2, "04:00");
        await yard.ToldAsync(bramble, "opened 2 on 1", "due 2 on 2");
        Assert.Equal(["opened 29 on 28", "due 29 on 29"], yard.Told(early));
    }
}
