//! Fingerprints of bytes.

use sha2::{Digest as _, Sha256};

/// SHA-256 of bytes, in hexadecimal.
///
/// ```
/// // FIPS 180-4's example, as published by NIST; from memory.
/// assert_eq!(
///     spanyard::read::sha256(b"abc"),
///     "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
/// );
/// ```
#[must_use]
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}
