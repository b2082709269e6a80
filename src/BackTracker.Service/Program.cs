using BackTracker.Service.Hosting;
using BackTracker.Storage.Sessions;

var options = new ServeOptions { DataFolder = args[0], Port = 5999 };
var app = ServiceHost.Build(options, TimeProvider.System);
await app.Services.GetRequiredService<Database>().PrepareAsync(default);
await app.RunAsync();
