namespace BackTracker.Storage.Saddles;

/// <summary>A saddle.</summary>
public sealed record SaddleRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The yard it is kept in.</summary>
    public string YardId { get; init; } = "";

    /// <summary>What the yard calls it.</summary>
    public string Label { get; init; } = "";

    /// <summary>Who made it.</summary>
    public string? Maker { get; init; }

    /// <summary>The maker's number.</summary>
    public string? Serial { get; init; }

    /// <summary>Kind of tree, as a word.</summary>
    public string Tree { get; init; } = "";

    /// <summary>Filling of the panel, as a word.</summary>
    public string Filling { get; init; } = "";

    /// <summary>Day it was made.</summary>
    public string? MadeOn { get; init; }

    /// <summary>Version for the ETag.</summary>
    public long Version { get; init; }

    /// <summary>When it was registered.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>The shape of a tree from a day on.</summary>
public sealed record TreeShapeRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The saddle.</summary>
    public string SaddleId { get; init; } = "";

    /// <summary>First day of this shape.</summary>
    public string FromDay { get; init; } = "";

    /// <summary>The shape, as JSON.</summary>
    public string Body { get; init; } = "{}";

    /// <summary>When it was voided.</summary>
    public string? VoidedAt { get; init; }

    /// <summary>Why it was voided.</summary>
    public string? VoidReason { get; init; }

    /// <summary>Version for the ETag.</summary>
    public long Version { get; init; }

    /// <summary>When it was recorded.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>A dated change to a saddle.</summary>
public sealed record AdjustmentRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The saddle.</summary>
    public string SaddleId { get; init; } = "";

    /// <summary>The check it was made during.</summary>
    public string? CheckId { get; init; }

    /// <summary>Day it was done.</summary>
    public string DoneOn { get; init; } = "";

    /// <summary>Who did it.</summary>
    public string? DoneBy { get; init; }

    /// <summary>What was changed, as a word.</summary>
    public string Kind { get; init; } = "";

    /// <summary>Where and by how much, as a JSON list.</summary>
    public string Zones { get; init; } = "[]";

    /// <summary>Anything else.</summary>
    public string? Note { get; init; }

    /// <summary>When it was voided.</summary>
    public string? VoidedAt { get; init; }

    /// <summary>Why it was voided.</summary>
    public string? VoidReason { get; init; }

    /// <summary>Version for the ETag.</summary>
    public long Version { get; init; }

    /// <summary>When it was recorded.</summary>
    public string CreatedAt { get; init; } = "";
}
