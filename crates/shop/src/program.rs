//! A program as received: its text never changes, so its hash names it.

use sha2::{Digest, Sha256};
use std::sync::Arc;

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
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewProgram {
    /// File name without folder.
    pub name: String,
    /// Lines of the text.
    pub lines: u32,
    /// Now, ms since 1970-01-01 UTC.
    pub now_ms: i64,
    text: Arc<Vec<u8>>,
    sha256: String,
}

impl NewProgram {
    /// A program with the hash of its text, which takes a second for the largest texts: call it
    /// where waiting harms nobody.
    pub fn new(name: &str, text: Arc<Vec<u8>>, lines: u32, now_ms: i64) -> Self {
        let sha256 = sha256_hex(&text);
        Self { name: name.to_owned(), lines, now_ms, text, sha256 }
    }

    /// The text, as it is.
    pub fn text(&self) -> &[u8] {
        &self.text
    }

    /// SHA-256 of the text, 64 hexadecimal digits.
    pub fn sha256(&self) -> &str {
        &self.sha256
    }
}

/// SHA-256 of a text that comes in parts.
#[derive(Clone, Debug, Default)]
pub struct TextHash(Sha256);

impl TextHash {
    /// Takes the next part.
    pub fn add(&mut self, part: &[u8]) {
        self.0.update(part);
    }

    /// The hash as 64 hexadecimal digits.
    pub fn hex(self) -> String {
        self.0.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
    }
}

/// SHA-256 of a text as 64 hexadecimal digits.
pub fn sha256_hex(text: &[u8]) -> String {
    let mut hash = TextHash::default();
    hash.add(text);
    hash.hex()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-4, example for the one-block message "abc".
    const OF_ABC: &str = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

    #[test]
    fn the_hash_is_that_of_the_published_standard() {
        assert_eq!(sha256_hex(b"abc"), OF_ABC);
        let program = NewProgram::new("a.nc", Arc::new(b"abc".to_vec()), 1, 0);
        assert_eq!((program.sha256(), program.text()), (OF_ABC, b"abc".as_slice()));
    }

    #[test]
    fn parts_hash_as_the_whole() {
        let mut hash = TextHash::default();
        for part in [b"a".as_slice(), b"", b"bc"] {
            hash.add(part);
        }
        assert_eq!(hash.hex(), OF_ABC);
    }
}
