//! Renders a plan.
