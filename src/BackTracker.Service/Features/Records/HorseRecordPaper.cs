using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Paper;
using BackTracker.Service.Pictures;

namespace BackTracker.Service.Features.Records;

/// <summary>The record of a horse on paper.</summary>
internal sealed class HorseRecordPaper
{
    private const double HeadingSize = 12;
    private const double Text = 9.5;
    private const double Small = 8;
    private const double DayWidth = 62;
    private static readonly PictureFrame Frame = new(704, "record");
    private readonly PaperDocument _document;
    private readonly RecordFlow _flow;
    private readonly HorseRecord _record;

    private HorseRecordPaper(PaperDocument document, HorseRecord record) => (_document, _flow, _record) = (document, new RecordFlow(document), record);

    /// <summary>The record as PDF.</summary>
    public static byte[] Print(HorseRecord record)
    {
        using var document = new PaperDocument($"Record of {record.Horse.Name}, {Engine.Words.Day(record.Today)}");
        new HorseRecordPaper(document, record).Draw();
        return document.Build();
    }

    private void Draw()
    {
        _flow.Warning(_record.Line.OpenObservations.Any(seen => seen.VetFirst) ? ["Stop, vet first."] : []);
        _flow.Section("Horse", Text, [.. RecordWords.Identity(_record.Horse, _record.Today).Select(Entry.Plain)]);
        _flow.Section("Now", Text, [Entry.Plain(_record.Line.Text)]);
        _flow.Section("To do", Text, [.. _record.Line.Checks.Select(check => Entry.Listed($"{BoardWords.What(check, _record.Line, _record.Today)}. {BoardWords.Why(check)}"))]);
        _flow.Section("Keep in mind", Small, [.. _record.Cautions.Select(Entry.Listed)]);
        _flow.Section("", Small, _record.LeftOut.Length > 0 ? [Entry.Plain(_record.LeftOut)] : []);
        Saddles();
        Trends();
        Seen();
        Measured();
        foreach (var (kind, title) in new[] { ("adjustment", "What was altered at its saddles"), ("check", "Checks that were done"), ("event", "Events"), ("phase", "Phases"), ("move", "Where it stood") })
            Dated(title, [.. _record.History[kind]]);
        _flow.Draw();
        new SheetFrame($"Record of {_record.Horse.Name}", Engine.Words.Day(_record.Today), _record.Yard.Name, "").Draw(_document);
    }

    private void Saddles()
    {
        _flow.Heading("Saddles, and how they fit today", HeadingSize);
        if (_record.Saddles.Count == 0)
            _flow.Section("", Text, [Entry.Plain("None is recorded.")]);
        foreach (var (saddle, findings, missing) in _record.Saddles)
        {
            List<Entry> said = [Entry.Plain(HorseWords.Used(saddle, _record.Today))];
            if (saddle.State is { } state && saddle.IsUsedOn(_record.Today))
                said.AddRange([Entry.Plain(state.AdviceText), Entry.Plain(HorseWords.Leaves(state, _record.Today, _record.HorizonDays))]);
            if (saddle.IsUsedOn(_record.Today))
                said.AddRange(findings.Count == 0 ? [Entry.Plain("Nothing out and nothing to be watched; that does not mean safe.")] : findings.Select(Entry.Listed));
            _flow.Paragraph(_document.Bold, Text, saddle.Pairing.SaddleLabel, After.Stay);
            _flow.Section("", Text, said);
            _flow.Section("Not known", Small, [.. missing.Select(Entry.Listed)]);
        }
    }

    private void Trends()
    {
        if (_record.Trends.Count == 0)
            return;
        _flow.Heading("How the back moves", HeadingSize);
        if (_record.Picture is { } drawing)
            _flow.Picture(TrendPicture.Draw(drawing, Frame));
        _flow.Table(SheetFlow.Left, new PaperTable(
            [("Measure", 150), ("Expected today, 95 %", 110), ("Movement", 239)],
            [.. _record.Trends.Select(trend => new PaperRow([trend.What, trend.Today, trend.Text], []))]));
    }

    private void Seen()
    {
        if (_record.Observations.Count == 0)
            return;
        _flow.Heading("What was seen", HeadingSize);
        _flow.Table(SheetFlow.Left, new PaperTable(
            [("Day", DayWidth), ("What", 252), ("Where it stands", 185)],
            [.. _record.Observations.Select(seen => new PaperRow([ShortDay(seen.ObservedOn), HorseWords.Seen(seen), Stands(seen)], Notes(seen.Note, seen.Outcome?.Note)))]));
    }

    private void Measured()
    {
        if (_record.Measurements.Count == 0)
            return;
        _flow.Heading("Measurements that count", HeadingSize);
        _flow.Table(SheetFlow.Left, new PaperTable(
            [("Day", DayWidth), ("By whom, with what", 112), ("Widths 30/150 mm down, mm", 172), ("Else", 153)],
            [.. _record.Measurements.Select(measured => new PaperRow([ShortDay(measured.On), measured.How, measured.Widths, measured.Else], Notes(measured.Note)))]));
    }

    private void Dated(string title, IReadOnlyList<HistoryLine> lines)
    {
        if (lines.Count == 0)
            return;
        _flow.Heading(title, HeadingSize);
        _flow.Table(SheetFlow.Left, new PaperTable(
            [("Day", DayWidth), ("What", SheetFlow.Right - SheetFlow.Left - DayWidth)], [.. lines.Select(line => new PaperRow([ShortDay(line.On), line.Text], line.Notes))]));
    }

    private static string ShortDay(DateOnly day) => day.ToString("d MMM yyyy", System.Globalization.CultureInfo.InvariantCulture);

    private static string Stands(ObservationAnswer seen) => seen.Outcome is { } outcome ? HorseWords.Closed(outcome) : seen is { Open: true, VetFirst: true } ? "Open: stop, vet first." : seen.Open ? "Open." : "";

    private static IReadOnlyList<string> Notes(params string?[] notes) => [.. notes.OfType<string>().Where(note => note.Length > 0)];

    /// <summary>A sheet with pictures.</summary>
    private sealed class RecordFlow(PaperDocument document) : SheetFlow(document)
    {
        private readonly PaperDocument _document = document;

        public void Picture(string svg)
        {
            var picture = new PictureOnPaper(_document, svg, Right - Left);
            Add(picture.HeightPt, After.Stay, (page, y) => picture.Draw(page, Left, y));
            Space(6, After.Break);
        }
    }
}
