using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;
using BackTracker.Engine.Sections;

namespace BackTracker.Service.Features.Templates;

/// <summary>What is printed of a back at its full size.</summary>
/// <param name="Horse">The horse.</param>
/// <param name="MeasuredOn">Day of the measurement.</param>
/// <param name="Stations">One or more, front to rear.</param>
internal sealed record TemplateSheet(string Horse, DateOnly MeasuredOn, IReadOnlyList<TemplateStation> Stations);

/// <summary>One station of it.</summary>
/// <param name="Station">The station.</param>
/// <param name="Mean">Mean of the traces.</param>
/// <param name="Expected">The section expected on another day; null where none was asked for or none can be told.</param>
/// <param name="Facts">What the sheet says of it, in whole sentences.</param>
internal sealed record TemplateStation(Station Station, PolarMean Mean, ExpectedSection? Expected, IReadOnlyList<string> Facts)
{
    /// <summary>What lies on the paper, mm: the curves with the spread of the repeats.</summary>
    public IEnumerable<PointMm> Drawn => [.. Mean.Edge(1), .. Mean.Edge(-1), .. Expected?.Curve ?? []];
}
