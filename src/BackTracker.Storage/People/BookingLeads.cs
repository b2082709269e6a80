using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.People;

/// <summary>How long ahead fitters have to be booked.</summary>
public static class BookingLeads
{
    /// <summary>The longest lead, in days, that a fitter of a yard asks for; null where none says.</summary>
    public static Task<int?> LongestAsync(ReadSession session, string yardId) => session.FirstAsync<int?>(
        """
        select max(p.booking_lead_days) from people p join person_yards y on y.person_id = p.id
        where y.yard_id = @yardId and p.role = 'fitter'
        """, new { yardId });
}
