using System.Globalization;
using System.Net.Sockets;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Faults;

/// <summary>The real binary with few file descriptors, and more idle connections than those.</summary>
public sealed class DescriptorTests
{
    private const int Idle = 500;
    private const int Spare = 40;

    [Fact]
    public async Task Connections_beyondTheDescriptors_stopNobodyForGood()
    {
        using var folder = await FaultFolder.MakeAsync();
        Burst burst;
        await using (var service = await ServiceProcess.StartAsync(folder.Data))
        {
            using var client = new Client(service.Address, folder.Key);
            burst = new Burst(await MeasuredHorse.SettleAsync(client));
            await burst.RunAsync(client, 2, () => burst.Taken < 20);
            var most = OpenFiles(service) + Spare;
            await service.LimitAsync("nofile", most); // Not from the start: the runtime itself needs more then.
            var idle = new List<Socket>();
            try
            {
                for (var i = 0; i < Idle; i++)
                    idle.Add(await ConnectAsync(service.Address));
                await Eventually.TrueAsync(() => Task.FromResult(OpenFiles(service) >= most - 2), () => $"{OpenFiles(service)} of {most} descriptors are in use.");
                // Whoever is connected already goes on.
                await burst.RunAsync(client, 2, () => burst.Taken + burst.Refused < 40);
            }
            finally
            {
                idle.ForEach(socket => socket.Dispose());
            }
            using var anew = new Client(service.Address, folder.Key);
            await WriteFaultTests.ReadyAsync(anew);
            await burst.RunAsync(anew, 2, () => burst.Taken < 60);
            Assert.False(service.HasEnded);
            await service.KillAsync();
        }
        await folder.SettleAsync(burst);
    }

    private static async Task<Socket> ConnectAsync(Uri address)
    {
        var socket = new Socket(SocketType.Stream, ProtocolType.Tcp);
        await socket.ConnectAsync(address.Host, address.Port, TestContext.Current.CancellationToken);
        return socket;
    }

    private static int OpenFiles(ServiceProcess service) =>
        Directory.GetFileSystemEntries(string.Create(CultureInfo.InvariantCulture, $"/proc/{service.Id}/fd")).Length;
}
