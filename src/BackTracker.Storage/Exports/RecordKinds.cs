namespace BackTracker.Storage.Exports;

/// <summary>
/// What belongs to a yard's records, each kind after those it refers to. Left out is what belongs to this service and not to the yard: keys,
/// subscriptions and all that was told by them, calendar addresses, the audit, the work queue.
/// </summary>
public static class RecordKinds
{
    private const string OfHorse = "t.horse_id in (select h.id from horses h where h.yard_id = @yardId)";
    private const string YardOfHorse = "(select h.yard_id from horses h where h.id = t.horse_id)";
    private const string YardOfSaddle = "(select s.yard_id from saddles s where s.id = t.saddle_id)";
    private const string Checks = "(select c.id from checks c join horses h on h.id = c.horse_id where h.yard_id = @yardId)";
    private const string Kept = " version:count~=1 created_at:instant~=now";
    private const string Voidable = " voided_at:instant~ void_reason~" + Kept;

    // A saddle of another yard that is on a horse of this one.
    private const string Saddles =
        """
        (select s.id from saddles s where s.yard_id = @yardId
        union select p.saddle_id from pairings p join horses h on h.id = p.horse_id where h.yard_id = @yardId
        union select r.saddle_id from rides r join horses h on h.id = r.horse_id where h.yard_id = @yardId
        union select k.saddle_id from commissions k join horses h on h.id = k.horse_id where h.yard_id = @yardId)
        """;

    // A visit of another yard on which a check of a horse of this one was.
    private const string Visits =
        $"""
        (select v.id from visits v where v.yard_id = @yardId
        union select c.visit_id from checks c where c.id in {Checks} and c.visit_id is not null
        union select s.visit_id from check_history s where s.check_id in {Checks} and s.visit_id is not null)
        """;

    private const string Commissions = "(select k.id from commissions k join horses h on h.id = k.horse_id where h.yard_id = @yardId)";
    private const string OfCommission = $"t.commission_id in {Commissions}";
    private const string YardOfCommission = "(select h.yard_id from commissions k join horses h on h.id = k.horse_id where k.id = t.commission_id)";

    private const string Horses = "(select h.id from horses h where h.yard_id = @yardId)";

    // Whoever is of the yard or stands in its records.
    private const string People =
        $"""
        (select y.person_id from person_yards y where y.yard_id = @yardId
        union select m.measured_by from measurements m where m.horse_id in {Horses} and m.measured_by is not null
        union select o.outcome_by from observations o where o.horse_id in {Horses} and o.outcome_by is not null
        union select c.fitter_id from checks c where c.horse_id in {Horses} and c.fitter_id is not null
        union select c.done_by from checks c where c.horse_id in {Horses} and c.done_by is not null
        union select s.fitter_id from check_history s where s.check_id in {Checks} and s.fitter_id is not null
        union select a.done_by from adjustments a where a.saddle_id in {Saddles} and a.done_by is not null
        union select v.fitter_id from visits v where v.id in {Visits}
        union select v.done_by from visits v where v.id in {Visits} and v.done_by is not null
        union select l.acknowledged_by from alerts l where l.horse_id in {Horses} and l.acknowledged_by is not null
        union select k.saddler_id from commissions k where k.horse_id in {Horses}
        union select x.bears_load_by from commission_trials x where x.commission_id in {Commissions} and x.bears_load_by is not null
        union select q.person_id from quiet_periods q where q.yard_id = @yardId and q.person_id is not null)
        """;

    // A yard from which or to which a horse has moved, or whose saddle or visit it is: its id and clock, and nothing else of it.
    private const string OtherYards =
        $"""
        (select m.from_yard_id from moves m where m.horse_id in {Horses}
        union select m.to_yard_id from moves m where m.horse_id in {Horses} and m.to_yard_id is not null
        union select s.yard_id from saddles s where s.id in {Saddles}
        union select v.yard_id from visits v where v.id in {Visits})
        """;

