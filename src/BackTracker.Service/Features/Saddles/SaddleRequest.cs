using System.ComponentModel.DataAnnotations;
using BackTracker.Engine.Assessments;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Saddles;

namespace BackTracker.Service.Features.Saddles;

/// <summary>A saddle to register or change.</summary>
public sealed record SaddleRequest
{
    /// <summary>The yard it is kept in. Set once.</summary>
    [Required]
    public string? YardId { get; init; }

    /// <summary>What the yard calls it.</summary>
    [Required, StringLength(200, MinimumLength = 1)]
    public string? Label { get; init; }

    /// <summary>Who made it.</summary>
    [StringLength(200)]
    public string? Maker { get; init; }

    /// <summary>The maker's number.</summary>
    [StringLength(200)]
    public string? Serial { get; init; }

    /// <summary>Kind of tree.</summary>
    [Required]
    public TreeKind? Tree { get; init; }

    /// <summary>Filling of the panel.</summary>
    [Required]
    public Filling? Filling { get; init; }

    /// <summary>Day it was made.</summary>
    public DateOnly? MadeOn { get; init; }

    public SaddleRow ToRow(string id, long version, string createdAt) => new()
    {
        Id = id,
        YardId = YardId!,
        Label = Label!,
        Maker = Maker,
        Serial = Serial,
        Tree = Words.Write(Tree!.Value),
        Filling = Words.Write(Filling!.Value),
        MadeOn = MadeOn is { } day ? Instants.WriteDay(day) : null,
        Version = version,
        CreatedAt = createdAt,
    };
}

/// <summary>A saddle.</summary>
/// <param name="Id">Id.</param>
/// <param name="YardId">The yard it is kept in.</param>
/// <param name="Label">What the yard calls it.</param>
/// <param name="Maker">Who made it.</param>
/// <param name="Serial">The maker's number.</param>
/// <param name="Tree">Kind of tree.</param>
/// <param name="Filling">Filling of the panel.</param>
/// <param name="MadeOn">Day it was made.</param>
/// <param name="CreatedAt">When it was registered.</param>
public sealed record SaddleAnswer(
    string Id, string YardId, string Label, string? Maker, string? Serial, TreeKind Tree, Filling Filling, DateOnly? MadeOn, string CreatedAt)
{
    public static SaddleAnswer Of(SaddleRow row) => new(
        row.Id, row.YardId, row.Label, row.Maker, row.Serial, Words.Read<TreeKind>(row.Tree), Words.Read<Filling>(row.Filling),
        Instants.ReadDayIfAny(row.MadeOn), row.CreatedAt);
}
