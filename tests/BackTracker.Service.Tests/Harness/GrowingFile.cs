using System.IO.Pipelines;
using System.Net;
using System.Net.Http.Headers;
using System.Text;

namespace BackTracker.Service.Tests.Harness;

/// <summary>A file that is sent while it is still being written: what is there of it goes out at once.</summary>
internal sealed class GrowingFile : HttpContent
{
    private readonly Pipe _pipe = new();

    public GrowingFile(string mediaType) => Headers.ContentType = new MediaTypeHeaderValue(mediaType);

    public async Task WriteAsync(string text) => await _pipe.Writer.WriteAsync(Encoding.UTF8.GetBytes(text), TestContext.Current.CancellationToken);

    public async Task EndAsync() => await _pipe.Writer.CompleteAsync();

    protected override async Task SerializeToStreamAsync(Stream stream, TransportContext? context)
    {
        for (ReadResult read; !(read = await _pipe.Reader.ReadAsync()).IsCompleted || read.Buffer.Length > 0;)
        {
            foreach (var part in read.Buffer)
                await stream.WriteAsync(part);
            await stream.FlushAsync();
            _pipe.Reader.AdvanceTo(read.Buffer.End);
        }
    }

    protected override bool TryComputeLength(out long length)
    {
        length = 0;
        return false;
    }
}
