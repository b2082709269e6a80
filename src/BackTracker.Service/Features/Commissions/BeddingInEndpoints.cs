using BackTracker.Engine.Checks;
using BackTracker.Engine.Commissions;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Commissions;
using BackTracker.Storage.Pairings;
using BackTracker.Storage.Rides;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Commissions;

/// <summary>A look at the delivered saddle.</summary>
/// <param name="RiddenHours">After so many ridden hours.</param>
/// <param name="ExpectedOn">The day on which they are expected to be ridden, no later than the latest day.</param>
/// <param name="LatestOn">The day by which it is due whatever was ridden.</param>
/// <param name="IsDone">Whether it was looked at after so many hours, or from the latest day on.</param>
public sealed record BeddingInLookAnswer(double RiddenHours, DateOnly ExpectedOn, DateOnly LatestOn, bool IsDone);

/// <summary>Room over the spine as it was found.</summary>
/// <param name="On">The day.</param>
/// <param name="RiddenHours">Hours ridden in the saddle by then: as said with the look, else by the rides.</param>
/// <param name="ClearanceMm">Room, mm.</param>
/// <param name="Verdict">What was made of it.</param>
/// <param name="Note">Anything else.</param>
public sealed record ClearanceAnswer(DateOnly On, double RiddenHours, double ClearanceMm, ItemVerdict Verdict, string? Note);

/// <summary>How far the panel has packed down and how far it still will.</summary>
/// <param name="PackedMm">Since delivery, mm.</param>
/// <param name="StillToComeMm">Expected still, mm.</param>
/// <param name="RestMm">Room over the spine when all is done, mm.</param>
public sealed record SettlementAnswer(double PackedMm, double StillToComeMm, double RestMm);

/// <summary>How a delivered saddle beds in.</summary>
/// <param name="CommissionId">The commission.</param>
/// <param name="Version">Version of the commission now.</param>
/// <param name="Stage">Where it stands.</param>
/// <param name="DeliveredOn">Day of delivery; null before.</param>
/// <param name="RiddenHours">Hours ridden in it since.</param>
/// <param name="Looks">When it is to be looked at.</param>
/// <param name="Clearances">Room over the spine as it was found, in order of day.</param>
/// <param name="Settlement">How the panel packs down; null before three looks at different hours.</param>
/// <param name="IsSettled">Whether it is bedded in.</param>
/// <param name="Cautions">What to keep in mind.</param>
public sealed record BeddingInAnswer(
    string CommissionId, long Version, CommissionStage Stage, DateOnly? DeliveredOn, double RiddenHours, IReadOnlyList<BeddingInLookAnswer> Looks,
    IReadOnlyList<ClearanceAnswer> Clearances, SettlementAnswer? Settlement, bool IsSettled, IReadOnlyList<string> Cautions);

/// <summary>The first hours of a delivered saddle.</summary>
internal static class BeddingInEndpoints
{
    /// <summary>What is known of them.</summary>
    /// <param name="DeliveredOn">Day of delivery; null before.</param>
    /// <param name="WeeklyMinutes">Ridden minutes a week, as the pairing says; 0 where nobody said.</param>
    /// <param name="Rides">Rides in the saddle since.</param>
    /// <param name="Clearances">Clearances, in order of day.</param>
    internal sealed record Bedding(DateOnly? DeliveredOn, int WeeklyMinutes, IReadOnlyList<RideRow> Rides, IReadOnlyList<ClearanceRow> Clearances)
    {
        /// <summary>Hours ridden up to a day: by the rides, else by what the pairing says of a week.</summary>
        public double HoursOn(DateOnly day) => DeliveredOn is not { } delivered || day < delivered ? 0
            : Rides.Count == 0 ? WeeklyMinutes * (day.DayNumber - delivered.DayNumber) / 7.0 / 60
            : Rides.Where(ride => string.CompareOrdinal(ride.RiddenOn, Instants.WriteDay(day)) <= 0).Sum(ride => ride.Minutes) / 60.0;

        /// <summary>Whether a look was taken.</summary>
        public bool Has(BeddingInLook look) =>
            Dated.Any(seen => seen.RiddenHours >= look.RiddenHours) || Clearances.Any(seen => Instants.ReadDay(seen.OnDay) >= look.LatestOn);

        public IReadOnlyList<DatedClearance> Dated => [.. Clearances.Select(seen => new DatedClearance(seen.RiddenHours ?? HoursOn(Instants.ReadDay(seen.OnDay)), seen.ClearanceMm))];
    }

