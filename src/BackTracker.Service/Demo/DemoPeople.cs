namespace BackTracker.Service.Demo;

/// <summary>The people of the demo. All names are invented.</summary>
internal sealed class DemoPeople
{
    public string Manager { get; private set; } = "";

    public string Fitter { get; private set; } = "";

    public string Vet { get; private set; } = "";

    public string Saddler { get; private set; } = "";

    private static readonly string[] WorkingDays = ["monday", "tuesday", "wednesday", "thursday", "friday"];

    public async Task SettleAsync(DemoApi api, string larkfield, string mill)
    {
        string[] both = [larkfield, mill];
        Manager = await api.MakeAsync("/v1/people", new { name = "Isla Brook", role = "yard-manager", yardIds = both });
        Fitter = await api.MakeAsync("/v1/people", new { name = "Morwen Hale", role = "fitter", yardIds = both, bookingLeadDays = 35, workingDays = WorkingDays });
        Vet = await api.MakeAsync("/v1/people", new { name = "Anna Keld", role = "vet", yardIds = both });
        Saddler = await api.MakeAsync("/v1/people", new { name = "Tom Gethin", role = "saddler", yardIds = new[] { larkfield } });
        await api.MakeAsync("/v1/people", new { name = "Pip Asher", role = "rider", yardIds = new[] { larkfield } });
    }
}
