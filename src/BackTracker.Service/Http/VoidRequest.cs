using System.ComponentModel.DataAnnotations;

namespace BackTracker.Service.Http;

/// <summary>Why a record is voided.</summary>
public sealed record VoidRequest
{
    /// <summary>The reason, which stays with the record.</summary>
    [Required, StringLength(500, MinimumLength = 1)]
    public string? Reason { get; init; }
}
