namespace BackTracker.Service.Pages;

/// <summary>How far long work is, as a page shows it beside a bar.</summary>
/// <param name="Done">How much is done.</param>
/// <param name="All">Of how much.</param>
/// <param name="Text">In words.</param>
/// <param name="IsOver">Whether it is over.</param>
public sealed record Progress(long Done, long All, string Text, bool IsOver);
