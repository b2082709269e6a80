using System.Diagnostics;
using System.Text.Json.Nodes;

namespace BackTracker.Service.Tests.Delivery;

/// <summary>A letter read by the mail parser of Python's standard library, which shares nothing with the one that wrote it.</summary>
public sealed class LetterInPythonTests
{
    private const string Reader =
        """
        import email, email.policy, json, struct, sys, zlib
        m = email.message_from_bytes(sys.stdin.buffer.read(), policy=email.policy.default)
        png = [p.get_content() for p in m.walk() if p.get_content_type() == 'image/png'][0]
        width, height, depth, colour = struct.unpack('>IIBB', png[16:26])
        data, at = b'', 8
        while at < len(png):
            size, kind = struct.unpack('>I4s', png[at:at + 8])
            if zlib.crc32(png[at + 4:at + 8 + size]) != struct.unpack('>I', png[at + 8 + size:at + 12 + size])[0]: raise SystemExit('a chunk of the picture is damaged')
            if kind == b'IDAT': data += png[at + 8:at + 8 + size]
            at += 12 + size
        print(json.dumps({
            'subject': m['Subject'], 'from': m['From'].addresses[0].display_name, 'to': str(m['To']), 'id': m['Message-ID'], 'date': m['Date'].datetime.isoformat(),
            'listId': m['List-Id'], 'end': m['List-Unsubscribe'], 'endPost': m['List-Unsubscribe-Post'], 'auto': m['Auto-Submitted'],
            'types': [p.get_content_type() for p in m.walk()], 'text': m.get_body(('plain',)).get_content(), 'html': m.get_body(('html',)).get_content(),
            'cid': [p['Content-ID'] for p in m.walk() if p.get_content_type() == 'image/png'][0],
            'picture': [width, height, depth, colour, len(zlib.decompress(data))], 'defects': [repr(d) for p in m.walk() for d in p.defects],
        }))
        """;

    [Fact]
    public async Task Letter_isReadAsItWasMeant()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings);
        await yard.Yard.MeasureAsync(332);
        var line = yard.Line("Der Baum ist über T13 um 12 mm zu eng.") with { HorseName = "Möwe" };
        var id = await yard.WriteAsync(yard.Letter() with { YardName = "Überlingen", Lines = [line] });
        await yard.WaitSentAsync(id);

        var read = await ReadAsync(Assert.Single(office.Taken));

        Assert.Empty(read["defects"]!.AsArray());
        Assert.Equal(["multipart/alternative", "text/plain", "multipart/related", "text/html", "image/png"], read["types"]!.AsArray().Select(type => type!.GetValue<string>()));
        Assert.Equal(
            ("Before the next ride: Möwe", "BackTracker Größe", "isla@larkfield.test", $"<{id}@larkfield.test>", "2026-11-25T09:00:00+00:00", "auto-generated"),
            (Text("subject"), Text("from"), Text("to"), Text("id"), Text("date"), Text("auto")));
        Assert.Equal($"<{yard.Yard.YardId}.larkfield.test>", Text("listId"));
        Assert.Equal("List-Unsubscribe=One-Click", Text("endPost"));
        Assert.Matches("^ ?<https://horses\\.test/end-subscription/at-once\\?word=[A-Za-z0-9_-]+>$", Text("end"));
        Assert.Contains("Möwe, Bramble's saddle\n  Der Baum ist über T13 um 12 mm zu eng.\n", Text("text").ReplaceLineEndings("\n"), StringComparison.Ordinal);
        Assert.Contains($"src=\"cid:{Text("cid").Trim('<', '>')}\"", Text("html"), StringComparison.Ordinal);
        var picture = read["picture"]!.AsArray().Select(number => number!.GetValue<int>()).ToList();
        Assert.Equal([2 * 568, 8, 0, (picture[0] + 1) * picture[1]], [picture[0], picture[2], picture[3], picture[4]]);

        string Text(string name) => read[name]!.GetValue<string>();
    }

    private static async Task<JsonNode> ReadAsync(byte[] letter)
    {
        Assert.SkipUnless(Environment.GetEnvironmentVariable("PATH")!.Split(':').Any(folder => File.Exists(Path.Combine(folder, "python3"))), "No python3.");
        using var python = Process.Start(new ProcessStartInfo("python3", ["-c", Reader]) { RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true })!;
        await python.StandardInput.BaseStream.WriteAsync(letter, TestContext.Current.CancellationToken);
        python.StandardInput.Close();
        var (output, error) = (python.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken), python.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken));
        await python.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.True(python.ExitCode == 0, await error);
        return JsonNode.Parse(await output)!;
    }
}
