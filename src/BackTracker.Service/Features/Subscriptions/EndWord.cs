using System.Security.Cryptography;
using Microsoft.AspNetCore.DataProtection;

namespace BackTracker.Service.Features.Subscriptions;

/// <summary>The word in a letter that ends its receiver's subscription, and can do nothing else. Only this service can make one.</summary>
internal sealed class EndWord(IDataProtectionProvider protection)
{
    private readonly IDataProtector _protector = protection.CreateProtector("end-subscription");

    /// <summary>A word for a subscription.</summary>
    public string Of(string subscriptionId) => _protector.Protect(subscriptionId);

    /// <summary>The subscription a word is for; false where it is none of ours.</summary>
    public bool TryRead(string word, out string subscriptionId)
    {
        try
        {
            subscriptionId = _protector.Unprotect(word);
            return true;
        }
        catch (CryptographicException)
        {
            subscriptionId = "";
            return false;
        }
    }
}
