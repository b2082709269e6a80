using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.Fit;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Features.Trends;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.Pairings;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Records;

/// <summary>Puts the record of a horse together.</summary>
/// <param name="session">Session to read with.</param>
/// <param name="caller">Who asks.</param>
/// <param name="horse">The horse.</param>
/// <param name="policy">Settings of the service.</param>
internal sealed class HorseRecordBuilder(ReadSession session, Caller caller, HorseRow horse, CheckPolicy policy)
{
    /// <summary>Most dated records on paper, and most measurements: decades of a horse that is looked after every day.</summary>
    public const int MostLines = 5000;

    public async Task<HorseRecord> BuildAsync(DateTimeOffset now)
    {
        var today = HorseDays.Today(horse, now);
        var loaded = await HorseFactsLoader.LoadAsync(session, horse.Id, policy);
        var trends = new HorseTrends(loaded.Facts.AsOf(today), loaded.Model);
        var line = BoardBuilder.LineOf(loaded, today);
        var history = await HistoryStore.OfHorseAsync(session, caller.Sight, horse.Id, new("", ""), MostLines + 1);
        var (saddles, cautions) = await SaddlesAsync(loaded, trends, HorseView.SaddlesOf(loaded.Facts, line, today), today);
        return new HorseRecord
        {
            Yard = await Named.YardAsync(session, caller, horse.YardId),
            Today = today,
            Horse = HorseAnswer.Of(horse, await HorsePhases.OfAsync(session, horse, now)),
            Line = line,
            HorizonDays = loaded.Policy.HorizonDays,
            Saddles = saddles,
            Trends = [.. Trended(trends).Select(metric => RecordWords.Trend(trends, metric, today)).OfType<RecordTrend>()],
            Picture = Metric.TryParse(line.Trend?.Metric, out var telling) && trends.TryGet(telling, out var trend) ? TrendPictures.Drawing(trends, trend, today) : null,
            Measurements = await MeasurementsAsync(),
            Observations = [.. loaded.Observations.Select(row => ObservationAnswer.Of(row, loaded.Policy)).OrderByDescending(seen => seen.Open).ThenByDescending(seen => seen.ObservedOn)],
            History = history.Take(MostLines).ToLookup(row => row.Kind, row => HistoryWords.Line(row, horse.TimeZone)),
            LeftOut = history.Count > MostLines ? $"Only the newest {MostLines} records are printed; all of them are in the export of the yard." : "",
            Cautions = cautions,
        };
    }

    // Widths at the two usual depths and what compares left and right there; what follows from them by reckoning is left out.
    private static IEnumerable<Metric> Trended(HorseTrends trends) => trends.Facts.Sessions.SelectMany(known => known.Readings).Select(reading => reading.Metric).Distinct()
        .Where(metric => metric switch
        {
            { Quantity: Quantity.Width } => metric.DepthMm is RecordWords.UpperMm or RecordWords.LowerMm,
            { Quantity: Quantity.Asymmetry } => metric.DepthMm == RecordWords.LowerMm,
            _ => metric.Quantity is Quantity.Dip or Quantity.Weight or Quantity.Girth or Quantity.ConditionScore1to9,
        })
        .OrderBy(metric => metric.Station is null).ThenBy(metric => metric.Station).ThenBy(metric => metric.Quantity).ThenBy(metric => metric.DepthMm);

    private async Task<(IReadOnlyList<RecordSaddle> Saddles, IReadOnlyList<string> Cautions)> SaddlesAsync(
        LoadedHorse loaded, HorseTrends trends, IReadOnlyList<HorseSaddle> saddles, DateOnly today)
    {
        var rows = await PairingStore.OfHorseAsync(session, horse.Id);
        var (fitted, cautions) = (new List<RecordSaddle>(), new List<string>(Signs.OpenVetFirst(trends.Facts, loaded.Policy).Count > 0 ? Cautions.VetFirst : []));
        foreach (var saddle in saddles)
        {
            if (!saddle.IsUsedOn(today))
            {
                fitted.Add(new RecordSaddle(saddle, [], []));
                continue;
            }
            var known = new KnownPairing(rows.First(row => row.Id == saddle.Pairing.Id), today, trends, saddle.Pairing, loaded.Policy.With(saddle.Pairing.OwnPolicy), loaded.Inputs);
            var fit = known.Fit(today, today);
            cautions.AddRange(known.CautionsOf(fit));
            fitted.Add(new RecordSaddle(saddle, [.. fit.On(today).Where(f => f.Severity is Severity.Out or Severity.Watch).OrderByDescending(f => f.Severity).Select(f => f.Text)], fit.Missing));
        }
        return (fitted, [.. cautions.Concat(Cautions.ForFit).Distinct()]);
    }

    private async Task<IReadOnlyList<RecordMeasurement>> MeasurementsAsync()
    {
        var measurements = new List<RecordMeasurement>();
        foreach (var row in (await MeasurementStore.LiveOfHorseAsync(session, horse.Id)).Reverse().Take(MostLines))
            measurements.Add(RecordWords.Measured(row, await Measurements.Circumstances.OfAsync(session, caller, row)));
        return measurements;
    }
}
