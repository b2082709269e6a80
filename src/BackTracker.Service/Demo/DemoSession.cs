namespace BackTracker.Service.Demo;

/// <summary>
/// A back as the yard draws or measures it: every session a little off as a whole, every repeat a little more, and points that waver by
/// less than a millimetre.
/// </summary>
/// <param name="horse">The horse.</param>
/// <param name="day">The day.</param>
/// <param name="seed">So that each run is the same.</param>
internal sealed class DemoSession(DemoHorse horse, int day, int seed)
{
    private const int Repeats = 2;
    private const double SessionSdMm = 1.2;
    private const double RepeatSdMm = 1.2;
    private const double SmoothSdMm = .4;
    private const double PointSdMm = .4;
    private const double StepMm = 5;
    private const double DrawnToMm = 165;
    private static readonly int[] Depths = [30, 150];

    private readonly Gauss _gauss = new((seed * 10_000) + (day * 3));

    /// <summary>How far the last repeat at T13 slipped, mm of width: a bad trace.</summary>
    public double SlipMm { get; init; }

    /// <summary>What is recorded.</summary>
    /// <param name="head">When, by whom and with what.</param>
    /// <param name="withTopline">Whether the spine is traced too.</param>
    public Dictionary<string, object?> Body(Dictionary<string, object?> head, bool withTopline)
    {
        var body = new Dictionary<string, object?>(head)
        {
            ["exercise"] = "before",
            ["stance"] = new { square = true, head = "neutral" },
            ["weightKg"] = Math.Round((horse.Back.Width(DemoBack.Stations[1], 150, day) * 1.5) + _gauss.Next(4)),
            ["supportLengthMm"] = Math.Round(455 + _gauss.Next(4)),
            ["stationPositionsMm"] = DemoBack.Stations.Skip(1).ToDictionary(station => station.Name, station => station.AtMm),
            [horse.Measured == DemoMethod.Traces ? "traces" : "widths"] = horse.Measured == DemoMethod.Traces ? Traces() : Widths(),
        };
        if (withTopline)
            body["topline"] = Enumerable.Range(0, 53).Select(i => -50 + (10 * i)).Select(at => Point(at, horse.Back.ToplineAt(at, day) + _gauss.Next(PointSdMm))).ToList();
        return body;
    }

    private List<object> Traces()
    {
        var traces = new List<object>();
        foreach (var station in DemoBack.Stations)
        {
            var session = _gauss.Next(SessionSdMm);
            for (var repeat = 1; repeat <= Repeats; repeat++)
                traces.Add(Trace(station, repeat, session + _gauss.Next(RepeatSdMm) + (station.Name == "T13" && repeat == Repeats ? SlipMm : 0)));
        }
        return traces;
    }

    private object Trace(DemoStation station, int repeat, double widerMm)
    {
        var (wave, phase) = (_gauss.Next(SmoothSdMm), _gauss.Next(3));
        var points = Half(station, -1).Reverse().Concat(Half(station, 1).Skip(1))
            .Select(at => Point(at.X * (1 + (widerMm / horse.Back.Width(station, 150, day))), at.Y + (wave * (Math.Sin((at.X / 35) + phase) - Math.Sin(phase))) + _gauss.Next(at.X == 0 ? 0 : PointSdMm)))
            .ToList();
        return horse.MarksPaper
            ? new { station = station.Name, repeat, points, midline = Point(0, 0), level = new[] { Point(-110, _gauss.Next(.4)), Point(110, _gauss.Next(.4)) } }
            : new { station = station.Name, repeat, points };
    }

    /// <summary>Points from the midline down one side, 5 mm apart along the skin.</summary>
    private IEnumerable<(double X, double Y)> Half(DemoStation station, int sign)
    {
        var side = horse.Back.Side(station, day, sign);
        for (var x = 0.0; side.DepthAt(x) < DrawnToMm;)
        {
            yield return (sign * x, side.DepthAt(x));
            x += StepMm / Math.Sqrt(1 + Math.Pow(side.DepthAt(x + 1) - side.DepthAt(x), 2));
        }
    }

    private List<object> Widths()
    {
        var widths = new List<object>();
        foreach (var station in DemoBack.Stations)
            foreach (var depthMm in Depths)
            {
                var session = horse.Back.Width(station, depthMm, day) + _gauss.Next(SessionSdMm);
                for (var repeat = 1; repeat <= Repeats; repeat++)
                    widths.Add(new { station = station.Name, depthMm, widthMm = Math.Round(session + _gauss.Next(RepeatSdMm), 1), repeat });
            }
        return widths;
    }

    private static double[] Point(double x, double y) => [Math.Round(x, 2), Math.Round(y, 2)];
}
