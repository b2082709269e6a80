using System.Runtime.CompilerServices;

// The tests hold the inner filters against each other state by state.
[assembly: InternalsVisibleTo("BackTracker.Engine.Tests")]
