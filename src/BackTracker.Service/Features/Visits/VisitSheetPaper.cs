using BackTracker.Engine.Fit;
using BackTracker.Service.Paper;

namespace BackTracker.Service.Features.Visits;

/// <summary>A visit sheet on paper.</summary>
internal sealed class VisitSheetPaper
{
    private const double Heading = 14;
    private const double Text = 9.5;
    private const double Small = 8;
    private readonly PaperDocument _document;
    private readonly VisitPaperFlow _flow;

    private VisitSheetPaper(PaperDocument document) => (_document, _flow) = (document, new VisitPaperFlow(document));

    /// <summary>The sheet as PDF.</summary>
    public static byte[] Print(VisitSheet sheet)
    {
        using var document = new PaperDocument($"Visit to {sheet.Yard.Name}, {Engine.Words.Day(sheet.On)}");
        new VisitSheetPaper(document).Draw(sheet);
        return document.Build();
    }

    private void Draw(VisitSheet sheet)
    {
        if (sheet.Horses.Count == 0)
            _flow.Paragraph(_document.Bold, Text, "No check of a saddle is due in this yard for this visit.", After.Break);
        _flow.Section("To bring", Text, [.. sheet.Bring.Select(bring => Entry.Ticked($"{bring.What}: {string.Join(", ", bring.Horses)}"))]);
        _flow.Section("Keep in mind", Small, [.. sheet.Cautions.Select(Entry.Listed)]);
        foreach (var horse in sheet.Horses)
            Horse(horse);
        _flow.Draw();
        FrameOf(sheet).Draw(_document);
    }

    private void Horse(VisitHorse horse)
    {
        _flow.HorseHeading(horse.Horse.Name, Heading);
        var measured = horse.LastMeasuredOn is { } on ? $"Last measured {Engine.Words.Day(on)}." : "Never measured.";
        _flow.Paragraph(_document.Plain, Text, measured, After.Stay);
        _flow.Warning(horse.VetFirst.Count == 0 ? [] : ["Stop, vet first.", .. horse.VetFirst]);
        _flow.Section("Seen, still open", Text, [.. horse.Observations.Select(Entry.Listed)]);
        foreach (var saddle in horse.Saddles)
            Saddle(saddle);
        _flow.Subject = "";
    }

    private void Saddle(VisitSaddle saddle)
    {
        _flow.SaddleHeading(saddle.Saddle.Label, $"{saddle.SaddleText}. {saddle.FrontText}.");
        foreach (var check in saddle.Checks)
            _flow.Section("To do", Text, [Entry.Ticked($"{check.Text}."), .. Why(check, saddle.Findings).Select(Entry.Listed)]);
        Moved(saddle);
        _flow.Section("Findings", Text, saddle.Findings.Count == 0 ? [Entry.Plain("None out and none to be watched; that does not mean safe.")] : [.. saddle.Findings.Select(f => Entry.Listed(f.Text))]);
        _flow.Section("Bring", Text, saddle.Bring.Count == 0 ? [Entry.Plain("Nothing beyond the usual.")] : [.. saddle.Bring.Select(need => Entry.Ticked(Need(need, saddle.Findings)))]);
        _flow.Record();
    }

    /// <summary>What is out stands under the findings: it is not said twice.</summary>
    private static IEnumerable<string> Why(VisitCheck check, IReadOnlyList<VisitFinding> findings)
    {
        var told = check.Why.ToLookup(why => findings.Any(f => f.Severity == Severity.Out && why.StartsWith(f.Statement, StringComparison.Ordinal)));
        return told[true].Any() ? ["Out of tolerance, see the findings. Do not ride in it until it has been looked at.", .. told[false]] : told[false];
    }

    /// <summary>What the findings above have said already is not said again.</summary>
    private static string Need(VisitNeed need, IReadOnlyList<VisitFinding> findings)
    {
        string[] because = [.. need.Because.Where(text => !findings.Any(finding => finding.Text.Contains(text, StringComparison.Ordinal)))];
        return because.Length == 0 ? $"{need.What}." : $"{need.What}: {string.Join(' ', because.Select(text => $"{text.TrimEnd('.')}."))}";
    }

    private void Moved(VisitSaddle saddle)
    {
        if (saddle.Moved.Count == 0)
        {
            _flow.Section("What moved", Text, [Entry.Plain($"{saddle.SinceText}: not measured again.")]);
            return;
        }
        _flow.Section("What moved", Text, [Entry.Plain($"{saddle.SinceText}. Change with its 95 % interval; * is more than noise.")], After.Stay);
        _flow.Table(VisitMoveTable.Of(saddle));
        _flow.Section("", Text, [.. saddle.Moved.Where(move => move.Station is null).Select(move => Entry.Plain($"{move.Text}."))]);
    }

    private static SheetFrame FrameOf(VisitSheet sheet) => new(
        $"Visit to {sheet.Yard.Name}", Engine.Words.Day(sheet.On), sheet.Fitter is { } fitter ? $"Fitter: {fitter.Name}" : "For whichever fitter comes",
        $"{sheet.Horses.Count} {(sheet.Horses.Count == 1 ? "horse" : "horses")}");
}
