using System.Globalization;
using System.Text.Json.Nodes;
using BackTracker.Service.Delivery;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Alerts;
using BackTracker.Service.Tests.Harness;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Days;

/// <summary>
/// A yard around a day. Bramble and Merlin were measured 42 days before, at the first and the last half hour of that day, so that both are to be
/// measured again on the day. Sorrel and Wren were rubbed three days before: the fitter comes to Sorrel on the day, to Wren two days after.
/// Fen was rubbed two days before and nobody is to hear of it until the day is over. Teasel is rubbed at ten in the night before.
/// </summary>
internal sealed class DaysYard : IAsyncDisposable
{
    private readonly Receiver _receiver;
    private readonly Dictionary<string, string> _names = [];
    private readonly List<string> _beforeTheReceiver = [];

    private DaysYard(DayCase day, AlertYard yard, Receiver receiver) => (Case, Yard, _receiver) = (day, yard, receiver);

    public DayCase Case { get; }

    public AlertYard Yard { get; }

    public RunningService Service => Yard.Service;

    public string Manager { get; private set; } = "";

    public string Fitter { get; private set; } = "";

    /// <summary>When daily letters were written, on the yard's clock.</summary>
    public List<string> Digests { get; } = [];

    public IReadOnlyList<ReceivedEvent> Received => _receiver.Received;

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    /// <summary>Opens 42 days before the day.</summary>
    public static async Task<DaysYard> OpenAsync(DayCase day, StoreKind store = StoreKind.Sqlite)
    {
        var receiver = await Receiver.StartAsync();
        var settings = new Settings { Delivery = new() { AllowHosts = "127.0.0.1" } };
        var service = await RunningService.StartAsync(store, Text(day.At(-42, "00:30")), ServiceRole.Api, settings);
        var days = new DaysYard(day, await AlertYard.SettleAsync(service, day.Zone), receiver);
        days._names[days.Yard.HorseId] = "Bramble";
        (days.Manager, days.Fitter) = (await days.Yard.SubscribeAsync(days.Yard.ManagerId), await days.Yard.SubscribeAsync(days.Yard.FitterId));
        days._beforeTheReceiver.AddRange(await days.WrittenEventsAsync());
        await service.Admin.MakeAsync("/v1/subscriptions", new { url = receiver.Url, events = Array.Empty<string>(), yardIds = new[] { days.Yard.YardId } });
        await days.WorkAsync();
        days.Service.Clock.AdjustTime(day.At(-42, "23:30"));
        await days.HorseAsync("Merlin");
        return days;
    }

    /// <summary>Lives until the evening before the day, when Teasel is rubbed.</summary>
    public async Task LiveUntilTheNightBeforeAsync()
    {
        await LiveAsync(Case.At(-8, "12:00"), TimeSpan.FromHours(12));
        await LiveAsync(Case.At(-7, "12:00"), TimeSpan.FromMinutes(30));
        await LiveAsync(Case.At(-3, "12:00"), TimeSpan.FromHours(6));
        await BookedAsync("Sorrel", 0);
        await BookedAsync("Wren", 2);
        var fen = await HorseAsync("Fen");
        var teasel = await HorseAsync("Teasel");
        await LiveAsync(Case.At(-2, "12:00"), TimeSpan.FromHours(3));
        await Service.Admin.MakeAsync("/v1/quiet-periods", new { horseId = fen, until = Case.On(0), reason = "horse away" });
        await Yard.SeeAsync("rub", fen);
        await LiveAsync(Case.At(-1, "22:00"), TimeSpan.FromMinutes(30));
        await Yard.SeeAsync("rub", teasel);
        await WorkAsync();
    }

    /// <summary>Lets time pass in steps until an instant, with what the jobs would do at each.</summary>
    public async Task LiveAsync(DateTimeOffset until, TimeSpan step)
    {
        while (Service.Clock.GetUtcNow() < until)
        {
            var next = Service.Clock.GetUtcNow() + step;
            Service.Clock.AdjustTime(next < until ? next : until);
            await WorkAsync();
        }
    }

