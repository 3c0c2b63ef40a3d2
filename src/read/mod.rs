//! Reads files into validated inputs.
