using System.ComponentModel.DataAnnotations;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.People;

namespace BackTracker.Service.Features.People;

/// <summary>What a person does.</summary>
public enum PersonRole
{
    YardManager,
    Fitter,
    Saddler,
    Rider,
    Vet,
    Owner,
}

/// <summary>A person to register or change.</summary>
public sealed record PersonRequest : ICheckedRequest
{
    /// <summary>Name.</summary>
    [Required, StringLength(200, MinimumLength = 1)]
    public string? Name { get; init; }

    /// <summary>What they do.</summary>
    [Required]
    public PersonRole? Role { get; init; }

    /// <summary>Mail address.</summary>
    [StringLength(254)]
    public string? Email { get; init; }

    /// <summary>The yards they belong to. A change leaves alone the yards this key does not see.</summary>
    [Required, MinLength(1), MaxLength(1000)]
    public IReadOnlyList<string>? YardIds { get; init; }

    /// <summary>Days ahead they must be booked; left out for the setting bookingLeadDays.</summary>
    [Range(0, 365)]
    public int? BookingLeadDays { get; init; }

    /// <summary>Weekdays on which they work; left out or empty for any day.</summary>
    [MaxLength(7)]
    public IReadOnlyList<DayOfWeek>? WorkingDays { get; init; }

    public void Check(Faults faults)
    {
        if (Email is not null && !MailAddress.IsOne(Email))
            faults.Add("/email", MailAddress.Hint);
    }

    /// <param name="before">The person as they are, or a new row with id, version and date.</param>
    /// <param name="yardIds">All their yards.</param>
    public PersonRow ToRow(PersonRow before, IEnumerable<string> yardIds) => before with
    {
        Name = Name!,
        Role = Words.Write(Role!.Value),
        Email = Email,
        BookingLeadDays = BookingLeadDays,
        WorkingDays = Json.Write((WorkingDays ?? []).Distinct()),
        Yards = string.Join(',', yardIds.Distinct().Order(StringComparer.Ordinal)),
    };
}

/// <summary>A person.</summary>
/// <param name="Id">Id.</param>
/// <param name="Name">Name.</param>
/// <param name="Role">What they do.</param>
/// <param name="Email">Mail address.</param>
/// <param name="YardIds">Those of their yards that this key sees.</param>
/// <param name="BookingLeadDays">Days ahead they must be booked; null for the setting bookingLeadDays.</param>
/// <param name="WorkingDays">Weekdays on which they work; empty for any day.</param>
/// <param name="CreatedAt">When they were registered.</param>
/// <param name="ErasedAt">When what was known of them was taken out; null while they are themselves.</param>
public sealed record PersonAnswer(
    string Id, string Name, PersonRole Role, string? Email, IReadOnlyList<string> YardIds, int? BookingLeadDays,
    IReadOnlyList<DayOfWeek> WorkingDays, string CreatedAt, string? ErasedAt)
{
    public static PersonAnswer Of(PersonRow row, Sight sight) => new(
        row.Id, row.Name, Words.Read<PersonRole>(row.Role), row.Email, [.. row.YardIds.Where(sight.Covers)], row.BookingLeadDays,
        Json.Read<DayOfWeek[]>(row.WorkingDays), row.CreatedAt, row.ErasedAt);
}
