using BackTracker.Service.Commands;

return await CommandLine.RunAsync(args);
