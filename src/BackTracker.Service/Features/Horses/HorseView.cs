using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Muscle;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.Fit;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Features.Trends;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Service.Pictures;
using BackTracker.Storage.Commissions;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Pairings;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Horses;

/// <summary>Loads what the page of a horse shows, each thing once, and works out no trend but the one that is shown.</summary>
/// <param name="session">Session to read with.</param>
/// <param name="caller">Who looks.</param>
/// <param name="horse">The horse.</param>
/// <param name="yard">The yard it stands in.</param>
/// <param name="policy">Settings of the service.</param>
internal sealed class HorseView(ReadSession session, Caller caller, HorseRow horse, Named yard, CheckPolicy policy)
{
    private const int HistoryLines = 50;
    private const int PhonePx = 328;
    private const int DeskPx = 704;

    public async Task<HorseModel> LoadAsync(string? metric, DateTimeOffset now)
    {
        var today = HorseDays.Today(horse, now);
        var loaded = await HorseFactsLoader.LoadAsync(session, horse.Id, policy);
        var trends = new HorseTrends(loaded.Facts.AsOf(today), loaded.Model);
        var line = BoardBuilder.LineOf(loaded, today);
        var (saddles, trend) = (SaddlesOf(loaded.Facts, line, today), TrendOf(trends, metric, line, today));
        var section = trend?.Metric.Station is { } station ? await SectionAsync(loaded, trends, saddles, station, today) : null;
        IReadOnlyList<string> cautions = section?.Cautions ?? CautionsOf(line.OpenObservations.Any(o => o.VetFirst) ? Cautions.VetFirst : []);
        return new HorseModel
        {
            Yard = yard,
            Today = today,
            Horse = HorseAnswer.Of(horse, await HorsePhases.OfAsync(session, horse, now)),
            Line = line,
            Saddles = saddles,
            Trend = trend,
            Section = section,
            Observations = [.. loaded.Observations.Select(o => ObservationAnswer.Of(o, loaded.Policy)).OrderByDescending(o => o.Open).ThenByDescending(o => o.ObservedOn)],
            History = await HistoryAsync(default, cautions),
            Commissions = (await CommissionStore.ListAsync(session, caller.Sight, new CommissionFilter(null, horse.Id, null), Paging.First)).Items,
            HorizonDays = loaded.Policy.HorizonDays,
            MayRecord = caller.May(Scope.Record),
            MayManage = caller.May(Scope.Manage),
            Cautions = cautions,
        };
    }

    /// <summary>The history from a place on.</summary>
    public async Task<HistoryModel> HistoryAsync(HistoryPlace after) =>
        await HistoryAsync(after, CautionsOf((await VetFirstSigns.RowsAsync(session, horse.Id, policy)).Count > 0 ? Cautions.VetFirst : []));

    private async Task<HistoryModel> HistoryAsync(HistoryPlace after, IReadOnlyList<string> cautions)
    {
        var rows = await HistoryStore.OfHorseAsync(session, caller.Sight, horse.Id, new(after.Day ?? "", after.Id ?? ""), HistoryLines + 1);
        var older = rows.Count > HistoryLines ? $"/horses/{horse.Id}?before={HistoryWords.Write(rows[HistoryLines - 1])}" : null;
        return new HistoryModel(new(horse.Id, horse.Name), yard, [.. rows.Take(HistoryLines).Select(row => HistoryWords.Line(row, horse.TimeZone))], older, cautions)
        {
            MayManage = caller.May(Scope.Manage),
        };
    }

    /// <summary>The station under the first saddle in use that can be laid there.</summary>
    private async Task<HorseSection?> SectionAsync(LoadedHorse loaded, HorseTrends trends, List<HorseSaddle> saddles, Station station, DateOnly today)
    {
        var rows = await PairingStore.OfHorseAsync(session, horse.Id);
        foreach (var saddle in saddles.Where(saddle => saddle.IsUsedOn(today)))
        {
            var known = new KnownPairing(rows.First(row => row.Id == saddle.Pairing.Id), today, trends, saddle.Pairing, loaded.Policy.With(saddle.Pairing.OwnPolicy), loaded.Inputs);
            var fit = known.Fit(today, today);
            if (!SectionPictures.Stations(known, fit).Contains(station))
                continue;
            var drawing = SectionPictures.Drawing(known, fit, station, today);
            return new HorseSection(
                saddle.Pairing.Id, saddle.Pairing.SaddleLabel, drawing.Station,
                [SectionPicture.Draw(drawing, new(PhonePx, "phone-section")), SectionPicture.Draw(drawing, new(DeskPx, "desk-section"))], known.CautionsOf(fit));
        }
        return null;
    }

    private static IReadOnlyList<string> CautionsOf(IReadOnlyList<string> first) => [.. first, .. Cautions.ForFit];

    /// <summary>Its saddles, those in use first, as they stood when they were last assessed.</summary>
    public static List<HorseSaddle> SaddlesOf(HorseFacts facts, BoardHorseAnswer line, DateOnly today) =>
    [
        .. facts.Pairings
            .Select(pairing => new HorseSaddle(pairing, line.Pairings.FirstOrDefault(p => p.PairingId == pairing.Id)))
            .OrderByDescending(saddle => saddle.IsUsedOn(today))
            .ThenByDescending(saddle => saddle.Pairing.From),
    ];

    private static HorseTrend? TrendOf(HorseTrends trends, string? asked, BoardHorseAnswer line, DateOnly today)
    {
        List<Metric> measured = [.. trends.Facts.Sessions.SelectMany(s => s.Readings).Select(r => r.Metric).Distinct().OrderBy(m => m.Quantity).ThenBy(m => m.Station).ThenBy(m => m.DepthMm)];
        if (measured.Count == 0)
            return null;
        var metric = asked is not null ? TrendEndpoints.Parse(asked)
            : Metric.TryParse(line.Trend?.Metric, out var telling) ? telling
            : measured.OrderByDescending(m => m.DepthMm == WidthFit.DepthMm).First();
        if (!trends.TryGet(metric, out var trend))
            return new HorseTrend(metric, measured, $"Nothing was measured before work of {MetricWords.Name(metric)}: there is no trend to show.", null, [], []);
        var drawing = TrendPictures.Drawing(trends, trend, today);
        return new HorseTrend(
            metric, measured, TrendWords.Describe(drawing), TrendAnswer.Of(trend, trends.Facts, today, 0),
            [TrendPicture.Draw(drawing, new(PhonePx, "phone-trend")), TrendPicture.Draw(drawing, new(DeskPx, "desk-trend"))],
            metric.Station is { } station ? [.. MuscleChanges.Of(trends, other => other.Station == station).Select(MuscleChangeAnswer.Of)] : []);
    }
}
