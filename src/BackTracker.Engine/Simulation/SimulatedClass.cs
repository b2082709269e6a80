namespace BackTracker.Engine.Simulation;

/// <summary>What a simulated horse does; each has its own wander, season and error of measuring.</summary>
public enum SimulatedClass
{
    /// <summary>A young horse: 15 to 35 mm wider over one to two years.</summary>
    Growing,

    /// <summary>Training begins on a day and builds 8 to 24 mm within months.</summary>
    Building,

    /// <summary>Steady, with a season of 2 to 5 mm either way.</summary>
    Maintenance,

    /// <summary>A lay-off on a day takes 8 to 24 mm; three in five come back into work after 70 to 240 days and regain them.</summary>
    LayOff,

    /// <summary>6 to 15 mm within 4 to 12 days, either way, unannounced.</summary>
    Step,
}
