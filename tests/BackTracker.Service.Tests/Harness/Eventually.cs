namespace BackTracker.Service.Tests.Harness;

/// <summary>Waits for what other threads or processes bring about.</summary>
internal static class Eventually
{
    private static readonly TimeSpan Look = TimeSpan.FromMilliseconds(20);

    /// <summary>Waits until a condition holds; fails with what holds instead.</summary>
    public static async Task TrueAsync(Func<Task<bool>> holds, Func<string> instead, int withinSeconds = 30)
    {
        var until = Environment.TickCount64 + (withinSeconds * 1000);
        while (!await holds())
        {
            Assert.True(Environment.TickCount64 < until, instead());
            await Task.Delay(Look, TestContext.Current.CancellationToken);
        }
    }
}
