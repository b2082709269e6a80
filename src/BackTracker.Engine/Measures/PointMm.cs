namespace BackTracker.Engine.Measures;

/// <summary>
/// A point of a drawing. Across the back: x is lateral, + = the horse's right, y is depth, + = down. Along the back: x runs from T8
/// towards the tail.
/// </summary>
/// <param name="X">Across or along the back, mm.</param>
/// <param name="Y">Depth, mm.</param>
public readonly record struct PointMm(double X, double Y);
