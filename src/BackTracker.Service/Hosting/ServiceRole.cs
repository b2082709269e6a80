namespace BackTracker.Service.Hosting;

/// <summary>What one of several instances on a database is there for.</summary>
internal enum ServiceRole
{
    /// <summary>Everything.</summary>
    All,

    /// <summary>Answers requests. Nothing runs by itself; others do the work, or whoever replays the past calls the handlers.</summary>
    Api,

    /// <summary>Works in the background, and answers of its health and metrics alone.</summary>
    Worker,
}

/// <summary>What roles mean.</summary>
internal static class ServiceRoles
{
    /// <summary>Jobs run and deliveries go.</summary>
    public static bool Works(this ServiceRole role) => role != ServiceRole.Api;

    /// <summary>The interface for programs and the pages are answered.</summary>
    public static bool Serves(this ServiceRole role) => role != ServiceRole.Worker;
}
