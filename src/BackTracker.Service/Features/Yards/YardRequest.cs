using System.ComponentModel.DataAnnotations;
using BackTracker.Service.Http;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Yards;

/// <summary>A yard to register or change.</summary>
public sealed record YardRequest : ICheckedRequest
{
    /// <summary>What people call it.</summary>
    [Required, StringLength(200, MinimumLength = 1)]
    public string? Name { get; init; }

    /// <summary>IANA time zone, for example Europe/London; due days are days in it.</summary>
    [Required, StringLength(64)]
    public string? TimeZone { get; init; }

    /// <summary>When nobody comes: weekdays ("sunday") and days ("2026-12-25").</summary>
    [MaxLength(400)]
    public IReadOnlyList<string>? ClosedDays { get; init; }

    /// <summary>Degrees north.</summary>
    [Range(-90.0, 90.0)]
    public double? Latitude { get; init; }

    /// <summary>Degrees east.</summary>
    [Range(-180.0, 180.0)]
    public double? Longitude { get; init; }

    public void Check(Faults faults)
    {
        if (!YardTime.IsZone(TimeZone!))
            faults.Add("/timeZone", $"'{TimeZone}' is not an IANA time zone. Write it as Europe/London or America/Denver.");
        for (var i = 0; i < ClosedDays?.Count; i++)
            if (!Words.TryParse<DayOfWeek>(ClosedDays[i], out _) && !QueryDay.TryParse(ClosedDays[i], null, out _))
                faults.Add($"/closedDays/{i}", "Write a closed day as a weekday (sunday) or a day (2026-12-25).");
    }

    public YardRow ToRow(string id, long version, string createdAt) => new()
    {
        Id = id,
        Name = Name!,
        TimeZone = TimeZone!,
        ClosedDays = Json.Write(ClosedDays ?? []),
        Latitude = Latitude,
        Longitude = Longitude,
        Version = version,
        CreatedAt = createdAt,
    };
}

/// <summary>A yard.</summary>
/// <param name="Id">Id.</param>
/// <param name="Name">What people call it.</param>
/// <param name="TimeZone">IANA time zone.</param>
/// <param name="ClosedDays">When nobody comes.</param>
/// <param name="Latitude">Degrees north.</param>
/// <param name="Longitude">Degrees east.</param>
/// <param name="CreatedAt">When it was registered.</param>
public sealed record YardAnswer(
    string Id, string Name, string TimeZone, IReadOnlyList<string> ClosedDays, double? Latitude, double? Longitude, string CreatedAt)
{
    public static YardAnswer Of(YardRow row) =>
        new(row.Id, row.Name, row.TimeZone, Json.Read<string[]>(row.ClosedDays), row.Latitude, row.Longitude, row.CreatedAt);
}
