namespace BackTracker.Service.Jobs;

/// <summary>Does something for one yard after the other: one that fails does not hold up the others, and is done at the next look.</summary>
internal sealed partial class EachYard(ILogger<EachYard> log)
{
    /// <summary>The sum of what came of each; a yard that fails counts nothing.</summary>
    /// <param name="yards">The yards.</param>
    /// <param name="idOf">The id of one.</param>
    /// <param name="work">What to do for one.</param>
    public async Task<int> DoAsync<T>(IEnumerable<T> yards, Func<T, string> idOf, Func<T, Task<int>> work)
    {
        var done = 0;
        foreach (var yard in yards)
        {
            try
            {
                done += await work(yard);
            }
            catch (Exception error) when (error is not OperationCanceledException)
            {
                LogFailure(error, idOf(yard));
            }
        }
        return done;
    }

    [LoggerMessage(Level = LogLevel.Error, Message = "The round of yard {YardId} failed; the others go on, and it is tried again at the next look")]
    private partial void LogFailure(Exception error, string yardId);
}
