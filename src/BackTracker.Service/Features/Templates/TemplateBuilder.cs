using BackTracker.Engine.Checks;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;
using BackTracker.Engine.Sections;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Commissions;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using BackTracker.Storage.Commissions;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Templates;

/// <summary>Puts a full-size sheet together from a measurement, or from the text of a template that was sent.</summary>
/// <param name="session">Session to read with.</param>
/// <param name="caller">Who asks.</param>
/// <param name="horse">The horse.</param>
/// <param name="clock">The clock.</param>
/// <param name="policy">Settings of the service.</param>
internal sealed class TemplateBuilder(ReadSession session, Caller caller, HorseRow horse, TimeProvider clock, CheckPolicy policy)
{
    /// <summary>A measurement of the horse, the latest traced one unless another is named.</summary>
    /// <param name="measurementId">Which one; null for the latest.</param>
    /// <param name="station">The one station asked for; null for all.</param>
    /// <param name="on">Day of which the expected shape is drawn too; null for none.</param>
    public async Task<TemplateSheet> OfMeasurementAsync(string? measurementId, Station? station, DateOnly? on)
    {
        var row = measurementId is null ? await LatestAsync(station) : await NamedAsync(measurementId);
        IReadOnlyList<ExpectedSection> expected = on is { } day ? ExpectedSection.AllOn((await KnownHorse.LoadAsync(session, horse.Id, null, clock, policy)).Trends.Back, day) : [];
        return await BuildAsync(row, Json.Read<MeasuredValues>(row.Body), station, (expected, on), "");
    }

    /// <summary>A template as it was sent.</summary>
    public async Task<TemplateSheet> OfTemplateAsync(TemplateRow template, Station? station)
    {
        if (TemplateChecksum.Of(template.Body) != template.Checksum)
            throw new ProblemException(ProblemKind.Conflict, "The stored text of this template is not the one that was sent: its SHA-256 is another. Measure again and send a new one.");
        var row = (await MeasurementStore.FindAsync(session, Sight.All, template.MeasurementId))!;
        return await BuildAsync(
            row, Json.Read<MeasuredValues>(template.Body), station, ([], null),
            $"As it was sent on {Engine.Words.Day(Instants.ReadDay(template.SentOn))}. SHA-256 of its text: {template.Checksum}");
    }

    private async Task<TemplateSheet> BuildAsync(
        MeasurementRow row, MeasuredValues measured, Station? station, (IReadOnlyList<ExpectedSection> Sections, DateOnly? On) expected, string sent)
    {
        var traced = MeasurementFacts.Sections(measured).ToLookup(trace => trace.Station, trace => trace.Section);
        var on = Instants.ReadDay(row.MeasuredOn);
        if (traced.Count == 0 || (station is { } asked && !traced.Contains(asked)))
            throw new ProblemException(ProblemKind.Conflict, NoTrace(on, station, traced.Select(group => group.Key)));
        var (yard, how) = (await Named.YardAsync(session, caller, horse.YardId), await Circumstances.OfAsync(session, caller, row));
        var stood = Circumstances.Stood(measured) is { Length: > 0 } said ? said : "Nobody wrote down how it stood.";
        string[] facts = [$"{yard.Name}. Measured on {Engine.Words.Day(on)}, {how}. {stood}", TemplateText.Age(on, HorseDays.Today(horse, clock.GetUtcNow())), sent];
        return new TemplateSheet(
            horse.Name, on,
            [.. traced.Where(group => station is null || group.Key == station).OrderBy(group => group.Key).Select(group => StationOf(group.Key, [.. group], measured, expected, facts))]);
    }

    private static TemplateStation StationOf(
        Station station, IReadOnlyList<Section> traces, MeasuredValues measured, (IReadOnlyList<ExpectedSection> Sections, DateOnly? On) expected, IEnumerable<string> facts)
    {
        var (mean, section) = (PolarMean.Of(traces), expected.Sections.FirstOrDefault(section => section.Station == station));
        var asked = expected.On is not { } on ? "" : section is null ? TemplateText.NotExpected(on) : TemplateText.Expected(section, on);
        IEnumerable<string> own =
        [
            TemplateText.Place(station, PositionOf(station, measured) ?? section?.PositionMm, traces.All(trace => trace.IsMarked)),
            $"{TemplateText.Spread(mean, traces.Count)} {TemplateText.Widths(mean)}",
            asked,
        ];
        return new TemplateStation(station, mean, section, [.. facts.Concat(own).Where(fact => fact.Length > 0)]);
    }

    private static double? PositionOf(Station station, MeasuredValues measured) =>
        measured.StationPositionsMm is { } places && places.TryGetValue(station.ToString(), out var position) ? position : null;

    private async Task<MeasurementRow> LatestAsync(Station? station) =>
        (await MeasurementStore.LiveOfHorseAsync(session, horse.Id)).Reverse().FirstOrDefault(row => MeasurementFacts.Sections(Json.Read<MeasuredValues>(row.Body)).Any(trace => station is null || trace.Station == station))
        ?? throw new ProblemException(ProblemKind.Conflict, $"The back of {horse.Name} was never traced{(station is null ? "" : $" at {station}")}: there is nothing to draw. Record a measurement with traces first.");

    private async Task<MeasurementRow> NamedAsync(string id)
    {
        var row = await MeasurementStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "");
        if (row is null || row.HorseId != horse.Id)
            throw ProblemException.NotFound("measurement", id);
        return row is { VoidedAt: null, ReplacedBy: null }
            ? row
            : throw new ProblemException(ProblemKind.Conflict, "That measurement was voided or corrected since: nothing is to be cut by it. Name the one that counts.");
    }

    private static string NoTrace(DateOnly on, Station? station, IEnumerable<Station> traced)
    {
        string[] others = [.. traced.Order().Select(other => other.ToString())];
        return others.Length == 0
            ? $"No trace was drawn on {Engine.Words.Day(on)}: widths alone tell no shape. Name a measurement with traces."
            : $"{station} was not traced on {Engine.Words.Day(on)}. What was: {string.Join(", ", others)}.";
    }
}
