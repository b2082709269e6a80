using System.Text.Json;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Exports;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Imports;

/// <summary>Looks through the lines of an export: rules, references, and what is held already.</summary>
/// <param name="session">Reads what is known, as of one moment.</param>
/// <param name="caller">Who imports.</param>
/// <param name="now">The time of the import.</param>
/// <param name="run">Told how far it is; takes the faults.</param>
/// <param name="prepared">Takes what is ready, measurements aside.</param>
/// <param name="measurements">Takes the lines of measurements, which are looked at in order of their instant.</param>
internal sealed class RecordIntake(ReadSession session, Caller caller, DateTimeOffset now, ImportRun run, PreparedRecords prepared, RowSort measurements)
{
    private static readonly JsonDocumentOptions Strict = new() { MaxDepth = 64, AllowDuplicateProperties = false };
    private readonly HashSet<(string Table, string Id)> _known = [];
    private readonly HashSet<string> _numbers = [];
    private readonly Dictionary<string, int> _places = [];
    private readonly Dictionary<string, string> _zones = [];
    private readonly List<HorseRow> _horses = [];

    /// <summary>Horses of the measurements, each by its place.</summary>
    public IReadOnlyList<HorseRow> Horses => _horses;

    /// <summary>Horses that have to be assessed again.</summary>
    public HashSet<string> TouchedHorses { get; } = [];

    /// <summary>Saddles whose horses have to be assessed again.</summary>
    public HashSet<string> TouchedSaddles { get; } = [];

    /// <summary>How many records were there already.</summary>
    public int AlreadyThere { get; private set; }

    /// <summary>Lines of the first hundred of those.</summary>
    public List<long> AlreadyThereLines { get; } = [];

    public async Task ReadAsync(Stream file, CancellationToken cancel)
    {
        var lines = new LineReader(file);
        while (lines.TryRead(out var bytes))
        {
            cancel.ThrowIfCancellationRequested();
            (run.LinesRead, run.BytesRead) = (lines.Number, lines.Passed);
            if (bytes is not { } line)
                run.Faults.Add(lines.Number, "", $"The line is longer than {LineReader.Longest >> 20} MiB, which no record is.");
            else if (!line.Span.Trim(" \t"u8).IsEmpty)
                await TakeAsync(line, lines.Number, cancel);
        }
    }

    /// <summary>The measurements in order of horse and instant.</summary>
    public IEnumerable<MeasurementCandidate> Measurements()
    {
        foreach (var (key, bytes) in measurements.Sorted())
        {
            using var document = JsonDocument.Parse(bytes, Strict);
            var record = new RecordLine(RecordKinds.ByName[RecordKinds.Measurement], key.Line, run.Faults);
            record.Read(document.RootElement, now);
            yield return new MeasurementCandidate(_horses[key.Horse], RecordRules.Measurement(document.RootElement), key.Line) { Given = new GivenRecord(record, document.RootElement.TryGetProperty("id", out _)) };
        }
    }

    private async Task TakeAsync(ReadOnlyMemory<byte> bytes, long line, CancellationToken cancel)
    {
        JsonDocument document;
        try
        {
            document = JsonDocument.Parse(bytes, Strict);
        }
        catch (JsonException error)
        {
            run.Faults.Add(line, "", $"This is no JSON object on one line: look at byte {error.BytePositionInLine + 1}.");
            return;
        }
        using (document)
            if (KindOf(document.RootElement, line) is { } kind)
                await TakeAsync(new RecordLine(kind, line, run.Faults), document.RootElement, bytes, cancel);
    }

    private RecordKind? KindOf(JsonElement record, long line)
    {
        if (record.ValueKind == JsonValueKind.Object && record.TryGetProperty("kind", out var word) && word.ValueKind == JsonValueKind.String && RecordKinds.ByName.TryGetValue(word.GetString()!, out var kind))
        {
            var scope = RecordRules.Needs(kind);
            if (caller.May(scope) && (scope != Scope.Admin || caller.Sight.EveryYard == 1))
                return kind;
            run.Faults.Add(line, "kind", $"A record of kind {kind.Name} needs the scope `{Words.Write(scope)}`{(scope == Scope.Admin ? " on every yard" : "")}, which this key has not.");
            return null;
        }
        run.Faults.Add(line, "kind", $"Every line says its kind, one of: {string.Join(", ", RecordKinds.ByName.Keys)}.");
        return null;
    }

    private async Task TakeAsync(RecordLine line, JsonElement record, ReadOnlyMemory<byte> bytes, CancellationToken cancel)
    {
        var before = run.Faults.Count;
        line.Read(record, now);
        if (line.Row is { } row)
        {
            if (line.IsKept && !caller.May(Scope.Admin))
                run.Faults.Add(line.Line, "", "Only an administrator's key takes over when and how a record was made: leave version, createdAt, voidedAt and the like out.");
            RecordRules.Check(line, record, run.Faults);
            await CheckReferencesAsync(line, row);
            if (run.Faults.Count == before && !await IsHeldAsync(line, row, record, cancel) && run.Faults.Count == before)
                await KeepAsync(line, row, bytes);
        }
    }

    private async Task CheckReferencesAsync(RecordLine line, object?[] row)
    {
        for (var i = 0; i < row.Length; i++)
            if (line.Kind.Members[i] is { Names.Length: > 0 } member && row[i] is string id && !_known.Contains((member.Names, id)) && !await IsSeenAsync(member.Names, id))
                run.Faults.Add(line.Line, member.Name, $"There is no {id} on the lines above, nor among what this key sees.");
    }

