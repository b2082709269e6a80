using System.Net;
using BackTracker.Service.Hosting;

namespace BackTracker.Service.Delivery;

/// <summary>What tells others of what happened.</summary>
internal static class DeliveryServices
{
    public static IServiceCollection AddDelivery(this IServiceCollection services, ServeOptions options)
    {
        services.AddSingleton(options.Settings.Delivery);
        services.AddSingleton<ResolveName>(_ => Dns.GetHostAddressesAsync);
        services.AddSingleton<AddressGuard>();
        services.AddSingleton<WebhookSecrets>();
        services.AddSingleton<WebhookSender>();
        services.AddSingleton<Lane>();
        services.AddSingleton<Pump>();
        if (options.Role.Works())
            services.AddHostedService<PumpWatch>();
        return services;
    }
}
