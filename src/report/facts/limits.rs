//! What this program never checks, and what must be minded whatever the plan: said in every report.

/// Not checked in any plan.
pub const NEVER_CHECKED: &[&str] = &[
    "Hydraulics and scour.",
    "Design of foundations, abutments and piers.",
    "Approaches and sight distance.",
    "Crash-worthiness of the rail and its fastening.",
    "Fatigue of old details.",
    "Local permits, rights of way and environmental clearance.",
];

/// Cautions for everybody who acts on a plan.
pub const ALWAYS_MIND: &[&str] = &[
    "Old paint may hold lead. Have it tested before any torch cutting, blasting or grinding, and test blast waste before disposal.",
    "Lifting: weigh each car before the pick, and pick at the bolsters unless an engineer says otherwise.",
    "A car alone on its bearings, without its joints, is not the finished bridge: an engineer decides what it may carry during erection.",
    "Inspect every car at the yard before paying. The plan believes the inventory.",
    "This is a buying plan, not a design. Local codes and a licensed engineer decide.",
];
