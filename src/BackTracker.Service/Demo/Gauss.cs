namespace BackTracker.Service.Demo;

/// <summary>Normal numbers from a seed.</summary>
internal sealed class Gauss(int seed)
{
    private readonly Random _random = new(seed);

    public double Next(double sd) => sd * Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(2 * Math.PI * _random.NextDouble());
}
