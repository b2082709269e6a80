namespace BackTracker.Engine.Fit;

/// <summary>State of a finding. Out when P(out) is 50 % or more, watch when it is 10 % or more or the expected value is beyond the watch limit; back to ok only under 5 %.</summary>
public enum Severity
{
    /// <summary>Something needed to judge it is missing.</summary>
    Unknown,

    /// <summary>Within tolerance. It does not mean safe.</summary>
    Ok,

    /// <summary>Keep an eye on it.</summary>
    Watch,

    /// <summary>Out of tolerance.</summary>
    Out,
}
