//! A program as received: its text never changes, so its hash names it.

use sha2::{Digest, Sha256};

/// Number of a kept program.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ProgramId(pub i64);

/// What is kept of a program beside its text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProgramRecord {
    /// Its number.
    pub id: ProgramId,
    /// File name as dropped, without folder.
    pub name: String,
    /// SHA-256 of the text, 64 hexadecimal digits.
    pub sha256: String,
    /// Size of the text, bytes.
    pub bytes: u64,
    /// Lines of the text.
    pub lines: u32,
    /// When it was first dropped, ms since 1970-01-01 UTC.
    pub added_at_ms: i64,
}

/// A program to keep.
#[derive(Clone, Copy, Debug)]
pub struct NewProgram<'a> {
    /// File name without folder.
    pub name: &'a str,
    /// The text, as it is.
    pub text: &'a [u8],
    /// Lines of the text.
    pub lines: u32,
    /// Now, ms since 1970-01-01 UTC.
    pub now_ms: i64,
}

/// SHA-256 of a text as 64 hexadecimal digits.
pub fn sha256_hex(text: &[u8]) -> String {
    Sha256::digest(text).iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hash_is_that_of_the_published_standard() {
        // FIPS 180-4, example for the one-block message "abc".
        let expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(sha256_hex(b"abc"), expected);
    }
}
