using System.Xml.Linq;
using BackTracker.Storage.ProtectionKeys;
using BackTracker.Storage.Sessions;
using Microsoft.AspNetCore.DataProtection.Repositories;

namespace BackTracker.Service.Pages;

/// <summary>Keeps the keys that protect cookies in the data store, so that a restart and a second instance take the same ones.</summary>
internal sealed class StoredProtectionKeys(Database database) : IXmlRepository
{
    // The framework asks for them synchronously, at start and every few weeks.
    public IReadOnlyCollection<XElement> GetAllElements() => ReadAsync().GetAwaiter().GetResult();

    public void StoreElement(XElement element, string friendlyName) => AddAsync(element).GetAwaiter().GetResult();

    private async Task<IReadOnlyCollection<XElement>> ReadAsync()
    {
        await using var session = await database.ReadAsync(CancellationToken.None);
        return [.. (await ProtectionKeyStore.ListAsync(session)).Select(xml => XElement.Parse(xml))];
    }

    private async Task AddAsync(XElement element)
    {
        await using var session = await database.WriteAsync("pages", CancellationToken.None);
        await ProtectionKeyStore.AddAsync(session, element.ToString(SaveOptions.DisableFormatting));
        await session.CommitAsync();
    }
}
