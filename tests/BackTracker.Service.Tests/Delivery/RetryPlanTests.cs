using BackTracker.Service.Delivery;
using BackTracker.Storage;
using BackTracker.Storage.Outbox;

namespace BackTracker.Service.Tests.Delivery;

public sealed class RetryPlanTests
{
    private static readonly DateTimeOffset Now = new(2026, 11, 25, 9, 0, 0, TimeSpan.Zero);
    private static readonly ReceiverReply Refused = new(ReplyKind.Refused, 500, "Answered 500.", TimeSpan.Zero);

    // Steps suggested by the Standard Webhooks specification 1.0.0, "Deliverability and reliability".
    [Theory]
    [InlineData(1, "00:00:05"), InlineData(2, "00:05:00"), InlineData(3, "00:30:00"), InlineData(4, "02:00:00"), InlineData(5, "05:00:00")]
    [InlineData(6, "10:00:00"), InlineData(7, "14:00:00"), InlineData(8, "20:00:00"), InlineData(9, "1.00:00:00")]
    public void After_refusal_isTriedAgainLaterEachTime(int tries, string wait)
    {
        var expected = TimeSpan.Parse(wait, System.Globalization.CultureInfo.InvariantCulture);

        var after = RetryPlan.After(Tried(tries - 1), Refused, Now, .5);

        Assert.Equal(("pending", tries, 500, "Answered 500."), (after.State, after.Attempts, after.Status, after.Error));
        Assert.Equal(Instants.Write(Now + expected), after.NextAt);
        Assert.Equal(Instants.Write(Now + (expected * .9)), RetryPlan.After(Tried(tries - 1), Refused, Now, 0).NextAt);
        Assert.Equal(Instants.Write(Now + (expected * 1.1)), RetryPlan.After(Tried(tries - 1), Refused, Now, 1).NextAt);
    }

    [Fact]
    public void After_tenRefusals_isParkedThreeDaysAfterTheFirst()
    {
        var delivery = Tried(0);
        var at = Now;
        while (delivery.State == "pending")
        {
            delivery = RetryPlan.After(delivery, Refused, at, .5);
            at = delivery.State == "pending" ? Instants.Read(delivery.NextAt) : at;
        }

        Assert.Equal(("parked", 10), (delivery.State, delivery.Attempts));
        Assert.InRange((at - Now).TotalDays, 3, 3.2);
    }

    [Theory, InlineData(1, "pending"), InlineData(2, "pending"), InlineData(3, "parked")]
    public void After_refusalOfAnEventThatWaitedForThreeDays_hasThreeTries(int tries, string state) =>
        Assert.Equal(state, RetryPlan.After(Tried(tries - 1) with { StartedAt = Instants.Write(Now.AddDays(-4)) }, Refused, Now, .5).State);

    [Fact]
    public void After_aReceiverThatAsksForTime_waitsAtLeastThatLong()
    {
        var busy = Refused with { Status = 429, Wait = TimeSpan.FromMinutes(2) };

        Assert.Equal(Instants.Write(Now.AddMinutes(2)), RetryPlan.After(Tried(0), busy, Now, .5).NextAt);
        Assert.Equal(Instants.Write(Now.AddMinutes(5)), RetryPlan.After(Tried(1), busy, Now, .5).NextAt);
        Assert.Equal((Instants.Write(Now.AddMinutes(2)), 0), Left(RetryPlan.After(new LaneRow(), busy, 1, Now, .5)));
    }

    [Fact]
    public void After_taken_isDeliveredAndTheReceiverIsWell()
    {
        var taken = new ReceiverReply(ReplyKind.Taken, 204, "", TimeSpan.Zero);

        Assert.Equal(("delivered", 3, ""), RetryPlan.After(Tried(2), taken, Now, .5) is var d ? (d.State, d.Attempts, d.Error) : default);
        var lane = RetryPlan.After(new LaneRow { LaneRests = 4, LaneRestingUntil = "then", GoneAt = "then" }, taken, 0, Now, .5);
        Assert.Equal(("", 0, null, Instants.Write(Now)), (lane.LaneRestingUntil, lane.LaneRests, lane.GoneAt, lane.SucceededAt));
    }

    [Fact]
    public void After_gone_isParkedAtOnce()
    {
        var gone = new ReceiverReply(ReplyKind.Gone, 410, "Gone.", TimeSpan.Zero);

        Assert.Equal("parked", RetryPlan.After(Tried(0), gone, Now, .5).State);
        Assert.Equal(Instants.Write(Now), RetryPlan.After(new LaneRow(), gone, 1, Now, .5).GoneAt);
    }

    [Theory]
    [InlineData(1, 0, 0), InlineData(4, 0, 0), InlineData(5, 0, 1), InlineData(7, 1, 2), InlineData(7, 2, 4), InlineData(7, 5, 32), InlineData(7, 6, 60), InlineData(7, 40, 60)]
    public void After_refusalsOfSeveralEvents_leavesTheReceiverAloneLongerEachTime(int failing, int restsBefore, int minutes)
    {
        var lane = RetryPlan.After(new LaneRow { LaneRests = restsBefore }, Refused, failing, Now, .5);

        Assert.Equal(minutes == 0 ? ("", restsBefore) : (Instants.Write(Now.AddMinutes(minutes)), restsBefore + 1), Left(lane));
    }

    private static DeliveryRow Tried(int attempts) => new() { State = "pending", Attempts = attempts, StartedAt = Instants.Write(Now) };

    private static (string, int) Left(LaneRow lane) => (lane.LaneRestingUntil, lane.LaneRests);
}
