using BackTracker.Engine.Checks;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Checks;

/// <summary>What people do to a check.</summary>
public enum CheckMove
{
    Book,
    Unbook,
    Complete,
    Postpone,
    Drop,
}

/// <summary>Which moves a check takes as it stands, and who may make them.</summary>
internal static class CheckMoves
{
    /// <summary>The scopes of which a move needs one.</summary>
    public static Scope[] Needs(CheckMove move) => move switch
    {
        CheckMove.Book or CheckMove.Unbook => [Scope.Manage, Scope.Fit],
        CheckMove.Complete => [Scope.Fit],
        _ => [Scope.Manage],
    };

    /// <summary>The moves worth offering. What is offered and still cannot be is refused by <see cref="CheckLife"/>.</summary>
    public static IReadOnlyList<CheckMove> Offered(CheckKind kind, CheckState state, IReadOnlyList<string> openVetFirstSigns) =>
        [.. Enum.GetValues<CheckMove>().Where(move => IsOfState(move, state) && IsOfKind(move, kind) && (openVetFirstSigns.Count == 0 || WaitsForNoVet(move, kind)))];

    private static bool IsOfState(CheckMove move, CheckState state) => state switch
    {
        CheckState.Open => move != CheckMove.Unbook,
        CheckState.Booked => move is CheckMove.Unbook or CheckMove.Complete or CheckMove.Drop,
        _ => false,
    };

    // A vet check ends with the vet's outcome, and is not put off; a re-measure ends with the measurement.
    private static bool IsOfKind(CheckMove move, CheckKind kind) => kind switch
    {
        CheckKind.Vet => move is CheckMove.Book or CheckMove.Unbook,
        CheckKind.Remeasure => move != CheckMove.Complete,
        _ => true,
    };

    // A visit that was booked before the sign was seen can still be taken back.
    private static bool WaitsForNoVet(CheckMove move, CheckKind kind) => move == CheckMove.Unbook || kind is CheckKind.Vet or CheckKind.Remeasure;
}
