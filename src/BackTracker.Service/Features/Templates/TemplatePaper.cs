using BackTracker.Service.Paper;

namespace BackTracker.Service.Features.Templates;

/// <summary>A back at its full size on paper: every station on as few pages as hold it.</summary>
internal sealed class TemplatePaper
{
    private readonly PaperDocument _document;
    private readonly TemplateSheet _sheet;
    private readonly PaperKind _paper;

    private TemplatePaper(PaperDocument document, TemplateSheet sheet, PaperKind paper) => (_document, _sheet, _paper) = (document, sheet, paper);

    /// <summary>The sheet as PDF.</summary>
    public static byte[] Print(TemplateSheet sheet, PaperKind paper)
    {
        using var document = new PaperDocument($"Template of {sheet.Horse}, measured on {Engine.Words.Day(sheet.MeasuredOn)}");
        new TemplatePaper(document, sheet, paper).Draw();
        return document.Build();
    }

    private void Draw()
    {
        List<(TemplateStation Station, TemplateFrame Frame, TemplateTiles Tiles)> plans = [.. _sheet.Stations.Select(Plan)];
        var all = plans.Sum(plan => plan.Tiles.Count);
        foreach (var (station, frame, tiles) in plans)
        {
            var drawing = new TemplateDrawing(_document, station, tiles);
            for (var tile = 0; tile < tiles.Count; tile++)
            {
                var page = _document.AddPage(frame.Paper);
                frame.Draw(page, tile, tiles, all);
                drawing.Draw(page, frame.Window, tile);
            }
        }
    }

    /// <summary>Upright or turned, whichever takes fewer pages.</summary>
    private (TemplateStation Station, TemplateFrame Frame, TemplateTiles Tiles) Plan(TemplateStation station)
    {
        var size = PaperSize.Of(_paper);
        return new[] { size, size.Turned }.Select(paper => Plan(station, paper)).MinBy(plan => plan.Tiles.Count);
    }

    private (TemplateStation Station, TemplateFrame Frame, TemplateTiles Tiles) Plan(TemplateStation station, PaperSize paper)
    {
        var title = $"{_sheet.Horse}, {station.Station}";
        var (leftTop, rightBottom) = TemplateDrawing.Reach(station);
        // A sheet among others says how they are joined, which takes room.
        var alone = new TemplateFrame(_document, paper, title, station.Facts, Sheets.One);
        if (TemplateTiles.Of(leftTop, rightBottom, alone.WindowMm) is { Count: 1 } one)
            return (station, alone, one);
        var joined = new TemplateFrame(_document, paper, title, station.Facts, Sheets.Joined);
        return (station, joined, TemplateTiles.Of(leftTop, rightBottom, joined.WindowMm));
    }
}
