namespace BackTracker.Service.Paper;

/// <summary>Whether a page may end after a block.</summary>
internal enum After
{
    /// <summary>It may.</summary>
    Break,

    /// <summary>The next block stays on the same page.</summary>
    Stay,
}

/// <summary>Something of a known height that is drawn as one.</summary>
/// <param name="Height">Its height, points.</param>
/// <param name="After">Whether a page may end after it.</param>
/// <param name="Subject">What it is about, to be named again where a page breaks within; empty where it is about nothing in particular.</param>
/// <param name="Draw">Draws it on a page, its top at y.</param>
internal sealed record Block(double Height, After After, string Subject, Action<int, double> Draw);

/// <summary>Blocks one under the other over as many pages as it takes.</summary>
/// <param name="document">Where they are drawn.</param>
/// <param name="top">Where the first begins, points from the bottom.</param>
/// <param name="bottom">Where the last ends at the latest.</param>
internal sealed class Flow(PaperDocument document, double top, double bottom)
{
    private readonly List<Block> _blocks = [];

    /// <summary>What the blocks added from now on are about.</summary>
    public string Subject { get; set; } = "";

    /// <summary>Height of the line that <see cref="Continue"/> draws.</summary>
    public double ContinuedHeight { get; init; }

    /// <summary>Names a subject again at the top of a page: page, y of its top, subject.</summary>
    public Action<int, double, string> Continue { get; init; } = (_, _, _) => { };

    public void Add(double height, After after, Action<int, double> draw) => _blocks.Add(new Block(height, after, Subject, draw));

    /// <summary>Leaves room, except at the top of a page.</summary>
    public void Space(double height, After after) => _blocks.Add(new Block(height, after, Subject, Nothing));

    /// <summary>Draws everything.</summary>
    public void Draw()
    {
        var (page, y) = (document.AddPage(), top);
        for (var i = 0; i < _blocks.Count; i++)
        {
            if (y < top && y - HeightFrom(i) < bottom)
            {
                (page, y) = (document.AddPage(), top);
                if (i > 0 && _blocks[i].Subject.Length > 0 && _blocks[i].Subject == _blocks[i - 1].Subject)
                {
                    Continue(page, y, _blocks[i].Subject);
                    y -= ContinuedHeight;
                }
            }
            if (y == top && _blocks[i].Draw == Nothing)
                continue;
            _blocks[i].Draw(page, y);
            y -= _blocks[i].Height;
        }
    }

    private static void Nothing(int page, double y)
    {
    }

    // Height of a block and of all that must stay with it; what fills more than a page is broken after all.
    private double HeightFrom(int index)
    {
        var (height, i) = (_blocks[index].Height, index);
        while (_blocks[i].After == After.Stay && i + 1 < _blocks.Count)
            height += _blocks[++i].Height;
        return height <= top - bottom - ContinuedHeight ? height : _blocks[index].Height;
    }
}
