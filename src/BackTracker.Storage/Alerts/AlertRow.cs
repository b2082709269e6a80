namespace BackTracker.Storage.Alerts;

/// <summary>An alert: a problem of a horse with its life.</summary>
public sealed record AlertRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The yard the horse stood in when it was raised.</summary>
    public string YardId { get; init; } = "";

    /// <summary>The horse.</summary>
    public string HorseId { get; init; } = "";

    /// <summary>What the yard calls the horse; not a column of its own.</summary>
    public string HorseName { get; init; } = "";

    /// <summary>What makes it the same problem, as text.</summary>
    public string Identity { get; init; } = "";

    /// <summary>check, booking or commission.</summary>
    public string Concern { get; init; } = "";

    /// <summary>The cause, as a word.</summary>
    public string Cause { get; init; } = "";

    /// <summary>The pairing; null where it is of the horse.</summary>
    public string? PairingId { get; init; }

    /// <summary>The commission; null where it is of none.</summary>
    public string? CommissionId { get; init; }

    /// <summary>Who makes the saddle of the commission; not a column of its own.</summary>
    public string? SaddlerId { get; init; }

    /// <summary>The saddle of the pairing or the commission; not a column of its own.</summary>
    public string? SaddleLabel { get; init; }

    /// <summary>Finding or kind of sign.</summary>
    public string? Measure { get; init; }

    /// <summary>Station of the finding.</summary>
    public string? Station { get; init; }

    /// <summary>Side of the finding, as a word.</summary>
    public string? Side { get; init; }

    /// <summary>The check that answers it.</summary>
    public string? CheckId { get; init; }

    /// <summary>What is to be done by that check; not a column of its own.</summary>
    public string? CheckKind { get; init; }

    /// <summary>raised, acknowledged or settled.</summary>
    public string State { get; init; } = "";

    /// <summary>routine, soon or now.</summary>
    public string Urgency { get; init; } = "";

    /// <summary>The problem in words.</summary>
    public string Text { get; init; } = "";

    /// <summary>Last day to book.</summary>
    public string BookBy { get; init; } = "";

    /// <summary>The day it is due.</summary>
    public string DueOn { get; init; } = "";

    /// <summary>Day somebody comes.</summary>
    public string? BookedOn { get; init; }

    /// <summary>First day on which it was overdue and nobody had acknowledged it.</summary>
    public string? OverdueSince { get; init; }

    /// <summary>What last happened that is worth telling: raised, changed, overdue or settled.</summary>
    public string News { get; init; } = "";

    /// <summary>Number of that news, from 1.</summary>
    public long ChangeNo { get; init; }

    /// <summary>For what somebody waits who is to be told: nobody, digest or morning.</summary>
    public string Waits { get; init; } = "";

    /// <summary>The day it was raised, in the yard's time.</summary>
    public string RaisedOn { get; init; } = "";

    /// <summary>When it was acknowledged.</summary>
    public string? AcknowledgedAt { get; init; }

    /// <summary>By whom, where the key belongs to somebody.</summary>
    public string? AcknowledgedBy { get; init; }

    /// <summary>What they said.</summary>
    public string? AcknowledgedNote { get; init; }

    /// <summary>When it settled.</summary>
    public string? SettledAt { get; init; }

    /// <summary>By what.</summary>
    public string? SettledWhy { get; init; }

    /// <summary>Version for the ETag.</summary>
    public long Version { get; init; }

    /// <summary>When it was raised.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>One step in the life of an alert.</summary>
public sealed record AlertStepRow
{
    /// <summary>raised, changed, overdue, acknowledged or settled.</summary>
    public string Action { get; init; } = "";

    /// <summary>In words.</summary>
    public string Note { get; init; } = "";

    /// <summary>Who: a key, or the service itself.</summary>
    public string? KeyId { get; init; }

    /// <summary>When.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Which alerts to list.</summary>
/// <param name="YardId">Of a yard; null for all.</param>
/// <param name="HorseId">Of a horse; null for all.</param>
/// <param name="State">In a state; null for all.</param>
public sealed record AlertFilter(string? YardId, string? HorseId, string? State);

/// <summary>Somebody who is booked.</summary>
public sealed record BookedPersonRow
{
    /// <summary>The check.</summary>
    public string CheckId { get; init; } = "";

    /// <summary>Its horse.</summary>
    public string HorseId { get; init; } = "";

    /// <summary>Who comes.</summary>
    public string PersonId { get; init; } = "";
}