    /// <summary>Does what the jobs would do now.</summary>
    public async Task WorkAsync()
    {
        if (await Yard.WorkAsync() > 0)
            Digests.Add(Case.Local(Service.Clock.GetUtcNow()));
        var pump = Service.Services.GetRequiredService<Pump>();
        while (await pump.StartDueAsync(Cancel) is { Count: > 0 } lanes)
            await Task.WhenAll(lanes);
    }

    /// <summary>An instant as a clock is set to it.</summary>
    public static string Text(DateTimeOffset instant) => instant.ToString("O", CultureInfo.InvariantCulture);

    public IEnumerable<string> Horses => _names.Keys;

    public string Horse(string name) => _names.Single(horse => horse.Value == name).Key;

    public async Task<JsonNode> CheckAsync(string name, string kind) =>
        (await Service.Admin.GetAsync($"/v1/checks?horseId={Horse(name)}")).Items.Single(check => check!["kind"]!.GetValue<string>() == kind)!;

    /// <summary>"due 0 at 0 03:00": what receivers got about the checks of a kind of a horse, with the day that was named, in order.</summary>
    public IEnumerable<string> Told(string name, string kind) => Received
        .Where(got => got.HorseId == Horse(name) && got.Json["data"]!["kind"]?.GetValue<string>() == kind)
        .Select(got => $"{got.Type["backtracker.check.".Length..^3]} {Offset(got.Json["data"]!["dueOn"]!.GetValue<string>())} at {Case.Local(got.Json["time"]!.GetValue<DateTimeOffset>())}");

    /// <summary>"at-once 0 06:30 raised Teasel": what a receiver was written, line by line.</summary>
    public async Task<IReadOnlyList<string>> WrittenAsync(string subscription) =>
    [
        .. (await Yard.LettersAsync(subscription)).SelectMany(letter => letter.Body["lines"]!.AsArray().Select(line => $"{line!["news"]} {_names[line["horseId"]!.GetValue<string>()]}")
            .Concat(letter.Body["visits"]!.AsArray().Select(visit => $"{visit!["horseName"]} {Offset(visit["on"]!.GetValue<string>())}"))
            .Select(line => $"{letter.Occasion} {Case.Local(letter.At)} {line}")),
    ];

    /// <summary>Adds a horse, measured now.</summary>
    public async Task<string> HorseAsync(string name)
    {
        var id = await Yard.HorseAsync(name);
        _names[id] = name;
        return id;
    }

    /// <summary>Insists that every event was received once, each horse's in order.</summary>
    public async Task ShouldHaveReceivedEverythingOnceAsync()
    {
        Assert.Empty((await WrittenEventsAsync()).Except(_beforeTheReceiver).Except(Received.Select(got => got.Id)));
        Assert.Distinct(Received.Select(got => got.Id));
        foreach (var horse in Received.GroupBy(got => got.HorseId))
        {
            Assert.Equal(horse.Select(got => got.Sequence).Order(StringComparer.Ordinal), horse.Select(got => got.Sequence));
            Assert.Equal(horse.Select(got => got.Id).Order(StringComparer.Ordinal), horse.Select(got => got.Id));
        }
    }

    /// <summary>Insists that working once more at the same instant writes nothing.</summary>
    public async Task ShouldHaveNothingToDoAsync()
    {
        var before = await StoreContent.ReadAsync(Service);
        await WorkAsync();
        (await StoreContent.ReadAsync(Service)).ShouldEqual(before);
    }

    public async ValueTask DisposeAsync()
    {
        await Service.DisposeAsync();
        await _receiver.DisposeAsync();
    }

    private async Task BookedAsync(string name, int day)
    {
        var horse = await HorseAsync(name);
        await Yard.SeeAsync("rub", horse);
        await Yard.MoveCheckAsync("fit", "book", new { on = Case.On(day), fitterId = Yard.FitterId }, horse);
        await WorkAsync();
    }

    private async Task<IEnumerable<string>> WrittenEventsAsync() => (await StoreContent.ReadAsync(Service))["outbox"].Select(row => row.Split('|')[0]);

    private int Offset(string day) => DateOnly.ParseExact(day, "yyyy-MM-dd", CultureInfo.InvariantCulture).DayNumber - Case.Day.DayNumber;
}
