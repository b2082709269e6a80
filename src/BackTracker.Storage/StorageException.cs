namespace BackTracker.Storage;

/// <summary>The store cannot be used as it is; the message tells an operator what to do.</summary>
public sealed class StorageException : Exception
{
    /// <summary>With a message for the operator.</summary>
    public StorageException(string message) : base(message) { }

    /// <summary>With a message for the operator and the cause.</summary>
    public StorageException(string message, Exception innerException) : base(message, innerException) { }

    /// <summary>Without a message; for serialisers only.</summary>
    public StorageException() { }
}
