using System.Text;
using Ical.Net;
using Ical.Net.CalendarComponents;
using Ical.Net.DataTypes;
using Ical.Net.Serialization;

namespace BackTracker.Service.Delivery.Calendar;

/// <summary>What a calendar that is fetched again and again says of itself (RFC 7986).</summary>
/// <param name="Name">Whose it is.</param>
/// <param name="Source">The address it is fetched at.</param>
public sealed record CalendarSource(string Name, Uri Source);

/// <summary>
/// Entries as an iCalendar file (RFC 5545). Every time in it is a stored one, so that the same facts give the same bytes. A calendar to
/// subscribe to carries no METHOD: it invites nobody and is answered by nobody, and without one DTSTAMP is the time of the last change
/// (RFC 5545 3.8.7.2).
/// </summary>
internal static class CalendarFile
{
    public const string MediaType = "text/calendar; charset=utf-8";
    private const string Product = "-//BackTracker//BackTracker//EN";
    private const string FetchEvery = "PT1H";

    /// <summary>Some entries, to attach to a message: its reader takes them over by hand (RFC 5546 3.2.1).</summary>
    /// <param name="entries">The entries.</param>
    /// <param name="service">Address of the service, for the links to the pages; null where the pages have no public one.</param>
    public static byte[] Published(IEnumerable<CalendarEntry> entries, Uri? service)
    {
        var calendar = With(entries, service);
        calendar.Method = CalendarMethods.Publish;
        return Write(calendar);
    }

    /// <summary>A calendar to subscribe to.</summary>
    /// <param name="source">What it says of itself.</param>
    /// <param name="entries">Its entries.</param>
    /// <param name="service">Address of the service, for the links to the pages.</param>
    public static byte[] Of(CalendarSource source, IEnumerable<CalendarEntry> entries, Uri service)
    {
        var calendar = With(entries, service);
        calendar.Properties.Add(new CalendarProperty("NAME", source.Name));
        calendar.Properties.Add(new CalendarProperty("X-WR-CALNAME", source.Name));
        calendar.Properties.Add(Typed("REFRESH-INTERVAL", "DURATION", FetchEvery));
        calendar.Properties.Add(new CalendarProperty("X-PUBLISHED-TTL", FetchEvery));
        calendar.Properties.Add(Typed("SOURCE", "URI", source.Source.AbsoluteUri));
        return Write(calendar);
    }

    private static Ical.Net.Calendar With(IEnumerable<CalendarEntry> entries, Uri? service)
    {
        var calendar = new Ical.Net.Calendar { ProductId = Product };
        foreach (var entry in entries.OrderBy(entry => entry.On).ThenBy(entry => entry.Uid, StringComparer.Ordinal))
            calendar.Events.Add(Event(entry, service));
        return calendar;
    }

    private static CalendarEvent Event(CalendarEntry entry, Uri? service)
    {
        var changed = new CalDateTime(entry.ChangedAt.UtcDateTime);
        var made = new CalendarEvent
        {
            Uid = entry.Uid,
            Sequence = (int)entry.Sequence,
            DtStamp = changed,
            LastModified = changed,
            // The end of a whole day is the day after (RFC 5545 3.6.1).
            Start = new CalDateTime(entry.On),
            End = new CalDateTime(entry.On.AddDays(1)),
            Status = entry.Status.ToString().ToUpperInvariant(),
            // Nobody's day is taken up by it: fitters see several yards a day.
            Transparency = TransparencyType.Transparent,
            Summary = entry.Summary,
            Description = string.Join('\n', entry.Description),
            Url = service is null ? null : new Uri(service, entry.Page),
        };
        foreach (var hours in entry.RemindAtHours)
            made.Alarms.Add(new Alarm { Action = AlarmAction.Display, Description = entry.Summary, Trigger = new Trigger(Duration.FromHours(hours)) });
        return made;
    }

    private static CalendarProperty Typed(string name, string type, string value)
    {
        var property = new CalendarProperty(name, value);
        property.AddParameter("VALUE", type);
        return property;
    }

    private static byte[] Write(Ical.Net.Calendar calendar) => Encoding.UTF8.GetBytes(Folding.Mend(new CalendarSerializer().SerializeToString(calendar)!));
}
