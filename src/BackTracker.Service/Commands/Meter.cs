namespace BackTracker.Service.Commands;

/// <summary>A line on a terminal that says how far a command is; nothing where standard error is no terminal.</summary>
internal sealed class Meter : IAsyncDisposable
{
    private const int BarWidth = 20;
    private static readonly TimeSpan ShowEvery = TimeSpan.FromMilliseconds(200);
    private readonly Timer? timer;

    /// <summary>Shows a line until it is disposed of.</summary>
    /// <param name="line">What to show now.</param>
    public Meter(Func<string> line)
    {
        if (!Console.IsErrorRedirected)
            timer = new Timer(_ => Console.Error.Write($"\r\u001b[K{line()}"), null, ShowEvery, ShowEvery);
    }

    /// <summary>"[#####...............] 25 %".</summary>
    public static string Bar(long done, long all)
    {
        var share = all <= 0 ? 0 : Math.Clamp((double)done / all, 0, 1);
        var full = (int)(BarWidth * share);
        return FormattableString.Invariant($"[{new string('#', full)}{new string('.', BarWidth - full)}] {Math.Floor(100 * share):0} %");
    }

    public async ValueTask DisposeAsync()
    {
        if (timer is null)
            return;
        await timer.DisposeAsync();
        await Console.Error.WriteAsync("\r\u001b[K");
    }
}
