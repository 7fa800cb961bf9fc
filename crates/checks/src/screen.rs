//! Whether bytes can be an NC program at all, before anything is read.

/// Most bytes looked at.
const LOOK_AT: usize = 1 << 20;

/// Share of bytes that no text holds above which a file is binary, 1 in this many.
const BINARY_ONE_IN: usize = 50;

/// Why these bytes are no NC program; `None` if they may be one.
///
/// Text in any 8-bit encoding passes; text in UTF-16 and binary files do not.
pub fn unusable(bytes: &[u8]) -> Option<String> {
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Some("the file is empty; nothing can be read from it".to_owned());
    }
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Some("the file is UTF-16 text; save it as plain 8-bit text or UTF-8".to_owned());
    }
    let head = &bytes[..bytes.len().min(LOOK_AT)];
    let strange = |b: &u8| *b < 0x20 && !matches!(*b, b'\t' | b'\n' | b'\r' | 0x0b | 0x0c | 0x1a);
    let count = head.iter().filter(|b| strange(b)).count();
    (count * BINARY_ONE_IN > head.len()).then(|| {
        let at = head.iter().position(strange).unwrap_or(0);
        format!(
            "the file is not text: byte {at} is {:#04x}, and {count} of the first {} bytes are such",
            head[at],
            head.len()
        )
    })
}

/// Windows-1252 text as characters; its five unassigned bytes become the replacement character.
pub fn windows_1252(bytes: &[u8]) -> String {
    encoding_rs::WINDOWS_1252.decode_without_bom_handling(bytes).0.into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_passes_and_other_files_are_named() {
        assert_eq!(unusable(b"G0 X1\n(Gr\xf6\xdfe)\r\n"), None);
        assert!(unusable(b" \n\t").unwrap().contains("empty"));
        assert!(unusable(b"\xff\xfeG\x000\x00").unwrap().contains("UTF-16"));
        assert!(unusable(b"\x7fELF\x02\x01\x01\x00\x00\x00").unwrap().contains("byte"));
    }

    #[test]
    fn comments_of_older_editors_survive() {
        assert_eq!(windows_1252(b"Gr\xf6\xdfe \x80"), "Größe €");
    }
}
