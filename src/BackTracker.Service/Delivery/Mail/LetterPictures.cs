using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Trends;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Fit;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Trends;
using BackTracker.Service.Http;
using BackTracker.Service.Pictures;
using BackTracker.Storage;
using BackTracker.Storage.Sessions;
using SkiaSharp;

namespace BackTracker.Service.Delivery.Mail;

/// <summary>The pictures that go with a letter.</summary>
/// <param name="Pictures">The pictures.</param>
/// <param name="Note">Why there are none though there might be; empty otherwise.</param>
internal sealed record LetterPictureSet(IReadOnlyList<MailPicture> Pictures, string Note)
{
    public static LetterPictureSet None { get; } = new([], "");
}

/// <summary>Draws what the most urgent lines of a letter are about, as it was known on the day of the letter: the tree over the back, or the trend.</summary>
internal sealed partial class LetterPictures(Database database, TimeProvider clock, CheckPolicy policy, PictureFont font, ILogger<LetterPictures> log)
{
    private const int Most = 3;
    private static readonly PictureFrame Frame = new(568, "letter");
    private int _saidFontless;

    /// <summary>Draws them; a picture that fails is left out.</summary>
    public async Task<LetterPictureSet> OfAsync(Letter letter, string yardId, CancellationToken cancel)
    {
        // What a vet has to see first is in no picture of a tree or a trend.
        var lines = letter.Lines.Where(line => line.News != AlertNews.Settled && line.Cause != Cause.VetFirst)
            .OrderBy(LetterWords.Rank).DistinctBy(line => line.PairingId ?? line.HorseId).Take(Most).ToList();
        if (lines.Count == 0)
            return LetterPictureSet.None;
        if (!font.TryGet(out var face))
        {
            if (Interlocked.Exchange(ref _saidFontless, 1) == 0)
                LogFontless(string.Join(", ", PictureFont.Files));
            return new([], "Pictures are left out: no font to write in them is installed where BackTracker runs.");
        }
        var caller = new Caller("mail", Sight.Of([yardId]), [Scope.Read], null);
        var pictures = new List<MailPicture>();
        foreach (var line in lines)
            if (await TryDrawAsync(line, letter.On, caller, face, cancel) is { } picture && pictures.Sum(p => p.Png.Length) + picture.Png.Length <= MailMime.MostPictureBytes)
                pictures.Add(picture);
        return new(pictures, "");
    }

    private async Task<MailPicture?> TryDrawAsync(LetterLine line, DateOnly on, Caller caller, SKTypeface face, CancellationToken cancel)
    {
        try
        {
            return line is { PairingId: { } pairing, Cause: not (Cause.Risk or Cause.ForecastWide) }
                ? await SectionAsync(pairing, on, caller, face, cancel) ?? await TrendAsync(line.HorseId, on, caller, face, cancel)
                : await TrendAsync(line.HorseId, on, caller, face, cancel);
        }
        catch (ProblemException)
        {
            return null; // It has left the yard since.
        }
        catch (Exception error) when (!cancel.IsCancellationRequested)
        {
            // The words of the letter hold without it.
            LogUndrawn(error, line.HorseId);
            return null;
        }
    }

    private async Task<MailPicture?> SectionAsync(string pairingId, DateOnly on, Caller caller, SKTypeface face, CancellationToken cancel)
    {
        var known = await KnownPairing.LoadAsync(pairingId, new QueryDay(on), caller, database, clock, policy, cancel);
        if (!known.HasBegun)
            return null;
        var fit = known.Fit(on, on);
        var stations = SectionPictures.Stations(known, fit);
        if (stations.Count == 0)
            return null;
        var worst = fit.On(on).Where(finding => finding.Severity is Severity.Watch or Severity.Out).OrderByDescending(finding => finding.Severity).Select(finding => finding.Near).OfType<Station>();
        var drawing = SectionPictures.Drawing(known, fit, worst.Where(stations.Contains).Append(stations[stations.Count / 2]).First(), on);
        return new MailPicture(SectionWords.Title(drawing), SectionWords.Describe(drawing), Png.Of(SectionPicture.Draw(drawing, Frame), face));
    }

    private async Task<MailPicture?> TrendAsync(string horseId, DateOnly on, Caller caller, SKTypeface face, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var horse = await HorseEndpoints.RequireAsync(session, caller, horseId);
        var (day, _, trends) = await KnownHorse.LoadAsync(session, horse.Id, new QueryDay(on), clock, policy);
        var measured = trends.Facts.Sessions.SelectMany(s => s.Readings).Select(r => r.Metric).Distinct()
            .Select(metric => trends.TryGet(metric, out var trend) ? trend : null).OfType<MetricTrend>().ToList();
        if (measured.Count == 0)
            return null;
        // Of the widths where the panel bears, the one that moves most surely.
        var telling = measured.OrderByDescending(t => t.Series.Metric is { Quantity: Quantity.Width, DepthMm: WidthFit.DepthMm })
            .ThenByDescending(t => Math.Abs(t.Rate.ProbabilityRising - .5)).First();
        var drawing = TrendPictures.Drawing(trends, telling, day);
        return new MailPicture(TrendWords.Title(drawing), TrendWords.Describe(drawing), Png.Of(TrendPicture.Draw(drawing, Frame), face));
    }

    [LoggerMessage(Level = LogLevel.Warning, Message = "Letters go without pictures, because none of these fonts is installed: {Fonts}")]
    private partial void LogFontless(string fonts);

    [LoggerMessage(Level = LogLevel.Warning, Message = "A letter goes without the picture of horse {HorseId}")]
    private partial void LogUndrawn(Exception error, string horseId);
}
