namespace BackTracker.Service.Demo;

/// <summary>The clock of a replayed past: it stands where it was put.</summary>
internal sealed class ReplayClock(DateTimeOffset start) : TimeProvider
{
    private DateTimeOffset _now = start;

    public void MoveTo(DateTimeOffset instant) => _now = instant;

    public override DateTimeOffset GetUtcNow() => _now;
}
