using System.Globalization;
using System.Net;
using System.Net.Http.Headers;
using System.Net.Sockets;
using System.Security.Authentication;
using System.Security.Cryptography;
using System.Text;
using BackTracker.Storage.Outbox;

namespace BackTracker.Service.Delivery;

/// <summary>Sends one event to one webhook and says in words what came of it. Neither address nor secret nor body is ever logged.</summary>
internal sealed class WebhookSender : IDisposable
{
    /// <summary>How long a receiver may take to answer.</summary>
    public static readonly TimeSpan Timeout = TimeSpan.FromSeconds(15);

    private const int ExcerptBytes = 300;
    private static readonly TimeSpan LongestWait = TimeSpan.FromDays(1);
    private readonly WebhookSecrets _secrets;
    private readonly TimeProvider _clock;
    private readonly HttpClient _http;

    public WebhookSender(AddressGuard guard, WebhookSecrets secrets, TimeProvider clock)
    {
        _secrets = secrets;
        _clock = clock;
        _http = new HttpClient(new SocketsHttpHandler
        {
            AllowAutoRedirect = false,
            UseProxy = false,
            UseCookies = false,
            ActivityHeadersPropagator = null,
            ConnectCallback = guard.ConnectAsync,
            MaxConnectionsPerServer = 4,
            PooledConnectionLifetime = TimeSpan.FromMinutes(2),
            MaxResponseDrainSize = 64 << 10,
            ResponseDrainTimeout = TimeSpan.FromSeconds(1),
        })
        { Timeout = System.Threading.Timeout.InfiniteTimeSpan };
    }

    public async Task<ReceiverReply> SendAsync(LaneRow lane, DeliveryRow delivery)
    {
        using var limit = new CancellationTokenSource(Timeout, _clock);
        try
        {
            using var request = Request(lane, delivery);
            using var response = await _http.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, limit.Token);
            return await ReadAsync(response, limit.Token);
        }
        catch (OperationCanceledException)
        {
            return ReceiverReply.NoAnswer(string.Create(CultureInfo.InvariantCulture, $"No answer within {Timeout.TotalSeconds} s."));
        }
        catch (Exception error)
        {
            return ReceiverReply.NoAnswer(Explain(error)); // Whatever it was, it counts as a try, so that it is planned and not repeated at once.
        }
    }

    public void Dispose() => _http.Dispose();

    private HttpRequestMessage Request(LaneRow lane, DeliveryRow delivery)
    {
        var now = _clock.GetUtcNow();
        var body = Encoding.UTF8.GetBytes(delivery.Body);
        var content = new ByteArrayContent(body);
        content.Headers.ContentType = new MediaTypeHeaderValue("application/cloudevents+json", "utf-8");
        var request = new HttpRequestMessage(HttpMethod.Post, lane.Url)
        {
            Content = content,
            Headers =
            {
                { "User-Agent", "BackTracker" },
                { "webhook-id", delivery.EventId },
                { "webhook-timestamp", now.ToUnixTimeSeconds().ToString(CultureInfo.InvariantCulture) },
                { "webhook-signature", WebhookSignature.Of(_secrets.Signing(lane, now), delivery.EventId, now.ToUnixTimeSeconds(), body) },
            },
        };
        if (delivery.Traceparent.Length > 0)
            request.Headers.Add("traceparent", delivery.Traceparent);
        return request;
    }

    private async Task<ReceiverReply> ReadAsync(HttpResponseMessage response, CancellationToken cancel)
    {
        var status = (int)response.StatusCode;
        if (response.IsSuccessStatusCode)
            return new ReceiverReply(ReplyKind.Taken, status, "", TimeSpan.Zero);
        if (response.StatusCode == HttpStatusCode.Gone)
            return new ReceiverReply(ReplyKind.Gone, status, DeliveryStore.Gone, TimeSpan.Zero);
        if (status is >= 300 and < 400)
            return new ReceiverReply(ReplyKind.Refused, status, $"Answered {status}, another address. None is followed: change the subscription to where it is now.", TimeSpan.Zero);
        var wait = status is 429 or 503 ? WaitOf(response.Headers.RetryAfter) : TimeSpan.Zero;
        return new ReceiverReply(ReplyKind.Refused, status, $"Answered {status}. {await ExcerptAsync(response, cancel)}".TrimEnd(), wait);
    }

    private TimeSpan WaitOf(RetryConditionHeaderValue? asked)
    {
        var wait = asked?.Delta ?? (asked?.Date - _clock.GetUtcNow()) ?? TimeSpan.Zero;
        return wait < TimeSpan.Zero ? TimeSpan.Zero : wait > LongestWait ? LongestWait : wait;
    }

    /// <summary>The beginning of what a receiver said; whatever follows, or comes too slowly, is not waited for.</summary>
    private static async Task<string> ExcerptAsync(HttpResponseMessage response, CancellationToken cancel)
    {
        var bytes = new byte[ExcerptBytes];
        var read = 0;
        try
        {
            await using var body = await response.Content.ReadAsStreamAsync(cancel);
            while (read < bytes.Length && await body.ReadAsync(bytes.AsMemory(read), cancel) is var more and > 0)
                read += more;
        }
        catch (Exception error) when (error is OperationCanceledException or IOException or HttpRequestException)
        {
            // What came so far is enough: the status is known.
        }
        return string.Concat(Encoding.UTF8.GetString(bytes, 0, read).Select(c => char.IsControl(c) || c == '\uFFFD' ? ' ' : c)).Trim();
    }

    private static string Explain(Exception error) => error switch
    {
        AddressRefusedException refused => refused.Message,
        CryptographicException => "The secret of this subscription cannot be read any more. Rotate it.",
        AuthenticationException => "The receiver's certificate is not one that can be trusted, or its TLS is too old.",
        SocketException { SocketErrorCode: SocketError.HostNotFound or SocketError.NoData or SocketError.TryAgain } => "The name of the receiver leads to no address.",
        SocketException { SocketErrorCode: SocketError.ConnectionRefused } => "The receiver takes no connection.",
        { InnerException: { } inner } => Explain(inner),
        _ => "The connection broke off.",
    };
}
