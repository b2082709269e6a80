using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;

namespace BackTracker.Engine.Tests.Profiles;

public class SymmetryDiagnosisTests
{
    [Fact]
    public void TryOf_narrow_back_and_roof_tell_shift_from_turn()
    {
        Assert.All([Backs.Power(52, 135, 1), Backs.Roof(50, 1)], back =>
        {
            var diagnosis = Diagnose(back.Moved(2, 4));

            Assert.True(diagnosis.TellsShiftFromTurn);
            Assert.Equal(4, diagnosis.ShiftMm, .2);
            Assert.Equal(2, diagnosis.TurnDeg, .02);
        });
    }

    [Theory]
    [InlineData(5, 0)]
    [InlineData(0, 2)]
    [InlineData(5, -1.5)]
    public void TryOf_round_back_cannot_tell(double shift, double turn)
    {
        var diagnosis = Diagnose(Backs.Circle(170).Moved(turn, shift));

        Assert.False(diagnosis.TellsShiftFromTurn);
        Assert.InRange(diagnosis.Condition, 500, double.PositiveInfinity);
    }

    [Fact]
    public void TryOf_one_error_alone_is_found_alone()
    {
        Assert.Equal(3, Diagnose(Backs.Circle(170).Moved(0, 3)).ShiftAloneMm, .1);
        Assert.Equal(-1.5, Diagnose(Backs.Circle(170).Moved(-1.5, 0)).TurnAloneDeg, .03);
    }

    [Fact]
    public void TryOf_even_back_finds_nothing()
    {
        var diagnosis = Diagnose(Backs.Power(52, 135));

        Assert.Equal(0, diagnosis.ShiftMm, 1e-9);
        Assert.Equal(0, diagnosis.TurnDeg, 1e-9);
    }

    [Fact]
    public void TryOf_too_little_in_common_or_flat_gives_none()
    {
        Assert.False(SymmetryDiagnosis.TryOf(Backs.Read([.. Backs.Power(52, 135).Where(p => p.X < 25)]), out _));
        Assert.False(SymmetryDiagnosis.TryOf(Backs.Read(Backs.Even(_ => 0)), out _));
    }

    private static SymmetryDiagnosis Diagnose(PointMm[] trace)
    {
        Assert.True(SymmetryDiagnosis.TryOf(Backs.Read(trace), out var diagnosis));
        return diagnosis;
    }
}
