using System.Text.Json.Nodes;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Jobs;

namespace BackTracker.Service.Demo;

/// <summary>Lives through the demo's past day by day.</summary>
internal sealed class DemoReplay(DemoApi api, ReplayClock clock, Assessor assessor, NightlyRound nightly, DateOnly today)
{
    private const int VisitEvery = 35;
    private const int BadTraceSlipMm = 37;
    private readonly DemoSettling _yards = new(api, today);
    private readonly DemoFitter _fitter = new(api);
    private readonly DemoCommission _commission = new(api, today);
    private IReadOnlyList<DemoKept> _herd = [];

    public async Task RunAsync(CancellationToken cancel)
    {
        clock.MoveTo(Morning(DemoHerd.FirstDay));
        _herd = await _yards.SettleAsync();
        for (var day = DemoHerd.FirstDay; day <= 0; day++)
        {
            clock.MoveTo(Morning(day));
            if (day % 7 == 0)
                await nightly.RunAsync(cancel);
            foreach (var kept in _herd)
                await LiveAsync(kept, day);
            await _commission.LiveAsync(_yards, _herd, day);
            await assessor.DrainAsync(cancel);
            if (await VisitAsync(day))
                await assessor.DrainAsync(cancel);
            if ((day - DemoHerd.FirstDay) % 7 == 1 || day == 0)
                await BookAsync(day);
            await assessor.DrainAsync(cancel);
        }
    }

    private DateOnly Date(int day) => today.AddDays(day);

    private string On(int day) => DemoApi.Day(Date(day));

    private DateTimeOffset Morning(int day) => new(Date(day), new TimeOnly(7, 0), TimeSpan.Zero);

    private async Task LiveAsync(DemoKept kept, int day)
    {
        var horse = kept.Horse;
        if (horse.RetiredOn == day)
            await api.PostAsync($"/v1/horses/{kept.Id}/moves", new { on = On(day), status = "retired" });
        if (horse.RetiredOn is { } retired && day >= retired)
            return;
        foreach (var phase in horse.Phases.Where(phase => phase.From == day && day != DemoHerd.FirstDay))
            await api.PostAsync($"/v1/horses/{kept.Id}/phases", new { phase = phase.Phase, from = On(day) });
        foreach (var happened in horse.Events.Where(happened => happened.On == day))
            await api.PostAsync($"/v1/horses/{kept.Id}/events", new { on = On(day), kind = happened.Kind, note = happened.Note });
        foreach (var tack in kept.Tack.Where(tack => tack.Saddle.From == day))
            await _yards.SaddleAsync(kept, tack);
        await SignsAsync(kept, day);
        if (horse.IsMeasuredOn(day, kept.Seed * 5))
            await MeasureAsync(kept, day);
    }

    private async Task SignsAsync(DemoKept kept, int day)
    {
        foreach (var sign in kept.Horse.Signs)
        {
            if (sign.On == day)
                kept.SignId = await api.MakeAsync($"/v1/horses/{kept.Id}/observations", new { observedOn = On(day), kind = sign.Kind, note = sign.Note });
            if (sign.VetOn == day)
                await api.PostAsync($"/v1/observations/{kept.SignId}/outcome", new { on = On(day), by = _yards.People.Vet, role = "vet", outcome = "cleared", note = "Bruise from a stone under the pad; gone." });
        }
    }

    /// <summary>A trace that the service calls bad is drawn again half an hour later.</summary>
    private async Task MeasureAsync(DemoKept kept, int day)
    {
        var slip = kept.Horse.BadTraceOn == day ? BadTraceSlipMm : 0;
        kept.LastMeasurementId = await RecordAsync(kept, new DemoSession(kept.Horse, day, kept.Seed) { SlipMm = slip }, 60, null);
        if (slip > 0)
            kept.LastMeasurementId = await RecordAsync(kept, new DemoSession(kept.Horse, day, kept.Seed + 100), 30, kept.LastMeasurementId);
        kept.Sessions++;
    }

    private Task<string> RecordAsync(DemoKept kept, DemoSession session, int minutesAgo, string? corrects) => api.MakeAsync(
        $"/v1/horses/{kept.Id}/measurements",
        session.Body(
            new()
            {
                ["measuredAt"] = clock.GetUtcNow().AddMinutes(-minutesAgo),
                ["measuredBy"] = _yards.People.Manager,
                ["method"] = kept.Horse.Measured == DemoMethod.Traces ? "flexible-curve" : "calliper",
                ["corrects"] = corrects,
            },
            kept.Horse.ToplineEvery > 0 && kept.Sessions % kept.Horse.ToplineEvery == 0));

    /// <summary>Once a week the yard books whose last day to book is near; what came up in the last days is still to be booked.</summary>
    private async Task BookAsync(int day)
    {
        foreach (var check in await ChecksAsync("open"))
        {
            var horse = _herd.First(kept => kept.Id == check["horseId"]!.GetValue<string>()).Horse;
            var urgent = check["urgency"]!.GetValue<string>() == "now";
            if (check["kind"]!.GetValue<string>() is not ("fit" or "refit" or "flocking") || !horse.IsBookedOn(day) || horse.WaitsForVet(day))
                continue;
            if (urgent ? day < -3 : string.CompareOrdinal(check["bookBy"]!.GetValue<string>(), On(day + 7)) <= 0)
                await api.ActAsync($"/v1/checks/{check["id"]}", "book", new { on = DemoApi.Day(NextRound(day, urgent)), fitterId = _yards.People.Fitter });
        }
    }

    /// <summary>The fitter's rounds are every five weeks on a weekday; what is urgent is fitted in two days later, or on the Monday after.</summary>
    private DateOnly NextRound(int day, bool urgent)
    {
        var round = urgent ? day + 2 : day + VisitEvery - ((day - DemoHerd.FirstDay) % VisitEvery);
        var date = Date(round);
        return date.DayOfWeek switch
        {
            DayOfWeek.Saturday => date.AddDays(2),
            DayOfWeek.Sunday => date.AddDays(1),
            _ => date,
        };
    }

    private async Task<bool> VisitAsync(int day)
    {
        var today = (await ChecksAsync("booked")).Where(check => check["bookedOn"]!.GetValue<string>() == On(day)).ToList();
        foreach (var check in today)
        {
            var (found, adjustments) = await _fitter.AlterAsync(check["pairingId"]!.GetValue<string>());
            await api.ActAsync($"/v1/checks/{check["id"]}", "complete", new { on = On(day), by = _yards.People.Fitter, findings = new[] { found }, adjustments });
        }
        return today.Count > 0;
    }

    private async Task<IReadOnlyList<JsonNode>> ChecksAsync(string state) =>
        [.. (await api.GetAsync($"/v1/checks?state={state}&limit=500"))["items"]!.AsArray().OfType<JsonNode>()];
}
