using BackTracker.Service.Features.Checks;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Checks;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Visits;

namespace BackTracker.Service.Features.Visits;

/// <summary>A visit to a yard.</summary>
/// <param name="Id">Id.</param>
/// <param name="YardId">The yard.</param>
/// <param name="FitterId">Who comes.</param>
/// <param name="On">The day; once it is done, the day it took place.</param>
/// <param name="State">Where it stands.</param>
/// <param name="Note">What was said when it was planned.</param>
/// <param name="ClosingNote">What was said when it was over: why it fell through.</param>
/// <param name="DoneBy">Who did it.</param>
/// <param name="Checks">The checks booked for it and done on it, by horse. Those not done have left it and are open again.</param>
/// <param name="CreatedAt">When it was planned.</param>
public sealed record VisitAnswer(
    string Id, string YardId, string FitterId, DateOnly On, VisitState State, string? Note, string? ClosingNote, string? DoneBy,
    IReadOnlyList<CheckAnswer> Checks, string CreatedAt)
{
    /// <summary>The visit with its checks.</summary>
    public static async Task<VisitAnswer> OfAsync(ReadSession session, VisitRow visit) => Of(visit, await CheckStore.OfVisitsAsync(session, [visit.Id]));

    /// <summary>The visit with those of the checks that are on it.</summary>
    public static VisitAnswer Of(VisitRow visit, IEnumerable<CheckRow> checks) => new(
        visit.Id, visit.YardId, visit.FitterId, Instants.ReadDay(visit.OnDay), Words.Read<VisitState>(visit.State), visit.Note, visit.ClosingNote,
        visit.DoneBy, [.. checks.Where(check => check.VisitId == visit.Id && check.State is "booked" or "done").Select(CheckAnswer.Of)], visit.CreatedAt);
}

/// <summary>A day on which several checks of a yard can be done in one visit.</summary>
/// <param name="On">The day.</param>
/// <param name="BookBy">Last day to book.</param>
/// <param name="Text">Why this day.</param>
/// <param name="Checks">The checks, the first due first.</param>
public sealed record VisitProposalAnswer(DateOnly On, DateOnly BookBy, string Text, IReadOnlyList<CheckAnswer> Checks);