    private async Task<bool> IsSeenAsync(string table, string id)
    {
        var isSeen = await RecordStore.IsSeenAsync(session, caller.Sight, RecordKinds.All.First(k => k.Table == table), id);
        if (isSeen)
            _known.Add((table, id));
        return isSeen;
    }

    private async Task<bool> IsHeldAsync(RecordLine line, object?[] row, JsonElement record, CancellationToken cancel)
    {
        var kind = line.Kind;
        if (kind.Members[0].Type == MemberType.Id && !record.TryGetProperty(kind.Members[0].Name, out _))
            return false;
        if (kind.HasId && !_known.Add((kind.Table, (string)row[0]!)) && await RecordStore.HeldAsync(session, kind, row, cancel) is null)
        {
            run.Faults.Add(line.Line, kind.Members[0].Name, "This id stands on a line above already.");
            return true;
        }
        if (await RecordStore.HeldAsync(session, kind, row, cancel) is not { } held || kind.Name == "yard" && (long)held[^2]! == 0)
            return false;
        if (kind.Name != RecordKinds.OtherYard && kind.HasId && !await RecordStore.IsSeenAsync(session, caller.Sight, kind, (string)row[0]!))
            run.Faults.Add(line.Line, kind.Members[0].Name, "This id is held already, outside the yards of this key.");
        else if (kind.Name != RecordKinds.OtherYard && Difference(line, row, held, record) is { } member)
            run.Faults.Add(line.Line, member, $"This {kind.Name} is held already and says something else here. Nothing that is held is changed by an import.");
        else
            NoteHeld(line.Line);
        return true;
    }

    private static string? Difference(RecordLine line, object?[] row, object?[] held, JsonElement record)
    {
        for (var i = 0; i < row.Length; i++)
        {
            var member = line.Kind.Members[i];
            var here = member.Type == MemberType.Inline ? RecordRules.Measurement(record).ToCanonicalJson() : row[i];
            var isSaid = member.Type == MemberType.Inline || record.TryGetProperty(member.Name, out _);
            if (isSaid && !Equals(here, held[i]))
                return member.Name;
        }
        return null;
    }

    private void NoteHeld(long line)
    {
        AlreadyThere++;
        if (AlreadyThereLines.Count < ImportFaults.MostListed)
            AlreadyThereLines.Add(line);
    }

    private async Task KeepAsync(RecordLine line, object?[] row, ReadOnlyMemory<byte> bytes)
    {
        if (Value(line, row, "time_zone") is { } zone)
            _zones[(string)row[0]!] = zone;
        if (line.Kind.Name == "horse" && !await TakeHorseAsync(line, row))
            return;
        if ((Value(line, row, "horse_id") ?? (line.Kind.Name == "horse" ? (string)row[0]! : null)) is { } horseId)
            TouchedHorses.Add(horseId);
        if (Value(line, row, "saddle_id") is { } saddleId)
            TouchedSaddles.Add(saddleId);
        if (line.Kind.Name == RecordKinds.Measurement)
            measurements.Add(new RowKey(await PlaceAsync(Value(line, row, "horse_id")!), Instants.Read(Value(line, row, "measured_at")!).UtcTicks, line.Line), bytes.Span);
        else
            prepared.Add(line.Kind, row);
    }

    private async Task<bool> TakeHorseAsync(RecordLine line, object?[] row)
    {
        var horse = new HorseRow
        {
            Id = (string)row[0]!,
            YardId = Value(line, row, "yard_id")!,
            Name = Value(line, row, "name")!,
            BornOn = Value(line, row, "born_on"),
            Microchip = Value(line, row, "microchip"),
            Ueln = Value(line, row, "ueln"),
            TimeZone = await ZoneAsync(Value(line, row, "yard_id")!),
        };
        var others = horse.Microchip is null && horse.Ueln is null ? [] : await HorseStore.SameNumbersAsync(session, horse);
        foreach (var (member, number) in new[] { ("microchip", horse.Microchip), ("ueln", horse.Ueln) })
            if (number is not null && (!_numbers.Add(member + number) || others.Any(o => o.Microchip == number || o.Ueln == number)))
                run.Faults.Add(line.Line, member, "Another horse carries this number. Compare the passport.");
        _places[horse.Id] = _horses.Count;
        _horses.Add(horse);
        return true;
    }

    private async Task<int> PlaceAsync(string horseId)
    {
        if (_places.TryGetValue(horseId, out var place))
            return place;
        _horses.Add((await HorseStore.FindAsync(session, caller.Sight, horseId))!);
        return _places[horseId] = _horses.Count - 1;
    }

    private async Task<string> ZoneAsync(string yardId) =>
        _zones.TryGetValue(yardId, out var zone) ? zone : _zones[yardId] = (await YardStore.FindAsync(session, Sight.All, yardId))!.TimeZone;

    private static string? Value(RecordLine line, object?[] row, string column)
    {
        for (var i = 0; i < row.Length; i++)
            if (line.Kind.Members[i].Column == column)
                return (string?)row[i];
        return null;
    }
}

/// <summary>What a record of a measurement brings with it.</summary>
internal sealed record GivenRecord(RecordLine Line, bool HasId)
{
    /// <summary>A member of its row.</summary>
    public object? this[string column]
    {
        get
        {
            for (var i = 0; i < Line.Kind.Members.Count; i++)
                if (Line.Kind.Members[i].Column == column)
                    return Line.Row![i];
            return null;
        }
    }
}