    public static Task<IResult> RecordAsync(HttpContext http, string id, ClearanceRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var row = await CommissionEndpoints.RequireAsync(session, caller, id);
        Conditional.MatchIfSent(http, row.Version);
        if (row.Stage is not ("delivered" or "bedding-in"))
            throw new ProblemException(ProblemKind.Conflict, $"It is {row.Stage}: the room over the spine is recorded while a delivered saddle beds in.");
        var steps = await CommissionStore.StepsAsync(session, [row.Id]);
        await CommissionLife.RefuseDayAsync(session, caller, row, [steps.Last(step => step.Stage == "delivered")], request.On!.Value);
        var clearance = new ClearanceRow
        {
            Id = session.NewId(),
            CommissionId = row.Id,
            OnDay = Instants.WriteDay(request.On.Value),
            RiddenHours = request.RiddenHours,
            ClearanceMm = request.ClearanceMm!.Value,
            Verdict = Words.Write(request.Verdict!.Value),
            Note = request.Note,
            CreatedAt = session.NowText,
        };
        await CommissionRecords.AddClearanceAsync(session, clearance);
        await AuditStore.NoteAsync(session, "create", "commission-clearance", clearance.Id);
        await MoveOnAsync(session, row, await LoadAsync(session, row, steps), clearance.OnDay);
        var after = (await CommissionStore.FindAsync(session, Sight.All, row.Id))!;
        return Answer.Created($"/v1/commissions/{row.Id}/bedding-in", await AnswerAsync(session, after, clearance.OnDay), after.Version);
    });

    public static async Task<IResult> GetAsync(string id, Caller caller, Database database, TimeProvider clock, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var row = await CommissionEndpoints.RequireAsync(session, caller, id);
        var today = HorseDays.Today(await HorseEndpoints.RequireAsync(session, caller, row.HorseId), clock.GetUtcNow());
        return Json.Answer(await AnswerAsync(session, row, Instants.WriteDay(today)));
    }

    public static async Task<Bedding> LoadAsync(ReadSession session, CommissionRow row, IReadOnlyList<CommissionStepRow> steps)
    {
        if (steps.LastOrDefault(step => step.Stage == "delivered") is not { } delivered)
            return new Bedding(null, 0, [], []);
        var pairing = (await PairingStore.OfHorseAsync(session, row.HorseId)).LastOrDefault(pairing => pairing.SaddleId == row.SaddleId);
        return new Bedding(
            Instants.ReadDay(delivered.OnDay), pairing?.WeeklyMinutes ?? 0, await RideStore.InSaddleAsync(session, row.SaddleId, delivered.OnDay, null),
            await CommissionRecords.ClearancesAsync(session, row.Id));
    }

    /// <summary>Whether it is bedded in by the rule, and the last look found nothing.</summary>
    public static bool IsSettled(Bedding bedding) => bedding.Clearances is [.., { Verdict: "pass" }] && BeddingIn.IsSettled(bedding.Dated);

    /// <summary>The first look begins the bedding in, and the one with which it is over ends it.</summary>
    private static async Task MoveOnAsync(WriteSession session, CommissionRow row, Bedding bedding, string on)
    {
        var stage = IsSettled(bedding) ? CommissionStage.Settled : CommissionStage.BeddingIn;
        if (Words.Write(stage) != row.Stage)
            await CommissionLife.MoveAsync(session, row, new CommissionStepRow { Stage = Words.Write(stage), OnDay = on });
        else if (!await CommissionStore.ChangeAsync(session, row))
            throw ProblemException.Overtaken();
    }

    /// <summary>How it beds in, as known on a day.</summary>
    public static async Task<BeddingInAnswer> AnswerAsync(ReadSession session, CommissionRow row, string today)
    {
        var bedding = await LoadAsync(session, row, await CommissionStore.StepsAsync(session, [row.Id]));
        var settlement = BeddingIn.Settlement(bedding.Dated);
        return new BeddingInAnswer(
            row.Id, row.Version, Words.Read<CommissionStage>(row.Stage), bedding.DeliveredOn, bedding.Dated.Select(seen => seen.RiddenHours).Append(bedding.HoursOn(Instants.ReadDay(today))).Max(),
            bedding.DeliveredOn is { } delivered
                ? [.. BeddingIn.Plan(delivered, bedding.WeeklyMinutes).Select(look => new BeddingInLookAnswer(look.RiddenHours, look.ExpectedOn, look.LatestOn, bedding.Has(look)))]
                : [],
            [.. bedding.Clearances.Zip(bedding.Dated).Select(pair => new ClearanceAnswer(
                Instants.ReadDay(pair.First.OnDay), pair.Second.RiddenHours, pair.First.ClearanceMm, Words.Read<ItemVerdict>(pair.First.Verdict), pair.First.Note))],
            settlement is { } packed ? new(packed.PackedMm, packed.StillToComeMm, packed.RestMm) : null, IsSettled(bedding), Cautions.ForFit);
    }
}
