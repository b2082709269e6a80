using System.Data.Common;
using BackTracker.Service.Http;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Horses;

/// <summary>Microchip and UELN belong to one horse each, in whatever yard.</summary>
internal static class HorseNumbers
{
    /// <summary>Writes a horse unless one of its numbers is another's. Whose is not told: it may be a yard the caller knows nothing of.</summary>
    public static async Task KeepAsync(WriteSession session, HorseRow horse, Func<Task> write)
    {
        var others = await HorseStore.SameNumbersAsync(session, horse);
        var errors = new Dictionary<string, string[]>();
        if (horse.Microchip is not null && others.Any(o => o.Microchip == horse.Microchip))
            errors["/microchip"] = [$"Another horse carries the microchip {horse.Microchip}. Scan it again; if it is right, ask whoever runs this service."];
        if (horse.Ueln is not null && others.Any(o => o.Ueln == horse.Ueln))
            errors["/ueln"] = [$"Another horse carries the UELN {horse.Ueln}. Compare the passport; if it is right, ask whoever runs this service."];
        if (errors.Count > 0)
            throw new ProblemException(ProblemKind.Conflict, string.Join(" ", errors.Values.SelectMany(e => e))) { Errors = errors };
        try
        {
            await write();
        }
        catch (DbException error) when (session.IsUniqueViolation(error))
        {
            throw new ProblemException(ProblemKind.Conflict, "Another horse was given the same microchip or UELN at the same moment. Look whether the horse was entered twice.");
        }
    }
}
