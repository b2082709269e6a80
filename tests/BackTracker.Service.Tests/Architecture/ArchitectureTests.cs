using System.Reflection;
using BackTracker.Engine.Assessments;
using BackTracker.Service.Hosting;
using BackTracker.Storage.Sessions;
using NetArchTest.Rules;

namespace BackTracker.Service.Tests.Architecture;

public sealed class ArchitectureTests
{
    private static readonly Assembly Engine = typeof(HorseAssessment).Assembly;
    private static readonly Assembly Storage = typeof(Database).Assembly;
    private static readonly Assembly Service = typeof(ServiceHost).Assembly;

    [Fact]
    public void Engine_referencesNothingButTheRuntime()
    {
        var foreign = Engine.GetReferencedAssemblies().Select(a => a.Name!).Where(n => !n.StartsWith("System.", StringComparison.Ordinal));

        Assert.Empty(foreign);
    }

    [Fact]
    public void Engine_touchesNoInputOrOutput() =>
        Holds(Types.InAssembly(Engine).ShouldNot().HaveDependencyOnAny("System.IO", "System.Net", "System.Console", "System.Diagnostics.Process"));

    [Fact]
    public void Storage_doesNotKnowTheService() =>
        Holds(Types.InAssembly(Storage).ShouldNot().HaveDependencyOnAny("BackTracker.Service", "Microsoft.AspNetCore"));

    [Fact]
    public void Service_doesNotKnowDapper() => Holds(Types.InAssembly(Service).ShouldNot().HaveDependencyOn("Dapper"));

    [Fact]
    public void Service_opensNoOutboundConnectionButForDelivery() =>
        Holds(Types.InAssembly(Service).That().DoNotResideInNamespace("BackTracker.Service.Demo").And().DoNotResideInNamespace("BackTracker.Service.Delivery").ShouldNot().HaveDependencyOnAny("System.Net.Http.HttpClient", "System.Net.Sockets"));

    private static void Holds(ConditionList rule)
    {
        var result = rule.GetResult();
        Assert.True(result.IsSuccessful, string.Join(", ", result.FailingTypeNames ?? []));
    }
}