    /// <summary>All kinds, in the order in which they are exported and can be taken in.</summary>
    public static IReadOnlyList<RecordKind> All { get; } =
    [
        new("yard", "yards", "t.id = @yardId", "t.id", "id:id name! time_zone! closed_days:json=[] latitude:number longitude:number" + Kept),
        new(OtherYard, "yards", $"t.id <> @yardId and t.id in {OtherYards}", "t.id", "id:id time_zone!"),
        new("person", "people", $"t.id in {People}", "(select min(y.yard_id) from person_yards y where y.person_id = t.id)",
            "id:id name! role! email booking_lead_days:count working_days:json=[] erased_at:instant~" + Kept),
        new("person-yard", "person_yards", "t.yard_id = @yardId", "t.yard_id", "person_id:people! yard_id:yards!"),
        new("horse", "horses", "t.yard_id = @yardId", "t.yard_id",
            "id:id yard_id:yards! name! born_on:day sex breed microchip ueln mature_height_mm:number notes status=active" + Kept),
        new("move", "moves", OfHorse, YardOfHorse, "id:id horse_id:horses! on_day>on:day! from_yard_id:yards! to_yard_id:yards status created_at:instant~=now"),
        new("phase", "phases", OfHorse, YardOfHorse, "id:id horse_id:horses! from_day>from:day! phase!" + Voidable),
        new("event", "events", OfHorse, YardOfHorse, "id:id horse_id:horses! on_day>on:day! kind>eventKind! planned:flag=false note" + Voidable),
        new(Measurement, "measurements", OfHorse, YardOfHorse,
            "id:id horse_id:horses! measured_at:instant! measured_on:day~ measured_by:people method! exercise body:inline corrects:measurements advice:json~ voided_at:instant~ void_reason~" + Kept),
        new("observation", "observations", OfHorse, YardOfHorse,
            """
            id:id horse_id:horses! observed_on:day! kind>observationKind! side station severity score:count note
            outcome outcome_on:day outcome_by:people outcome_role outcome_note
            """ + Voidable),
        new("saddle", "saddles", $"t.id in {Saddles}", "t.yard_id", "id:id yard_id:yards! label! maker serial tree! filling! made_on:day" + Kept),
        new("tree-shape", "tree_shapes", $"t.saddle_id in {Saddles}", YardOfSaddle, "id:id saddle_id:saddles! from_day>from:day! body>shape:json!" + Voidable),
        new("pairing", "pairings", OfHorse, YardOfHorse,
            """
            id:id horse_id:horses! saddle_id:saddles! from_day>from:day! to_day>to:day tree_front_from_t8_mm>treeFrontFromT8Mm:number pad_mm:number
            rider_weight_kg:number tack_weight_kg:number weekly_minutes:count tolerances:json
            """ + Kept),
        new("ride", "rides", OfHorse, YardOfHorse, "id:id horse_id:horses! saddle_id:saddles! ridden_on:day! minutes:count!" + Voidable),
        new("yard-policy", "yard_policies", "t.yard_id = @yardId", "t.yard_id", "yard_id:yards! settings:json! version:count~=1 changed_at:instant~=now"),
        new("pairing-policy", "pairing_policies", $"t.pairing_id in (select p.id from pairings p where p.horse_id in {Horses})",
            "(select h.yard_id from pairings p join horses h on h.id = p.horse_id where p.id = t.pairing_id)",
            "pairing_id:pairings! settings:json! version:count~=1 changed_at:instant~=now"),
        new("assessment", "assessments", OfHorse, YardOfHorse,
            "id:id horse_id:horses! assessed_on:day! engine_version! inputs:json! outputs:json! signature! created_at:instant~=now"),
        new("visit", "visits", $"t.id in {Visits}", "t.yard_id",
            "id:id yard_id:yards! fitter_id:people! on_day>on:day! state! note closing_note done_by:people sequence:count=0 changed_at:instant~=now" + Kept),
        new("check", "checks", OfHorse, YardOfHorse,
            """
            id:id horse_id:horses! pairing_id:pairings kind>checkKind! state! urgency! opens_on:day! book_by:day! due_on:day! closes_on:day! reasons:json!
            assessment_id:assessments fitter_id:people visit_id:visits booked_on:day postponed_until:day accepted_risk:flag=false done_on:day done_by:people
            findings:json closing_note dropped_by_person:flag=false opened_on:day! sequence:count=0 changed_at:instant~=now due_told_for= overdue_told_for=
            """ + Kept),
        new("check-step", "check_history", $"t.check_id in {Checks}",
            "(select h.yard_id from checks c join horses h on h.id = c.horse_id where c.id = t.check_id)",
            "id:id check_id:checks! action! note days:json! booked_on:day fitter_id:people visit_id:visits created_at:instant~=now"),
        new("adjustment", "adjustments", $"t.saddle_id in {Saddles}", YardOfSaddle,
            "id:id saddle_id:saddles! check_id:checks done_on:day! done_by:people kind>adjustmentKind! zones:json=[] note" + Voidable)
        {
            // The check may be of a horse that stands elsewhere.
            Instead = new Dictionary<string, string> { ["check_id"] = $"(select k.id from checks k where k.id = t.check_id and k.horse_id in {Horses})" },
        },
        new("commission", "commissions", OfHorse, YardOfHorse,
            """
            id:id horse_id:horses! saddle_id:saddles! saddler_id:people! ordered_on:day! delivery_on:day! ordered_tree:json! tree_front_from_t8_mm>treeFrontFromT8Mm:number
            pad_mm:number note stage! round:count=0 told_at_risk:flag=false
            """ + Kept),
        new("commission-step", "commission_steps", OfCommission, YardOfCommission,
            "id:id commission_id:commissions! stage! on_day>on:day! note override_reason measurement_id:measurements measured_on:day created_at:instant~=now"),
        new("commission-template", "commission_templates", OfCommission, YardOfCommission,
            "id:id commission_id:commissions! measurement_id:measurements! measured_on:day! sent_on:day! body:json! checksum! created_at:instant~=now"),
        new("commission-trial", "commission_trials", OfCommission, YardOfCommission,
            """
            id:id commission_id:commissions! round:count! step! on_day>on:day! pad_mm:number items:json! bears_load_by:people bears_load_on:day bears_load_text
            created_at:instant~=now
            """),
        new("commission-clearance", "commission_clearances", OfCommission, YardOfCommission,
            "id:id commission_id:commissions! on_day>on:day! ridden_hours:number clearance_mm:number! verdict! note created_at:instant~=now"),
        new("alert", "alerts", $"t.yard_id = @yardId and {OfHorse}", "t.yard_id",
            """
            id:id yard_id:yards! horse_id:horses! identity! concern! cause! pairing_id:pairings commission_id:commissions measure station side check_id:checks state! urgency! text!
            book_by:day! due_on:day! booked_on:day overdue_since:day news! change_no:count! raised_on:day!
            acknowledged_at:instant acknowledged_by:people acknowledged_note settled_at:instant settled_why
            """ + Kept),
        new("alert-step", "alert_steps", "t.alert_id in (select a.id from alerts a where a.yard_id = @yardId and a.horse_id in " + Horses + ")",
            "(select a.yard_id from alerts a where a.id = t.alert_id)", "id:id alert_id:alerts! action! note! created_at:instant~=now"),
        new("quiet-period", "quiet_periods", $"t.yard_id = @yardId and (t.horse_id is null or {OfHorse})", "t.yard_id",
            "id:id yard_id:yards! horse_id:horses cause until_day>until:day! reason! person_id:people ended_at:instant~" + Kept),
    ];

    /// <summary>A yard that records of another one mention.</summary>
    public const string OtherYard = "other-yard";

    /// <summary>A measuring session.</summary>
    public const string Measurement = "measurement";

    /// <summary>The kinds by their name.</summary>
    public static IReadOnlyDictionary<string, RecordKind> ByName { get; } = All.ToDictionary(kind => kind.Name, StringComparer.Ordinal);
}
