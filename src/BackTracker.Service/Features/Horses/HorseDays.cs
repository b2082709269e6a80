using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Horses;

namespace BackTracker.Service.Features.Horses;

/// <summary>Which days can be in the life of a horse.</summary>
internal static class HorseDays
{
    /// <summary>No horse of today was born before.</summary>
    public static readonly DateOnly Earliest = new(1960, 1, 1);

    private const int YearsAhead = 2;

    /// <summary>Today where the horse stands.</summary>
    public static DateOnly Today(HorseRow horse, DateTimeOffset now) => YardTime.Day(horse.TimeZone, now);

    /// <summary>Refuses a day before the horse was born.</summary>
    public static void RefuseBeforeBirth(HorseRow horse, DateOnly day, string pointer)
    {
        if (day < (horse.BornOn is null ? Earliest : Instants.ReadDay(horse.BornOn)))
            throw ProblemException.Impossible(pointer, horse.BornOn is null
                ? "The day lies before 1960. Look at the year."
                : $"The horse was born on {horse.BornOn}. Look at the year, or mend the birth date first.");
    }

    /// <summary>Refuses a day that is still to come.</summary>
    public static void RefuseFuture(HorseRow horse, DateOnly day, DateTimeOffset now, string pointer)
    {
        if (day > Today(horse, now))
            throw ProblemException.Impossible(pointer, $"The day is still to come: today is {Instants.WriteDay(Today(horse, now))} in the horse's yard.");
    }

    /// <summary>Refuses a day further ahead than anybody plans.</summary>
    public static void RefuseFarFuture(HorseRow horse, DateOnly day, DateTimeOffset now, string pointer)
    {
        if (day > Today(horse, now).AddYears(YearsAhead))
            throw ProblemException.Impossible(pointer, $"The day lies more than {YearsAhead} years ahead. Look at the year.");
    }
}
