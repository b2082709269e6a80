using System.Globalization;
using BackTracker.Engine.Checks;
using BackTracker.Service.Http;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage;
using BackTracker.Storage.Checks;

namespace BackTracker.Service.Tests.Years;

/// <summary>A check with the steps of its life.</summary>
internal sealed record CheckLived(CheckRow Row, IReadOnlyList<CheckStepRow> Steps)
{
    public (string Horse, string? Pairing, string Kind) Subject => (Row.HorseId, Row.PairingId, Row.Kind);

    public DateOnly OpenedOn => Instants.ReadDay(Row.OpenedOn);

    public DateOnly? EndedOn => Instants.ReadDayIfAny(Row.DoneOn);

    public IReadOnlyList<Reason> Reasons => Json.Read<Reason[]>(Row.Reasons);

    public static async Task<IReadOnlyList<CheckLived>> OfAsync(RunningService service, IEnumerable<YearHorse> horses)
    {
        await using var session = await service.Database.ReadAsync(TestContext.Current.CancellationToken);
        var lives = new List<CheckLived>();
        foreach (var horse in horses)
            foreach (var row in await CheckStore.OfHorseAsync(session, horse.Id))
                lives.Add(new CheckLived(row, await CheckStore.StepsAsync(session, row.Id)));
        return lives;
    }

    /// <summary>Moves of the due day by less than a week that nothing more urgent asked for.</summary>
    public IEnumerable<string> NeedlessMoves(int leastDays)
    {
        for (var i = 1; i < Steps.Count; i++)
        {
            var (before, after) = (DaysAt(i - 1), DaysAt(i));
            var on = DateOnly.FromDateTime(Instants.Read(Steps[i].CreatedAt).UtcDateTime);
            var shift = Math.Abs(Ahead(after.DueOn, on) - Ahead(before.DueOn, on));
            if (Steps[i].Action == "revise" && shift > 0 && shift < leastDays - 1 && after.Urgency <= before.Urgency)
                yield return $"{Row.Kind} of {Row.HorseName} moved from {before.DueOn} to {after.DueOn} on {on}: {Steps[i].Note}";
        }
    }

    /// <summary>Moves of the due day by a week or more that were taken back within some days.</summary>
    public IEnumerable<string> ThereAndBack(int withinDays)
    {
        var moves = Enumerable.Range(1, Steps.Count - 1).Where(i => Steps[i].Action == "revise" && DaysAt(i).DueOn != DaysAt(i - 1).DueOn).ToList();
        foreach (var (there, back) in moves.Zip(moves.Skip(1)))
            if (Math.Abs(DaysAt(back).DueOn.DayNumber - DaysAt(there - 1).DueOn.DayNumber) < 7 && Instants.Read(Steps[back].CreatedAt) - Instants.Read(Steps[there].CreatedAt) < TimeSpan.FromDays(withinDays))
                yield return ToString();
    }

    /// <summary>Its days when it was opened.</summary>
    public CheckDays FirstDays => DaysAt(0);

    /// <summary>The life as a person would read it.</summary>
    public override string ToString() => string.Join(Environment.NewLine, Steps
        .Select(step => string.Create(CultureInfo.InvariantCulture, $"    {step.CreatedAt[..16]} {step.Action} (due {Json.Read<CheckDays>(step.Days).DueOn:yyyy-MM-dd}): {step.Note}"))
        .Prepend($"{Row.Kind} of {Row.HorseName}, {Row.State}"));

    private CheckDays DaysAt(int step) => Json.Read<CheckDays>(Steps[step].Days);

    private static int Ahead(DateOnly day, DateOnly from) => Math.Max(0, day.DayNumber - from.DayNumber);
}
