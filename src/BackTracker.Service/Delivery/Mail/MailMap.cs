using BackTracker.Service.Features.Subscriptions;
using BackTracker.Service.Hosting;
using BackTracker.Service.Pictures;

namespace BackTracker.Service.Delivery.Mail;

/// <summary>Everything that sends letters.</summary>
internal static class MailMap
{
    public static void AddMail(this IServiceCollection services, ServeOptions options)
    {
        services.AddSingleton(options.Settings.Mail);
        services.AddSingleton(PictureFont.Installed);
        services.AddSingleton<EndWord>();
        services.AddSingleton<LetterPictures>();
        services.AddSingleton<LetterCalendar>();
        services.AddSingleton<MailWriter>();
        if (options.Role.Works())
            services.AddHostedService<MailPump>();
    }
}
