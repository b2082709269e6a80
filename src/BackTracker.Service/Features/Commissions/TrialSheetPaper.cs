using BackTracker.Service.Http;
using BackTracker.Service.Paper;

namespace BackTracker.Service.Features.Commissions;

/// <summary>A trial of the bare tree on paper: what is to be so in each step, boxes to tick, and lines to write on.</summary>
internal sealed class TrialSheetPaper : SheetFlow
{
    private const double Text = 9.5;
    private const double Small = 8;
    private const double WordsWidth = 208;
    private const double ItemRoom = 34;
    private const double FirstBox = Left + WordsWidth + 14;
    private const double MmFrom = Right - 30;

    // What is ticked, its place after the first box, and what it stands under.
    private static readonly (string Word, double At, string Head)[] Ticks =
    [
        ("pass", 0, "Found"), ("alter", 38, ""), ("fail", 74, ""), ("L", 110, "Side"), ("R", 132, ""), ("F", 158, "Third"), ("M", 180, ""), ("R", 204, ""),
    ];

    private readonly PaperDocument _document;

    private TrialSheetPaper(PaperDocument document) : base(document) => _document = document;

    /// <summary>The sheet as PDF.</summary>
    /// <param name="horse">The horse.</param>
    /// <param name="saddle">What the yard calls the saddle.</param>
    /// <param name="trial">The trial as it stands.</param>
    public static byte[] Print(string horse, string saddle, TrialAnswer trial)
    {
        using var document = new PaperDocument($"Trial of the bare tree: {saddle} on {horse}");
        new TrialSheetPaper(document).Draw(trial);
        new SheetFrame($"Trial of the bare tree: {saddle}", "", $"On {horse}", trial.Round > 0 ? FormattableString.Invariant($"Trial {trial.Round}") : "").Draw(document);
        return document.Build();
    }

    private void Draw(TrialAnswer trial)
    {
        Blanks();
        Warning(trial.BearsLoad is null ? ["Nobody mounts yet: the saddler has not said in writing that straps and bars bear load."] : []);
        Section("Load", Text, trial.BearsLoad is { } word ? [Entry.Plain($"The saddler's word of {Engine.Words.Day(word.On)}: {word.Text}")] : []);
        Section("Stop rules", Text, [.. trial.Cautions.Select(Entry.Listed)]);
        Section("Not known", Small, [.. trial.Missing.Select(Entry.Listed)]);
        Section("", Small, [Entry.Plain("L, R: left, right, none for both. F, M, R: front, middle, rear third. mm: + opens or fills, - closes or takes away.")]);
        foreach (var step in trial.Steps)
            Step(step);
        Space(10, After.Stay);
        for (var i = 0; i < 5; i++)
            Line(i == 0 ? "Notes" : "", i < 4 ? After.Stay : After.Break);
        base.Draw();
    }

    private void Step(TrialStepAnswer step)
    {
        Heading(Engine.Words.Sentence(Words.Write(step.Step).Replace('-', ' ')), 12);
        Add(11, After.Stay, (page, y) =>
        {
            foreach (var (_, at, head) in Ticks)
                _document.Write(page, _document.Bold, 7.5, FirstBox + at, y - 8, head);
            _document.Write(page, _document.Bold, 7.5, MmFrom, y - 8, "mm");
        });
        foreach (var item in step.Items)
            Item(item);
    }

    // The words beside the boxes, and a line for what else is to be said.
    private void Item(TrialItemAnswer item)
    {
        var lines = Wrapping.Lines(_document.Plain, Text, WordsWidth, item.Text);
        var height = Math.Max(ItemRoom, (lines.Count * Text * 1.3) + 8);
        Add(height, After.Break, (page, y) =>
        {
            _document.Rule(page, Left, Right, y, .3);
            for (var i = 0; i < lines.Count; i++)
                _document.Write(page, _document.Plain, Text, Left, y - 11 - (i * Text * 1.3), lines[i]);
            foreach (var (word, at, _) in Ticks)
                TickAt(page, FirstBox + at, y - 11, word);
            _document.Rule(page, MmFrom, Right, y - 13, .5);
            _document.Write(page, _document.Plain, 7, FirstBox, y - height + 8, "Note");
            _document.Rule(page, FirstBox + 20, Right, y - height + 7, .3);
        });
    }

    // What is filled in once.
    private void Blanks() => Add(26, After.Stay, (page, y) =>
    {
        foreach (var (label, from, to) in new[] { ("Day", Left, Left + 105), ("Fitter", Left + 115, Left + 300), ("Pad pressed together, mm", Left + 310, Right) })
        {
            _document.Write(page, _document.Bold, LabelSize, from, y - 14, label);
            _document.Rule(page, from + _document.Bold.WidthOf(label, LabelSize) + 4, to, y - 15, .5);
        }
    });

    private void Line(string label, After after) => Add(20, after, (page, y) =>
    {
        Label(page, y - 17, label);
        _document.Rule(page, Body, Right, y - 19, .5);
    });
}
