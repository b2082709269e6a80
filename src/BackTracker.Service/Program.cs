using BackTracker.Service.Hosting;
using BackTracker.Storage.Sessions;

var options = new ServeOptions { DataFolder = args[0], Port = int.Parse(args[1], System.Globalization.CultureInfo.InvariantCulture) };
await using var app = ServiceHost.Build(options, TimeProvider.System);
await app.Services.GetRequiredService<Database>().PrepareAsync(default);
await app.RunAsync();
