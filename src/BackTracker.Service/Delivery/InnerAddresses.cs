using System.Net;

namespace BackTracker.Service.Delivery;

/// <summary>
/// Addresses that are not out in the internet: the special-purpose ranges of the IANA registries for IPv4 and IPv6, and multicast. Of IPv6
/// only what is global unicast (2000::/3) can be outside at all.
/// </summary>
internal static class InnerAddresses
{
    private static readonly IPNetwork[] Inner =
    [
        .. new[]
        {
            "0.0.0.0/8", "10.0.0.0/8", "100.64.0.0/10", "127.0.0.0/8", "169.254.0.0/16", "172.16.0.0/12", "192.0.0.0/24", "192.0.2.0/24",
            "192.88.99.0/24", "192.168.0.0/16", "198.18.0.0/15", "198.51.100.0/24", "203.0.113.0/24", "224.0.0.0/3",
            "2001::/23", "2001:db8::/32", "2002::/16", "3fff::/20",
        }.Select(range => IPNetwork.Parse(range)),
    ];

    private static readonly IPNetwork GlobalUnicast = IPNetwork.Parse("2000::/3");

    /// <summary>Whether an address is an inner one.</summary>
    public static bool Contain(IPAddress address)
    {
        var plain = Plain(address);
        var isOutside = plain.AddressFamily == System.Net.Sockets.AddressFamily.InterNetwork || GlobalUnicast.Contains(plain);
        return !isOutside || Inner.Any(range => range.Contains(plain));
    }

    /// <summary>The address, that of IPv4 where it is one in the clothes of IPv6.</summary>
    public static IPAddress Plain(IPAddress address) => address.IsIPv4MappedToIPv6 ? address.MapToIPv4() : address;
}
