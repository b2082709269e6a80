using System.Text;
using BackTracker.Service.Delivery;

namespace BackTracker.Service.Tests.Delivery;

public sealed class WebhookSignatureTests
{
    // The example of the Standard Webhooks specification's reference libraries (standard-webhooks/standard-webhooks, test "sign").
    [Fact]
    public void Of_theSpecificationsExample_isTheSpecificationsSignature() => Assert.Equal(
        "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=",
        WebhookSignature.Of([Convert.FromBase64String("MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw")], "msg_p5jXN8AQM9LWM0D4loKWxJek", 1614265330, Encoding.UTF8.GetBytes("""{"test": 2432232314}""")));

    [Fact]
    public void Of_twoKeys_isASignatureOfEach()
    {
        byte[][] keys = [[1, 2, 3], [4, 5, 6]];

        Assert.Equal(string.Join(' ', keys.Select(key => WebhookSignature.Of([key], "a", 1, [7]))), WebhookSignature.Of(keys, "a", 1, [7]));
    }
}
