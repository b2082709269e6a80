using System.Diagnostics.Metrics;
using BackTracker.Service.Http;
using BackTracker.Service.Jobs;

namespace BackTracker.Service.Observability;

/// <summary>What the service counts and times of its own work. A label holds one of a few words, never an id.</summary>
internal static class Measured
{
    public const string MeterName = "BackTracker";

    private static readonly Meter Meter = new(MeterName);

    public static readonly Histogram<double> Assessments = Meter.CreateHistogram<double>(
        "backtracker.assessment.duration", "s", "Assessments of single horses, and how long they took.", advice: new() { HistogramBucketBoundaries = [.001, .003, .01, .03, .1, .3, 1, 3] });

    public static readonly Gauge<double> OutboxAge = Meter.CreateGauge<double>("backtracker.outbox.oldest_age", "s", "How long the oldest event has waited that a webhook is still to be told of.");
    public static readonly Gauge<long> OutboxLength = Meter.CreateGauge<long>("backtracker.outbox.length", null, "Deliveries to webhooks that wait.");
    public static readonly Gauge<double> QueueAge = Meter.CreateGauge<double>("backtracker.work_queue.oldest_age", "s", "How long the horse has waited that has waited longest to be assessed.");
    public static readonly Gauge<long> QueueLength = Meter.CreateGauge<long>("backtracker.work_queue.length", null, "Horses that wait to be assessed.");

    private static readonly Counter<long> Deliveries = Meter.CreateCounter<long>("backtracker.deliveries", null, "Tries to tell a webhook, by what came of them.");
    private static readonly Counter<long> Letters = Meter.CreateCounter<long>("backtracker.letters", null, "Tries to send a letter, by what came of them.");
    private static readonly Counter<long> Backups = Meter.CreateCounter<long>("backtracker.backups", null, "Nights whose backup was looked to, by what came of it.");
    private static readonly Counter<long> ImportRows = Meter.CreateCounter<long>("backtracker.import.rows", null, "Rows of files that were read to be imported.");

    public static void Backup(BackupOutcome outcome) => Backups.Add(1, Outcome(Words.Write(outcome)));

    /// <summary>Shows what never happened as 0: an alert on its growth sees the first time too.</summary>
    public static void BackupsSoFar()
    {
        foreach (var outcome in Enum.GetValues<BackupOutcome>().Where(outcome => outcome != BackupOutcome.NotDue))
            Backups.Add(0, Outcome(Words.Write(outcome)));
    }

    public static void Delivery(string outcome) => Deliveries.Add(1, Outcome(outcome));

    public static void Letter(string outcome) => Letters.Add(1, Outcome(outcome));

    public static void Assessment(TimeSpan took, string outcome) => Assessments.Record(took.TotalSeconds, Outcome(outcome));

    public static void Import(long rows) => ImportRows.Add(rows);

    private static KeyValuePair<string, object?> Outcome(string outcome) => new("outcome", outcome);
}
