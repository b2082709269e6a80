using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Pages;
using BackTracker.Service.Pictures;

namespace BackTracker.Service.Features.Records;

/// <summary>All that is on record of a horse, as it is printed.</summary>
internal sealed record HorseRecord
{
    /// <summary>The yard it stands in, or last stood in.</summary>
    public required Named Yard { get; init; }

    /// <summary>Today in that yard.</summary>
    public required DateOnly Today { get; init; }

    /// <summary>The horse.</summary>
    public required HorseAnswer Horse { get; init; }

    /// <summary>Its line of the board.</summary>
    public required BoardHorseAnswer Line { get; init; }

    /// <summary>How many days ahead the fit is looked at.</summary>
    public required int HorizonDays { get; init; }

    /// <summary>Its saddles, those in use first.</summary>
    public required IReadOnlyList<RecordSaddle> Saddles { get; init; }

    /// <summary>How each measure moves.</summary>
    public required IReadOnlyList<RecordTrend> Trends { get; init; }

    /// <summary>The measure that tells most, drawn; null before the first measurement that counts.</summary>
    public required TrendDrawing? Picture { get; init; }

    /// <summary>Measurements that count, newest first.</summary>
    public required IReadOnlyList<RecordMeasurement> Measurements { get; init; }

    /// <summary>What was seen on it, open ones first.</summary>
    public required IReadOnlyList<ObservationAnswer> Observations { get; init; }

    /// <summary>Everything dated, newest first, by its kind.</summary>
    public required ILookup<string, HistoryLine> History { get; init; }

    /// <summary>What is left out; empty where nothing is.</summary>
    public required string LeftOut { get; init; }

    /// <summary>What to keep in mind.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }
}

/// <summary>A saddle of the horse and how it fits today.</summary>
/// <param name="Saddle">The saddle as the page of the horse shows it.</param>
/// <param name="Findings">What is out or to be watched today, in words; the worst first.</param>
/// <param name="Missing">Which measurements would bring what is not known.</param>
internal sealed record RecordSaddle(HorseSaddle Saddle, IReadOnlyList<string> Findings, IReadOnlyList<string> Missing);

/// <summary>How a measure moves.</summary>
/// <param name="What">The measure.</param>
/// <param name="Today">Expected today, with its 95 % interval.</param>
/// <param name="Text">Which way it goes.</param>
internal sealed record RecordTrend(string What, string Today, string Text);

/// <summary>A measurement.</summary>
/// <param name="On">Its day.</param>
/// <param name="How">Who measured with what.</param>
/// <param name="Widths">Widths by station.</param>
/// <param name="Else">What else was measured.</param>
/// <param name="Note">What was said of it; empty where nothing was.</param>
internal sealed record RecordMeasurement(DateOnly On, string How, string Widths, string Else, string Note);
