//! Comments of the source text, in order, so that a changed program keeps them.

use kw_base::{SourceFile, Sources};

/// Walks the lines of the main program and gives the comments passed.
pub(super) struct Comments<'a> {
    file: Option<&'a SourceFile>,
    next_line: u32,
}

impl<'a> Comments<'a> {
    /// Starts at the first line.
    pub(super) fn new(sources: Option<&'a Sources>) -> Self {
        Self { file: sources.and_then(|s| s.files().first()), next_line: 1 }
    }

    /// Comments on the lines up to and including that of a block. Going back, as subprograms do,
    /// gives none.
    pub(super) fn up_to(&mut self, block_at: u32) -> Vec<String> {
        let Some(file) = self.file else { return Vec::new() };
        let end = file.base + file.bytes().len() as u32;
        if block_at < file.base || block_at > end {
            return Vec::new();
        }
        let line = file.line_column(block_at).line;
        let mut found = Vec::new();
        while self.next_line <= line {
            if let Some(span) = file.line_span(self.next_line) {
                found.extend(in_line(file.slice(span)));
            }
            self.next_line += 1;
        }
        found
    }
}

/// Texts between parentheses, and after a semicolon, without characters that would end a comment.
fn in_line(line: &[u8]) -> Vec<String> {
    let text: String = match std::str::from_utf8(line) {
        Ok(text) => text.to_owned(),
        Err(_) => line.iter().map(|&b| if b.is_ascii() { char::from(b) } else { '_' }).collect(),
    };
    let mut found = Vec::new();
    let mut rest = text.as_str();
    while let Some(open) = rest.find(['(', ';']) {
        let tail = &rest[open + 1..];
        if rest[open..].starts_with(';') {
            found.push(tail.to_owned());
            break;
        }
        let Some(close) = tail.find(')') else { break };
        found.push(tail[..close].to_owned());
        rest = &tail[close + 1..];
    }
    found.iter().map(|c| c.replace(['(', ')'], " ").trim().to_owned()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_of_both_kinds_are_found() {
        assert_eq!(in_line(b"G1 (side A) X1 (B) ; end (x)"), ["side A", "B", "end  x"]);
        assert!(in_line(b"G1 X1").is_empty());
    }
}
