namespace BackTracker.Storage.Commissions;

/// <summary>A saddle that is being made for a horse.</summary>
public sealed record CommissionRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The horse.</summary>
    public string HorseId { get; init; } = "";

    /// <summary>The saddle that is being made.</summary>
    public string SaddleId { get; init; } = "";

    /// <summary>Who makes it.</summary>
    public string SaddlerId { get; init; } = "";

    /// <summary>Day of the order.</summary>
    public string OrderedOn { get; init; } = "";

    /// <summary>The day it is to come home.</summary>
    public string DeliveryOn { get; init; } = "";

    /// <summary>The tree that is ordered with its planned panel, as JSON.</summary>
    public string OrderedTree { get; init; } = "{}";

    /// <summary>Front edge of the tree behind T8, mm.</summary>
    public double? TreeFrontFromT8Mm { get; init; }

    /// <summary>Thickness of the pad that is to lie under the saddle, mm.</summary>
    public double? PadMm { get; init; }

    /// <summary>Anything else.</summary>
    public string? Note { get; init; }

    /// <summary>Where it stands, as a word.</summary>
    public string Stage { get; init; } = "";

    /// <summary>Which trial it is at: 0 before the first.</summary>
    public int Round { get; init; }

    /// <summary>1 while it was told that it will hardly fit on the day of delivery.</summary>
    public int ToldAtRisk { get; init; }

    /// <summary>Version for the ETag.</summary>
    public long Version { get; init; }

    /// <summary>When it was registered.</summary>
    public string CreatedAt { get; init; } = "";

    /// <summary>The yard the horse stands in.</summary>
    public string YardId { get; init; } = "";

    /// <summary>What the yard calls the saddle.</summary>
    public string SaddleLabel { get; init; } = "";

    /// <summary>Kind of the saddle's tree, as a word.</summary>
    public string SaddleTree { get; init; } = "";

    /// <summary>Filling of the panel, as a word.</summary>
    public string SaddleFilling { get; init; } = "";
}

/// <summary>A step of a commission from one stage to the next.</summary>
public sealed record CommissionStepRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The commission.</summary>
    public string CommissionId { get; init; } = "";

    /// <summary>The stage it reached, as a word.</summary>
    public string Stage { get; init; } = "";

    /// <summary>Its day.</summary>
    public string OnDay { get; init; } = "";

    /// <summary>What was said of it.</summary>
    public string? Note { get; init; }

    /// <summary>Why a template too old to cut by was used all the same.</summary>
    public string? OverrideReason { get; init; }

    /// <summary>The measurement it rests on.</summary>
    public string? MeasurementId { get; init; }

    /// <summary>Day of that measurement.</summary>
    public string? MeasuredOn { get; init; }

    /// <summary>When it was recorded.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>A template as it was sent.</summary>
public sealed record TemplateRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The commission.</summary>
    public string CommissionId { get; init; } = "";

    /// <summary>The measurement it was drawn from.</summary>
    public string MeasurementId { get; init; } = "";

    /// <summary>Day of that measurement.</summary>
    public string MeasuredOn { get; init; } = "";

    /// <summary>Day it was sent.</summary>
    public string SentOn { get; init; } = "";

    /// <summary>What had been measured, as JSON.</summary>
    public string Body { get; init; } = "{}";

    /// <summary>SHA-256 of the body, hexadecimal.</summary>
    public string Checksum { get; init; } = "";

    /// <summary>When it was recorded.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>What was found in one step of a trial.</summary>
public sealed record TrialRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The commission.</summary>
    public string CommissionId { get; init; } = "";

    /// <summary>Which trial of it, from 1.</summary>
    public int Round { get; init; }

    /// <summary>The step, as a word.</summary>
    public string Step { get; init; } = "";

    /// <summary>Its day.</summary>
    public string OnDay { get; init; } = "";

    /// <summary>Thickness of the pad under the bare tree, pressed together, mm.</summary>
    public double? PadMm { get; init; }

    /// <summary>What was found of each item, as a JSON list.</summary>
    public string Items { get; init; } = "[]";

    /// <summary>Who said in writing that straps and bars bear load.</summary>
    public string? BearsLoadBy { get; init; }

    /// <summary>On which day.</summary>
    public string? BearsLoadOn { get; init; }

    /// <summary>In which words.</summary>
    public string? BearsLoadText { get; init; }

    /// <summary>When it was recorded.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Room over the spine of a delivered saddle, as it was found.</summary>
public sealed record ClearanceRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The commission.</summary>
    public string CommissionId { get; init; } = "";

    /// <summary>The day.</summary>
    public string OnDay { get; init; } = "";

    /// <summary>Hours ridden by then, where somebody said so.</summary>
    public double? RiddenHours { get; init; }

    /// <summary>Room, mm.</summary>
    public double ClearanceMm { get; init; }

    /// <summary>What was made of it, as a word.</summary>
    public string Verdict { get; init; } = "";

    /// <summary>Anything else.</summary>
    public string? Note { get; init; }

    /// <summary>When it was recorded.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Which commissions to list.</summary>
/// <param name="YardId">For horses of one yard; null for all.</param>
/// <param name="HorseId">For one horse; null for all.</param>
/// <param name="Stage">In one stage; null for all.</param>
public sealed record CommissionFilter(string? YardId, string? HorseId, string? Stage);
