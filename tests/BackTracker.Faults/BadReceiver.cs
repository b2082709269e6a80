using System.Collections.Concurrent;
using System.Globalization;
using System.Net;
using System.Net.Sockets;

namespace BackTracker.Faults;

/// <summary>Where somebody listens and does not do what a webhook should.</summary>
internal sealed class BadReceiver : IDisposable
{
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly ConcurrentBag<BareConnection> _asked = [];

    private BadReceiver()
    {
    }

    public string Url => string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{((IPEndPoint)_listener.LocalEndpoint).Port}/hook");

    /// <summary>How many connections came.</summary>
    public int Asked => _asked.Count;

    /// <summary>Begins; each connection is dealt with as told, and kept.</summary>
    public static BadReceiver Start(Func<BareConnection, Task> answer)
    {
        var receiver = new BadReceiver();
        receiver._listener.Start();
        _ = receiver.TakeAsync(answer);
        return receiver;
    }

    public void Dispose()
    {
        _listener.Dispose();
        foreach (var connection in _asked)
            connection.Dispose();
    }

    private async Task TakeAsync(Func<BareConnection, Task> answer)
    {
        try
        {
            while (true)
            {
                var connection = new BareConnection(await _listener.AcceptSocketAsync());
                _asked.Add(connection);
                _ = answer(connection);
            }
        }
        catch (Exception error) when (error is SocketException or ObjectDisposedException)
        {
            // It is over.
        }
    }
}
