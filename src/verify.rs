//! Recomputes a plan from the inputs.
