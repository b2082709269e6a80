namespace BackTracker.Engine.Profiles;

/// <summary>
/// What drawing error would make the back as uneven as the trace shows it, if the back itself were even: shown, never applied, because an
/// uneven horse looks the same. Least squares of the difference between the sides on the two signatures, -2 e' of a shift and 2 (s + e e')
/// of a turn, e being the mean of both sides at offset s (our derivation, first order in shift and turn).
/// </summary>
/// <param name="ShiftMm">Shift, if both are fitted at once, mm; + = the drawing lies too far to the horse's right.</param>
/// <param name="TurnDeg">Turn, if both are fitted at once, degrees; + = the right side hangs too low.</param>
/// <param name="ShiftAloneMm">Shift, if there was no turn, mm.</param>
/// <param name="TurnAloneDeg">Turn, if there was no shift, degrees.</param>
/// <param name="Condition">Condition number of the two signatures, each scaled to length 1; infinite where they are the same.</param>
public readonly record struct SymmetryDiagnosis(double ShiftMm, double TurnDeg, double ShiftAloneMm, double TurnAloneDeg, double Condition)
{
    private const int FirstMm = 10;
    private const int LastMm = 120;
    private const int StepMm = 2;
    private const int ArmMm = 5;
    private const int FewestSamples = 10;
    private const double LargestCondition = 20;

    /// <summary>Whether the shape lets a shift be told from a turn; on a round back any mix of the two explains the same.</summary>
    public bool TellsShiftFromTurn => Condition <= LargestCondition;

    /// <summary>Diagnoses a section; false where its sides share too little of 10 to 120 mm from the midline, or a signature vanishes (a flat back).</summary>
    public static bool TryOf(Section section, out SymmetryDiagnosis diagnosis)
    {
        ArgumentNullException.ThrowIfNull(section);
        var sums = new Sums();
        for (var offset = FirstMm; offset <= LastMm; offset += StepMm)
            sums.Add(section, offset);
        diagnosis = default;
        if (sums.Count < FewestSamples || !(sums.ShiftShift > 0 && sums.TurnTurn > 0))
            return false;
        diagnosis = sums.Solve();
        return true;
    }

    /// <summary>Normal equations of the two signatures.</summary>
    private struct Sums
    {
        public int Count { get; private set; }

        public double ShiftShift { get; private set; }

        public double TurnTurn { get; private set; }

        private double ShiftTurn { get; set; }

        private double ShiftUneven { get; set; }

        private double TurnUneven { get; set; }

        public void Add(Section section, double offset)
        {
            double left = section.Left.DepthAt(offset), right = section.Right.DepthAt(offset);
            var even = (left + right) / 2;
            var slope = (Rise(section.Left, offset) + Rise(section.Right, offset)) / (4 * ArmMm);
            if (double.IsNaN(even + slope))
                return;
            double shift = -2 * slope, turn = double.DegreesToRadians(2 * (offset + (even * slope))), uneven = right - left;
            Count++;
            ShiftShift += shift * shift;
            TurnTurn += turn * turn;
            ShiftTurn += shift * turn;
            ShiftUneven += shift * uneven;
            TurnUneven += turn * uneven;
        }

        public readonly SymmetryDiagnosis Solve()
        {
            var cosine = Math.Min(1, Math.Abs(ShiftTurn) / Math.Sqrt(ShiftShift * TurnTurn));
            var determinant = (ShiftShift * TurnTurn) - (ShiftTurn * ShiftTurn);
            return new SymmetryDiagnosis(
                ((ShiftUneven * TurnTurn) - (TurnUneven * ShiftTurn)) / determinant,
                ((TurnUneven * ShiftShift) - (ShiftUneven * ShiftTurn)) / determinant,
                ShiftUneven / ShiftShift,
                TurnUneven / TurnTurn,
                Math.Sqrt((1 + cosine) / (1 - cosine)));
        }

        private static double Rise(HalfSection half, double offset) => half.DepthAt(offset + ArmMm) - half.DepthAt(offset - ArmMm);
    }
}
