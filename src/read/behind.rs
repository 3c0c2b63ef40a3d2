//! What stands in a list behind what was read.

/// What a list has behind a cell of ours.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Behind {
    /// The cell, like `C7`, or the place in the mapping.
    pub cell: String,
    /// The header above it, as the list has it.
    pub header: String,
    /// As written.
    pub text: String,
    /// Whether the mapping states it for the whole list.
    pub is_constant: bool,
    /// Whether the mapping corrects it.
    pub is_corrected: bool,
}
