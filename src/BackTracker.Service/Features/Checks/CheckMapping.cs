using BackTracker.Engine.Checks;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Checks;

namespace BackTracker.Service.Features.Checks;

/// <summary>Checks between the store, the engine and the API.</summary>
internal static class CheckMapping
{
    public static CheckDays DaysOf(CheckRow row) => new(
        Instants.ReadDay(row.OpensOn), Instants.ReadDay(row.BookBy), Instants.ReadDay(row.DueOn), Instants.ReadDay(row.ClosesOn), Words.Read<Urgency>(row.Urgency));

    public static CheckRow With(this CheckRow row, CheckDays days) => row with
    {
        OpensOn = Instants.WriteDay(days.OpensOn),
        BookBy = Instants.WriteDay(days.BookBy),
        DueOn = Instants.WriteDay(days.DueOn),
        ClosesOn = Instants.WriteDay(days.ClosesOn),
        Urgency = Words.Write(days.Urgency),
    };

    public static CheckFact ToFact(CheckRow row)
    {
        var state = Words.Read<CheckState>(row.State);
        var endedOn = Instants.ReadDayIfAny(row.DoneOn);
        return new CheckFact(
            row.Id, Words.Read<CheckKind>(row.Kind), row.PairingId, state, DaysOf(row), Json.Read<Reason[]>(row.Reasons),
            Instants.ReadDayIfAny(row.BookedOn), state == CheckState.Done ? endedOn : null, Instants.ReadDayIfAny(row.PostponedUntil))
        {
            OpenedOn = Instants.ReadDayIfAny(row.OpenedOn),
            DroppedByPersonOn = row.DroppedByPerson == 1 ? endedOn : null,
        };
    }
}
