//! By what a file is known again: its SHA-256.

use sha2::{Digest as _, Sha256};

/// SHA-256 of the bytes (FIPS 180-4), in hexadecimal.
///
/// # Example
/// ```
/// // FIPS 180-4 by way of NIST's example values, "abc".
/// assert_eq!(
///     imports::digest::sha256(b"abc"),
///     "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
/// );
/// ```
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}
