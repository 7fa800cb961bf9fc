//! Places of blocks and words, found again on demand instead of kept for every block.

use crate::lex::FUNCTIONS;
use kw_base::{Sources, Span};

/// The block that holds an offset: from its first character to its line end; empty if the offset
/// is in no file.
pub fn block_span(sources: &Sources, block_at: u32) -> Span {
    let Some(file) = sources.file_of(block_at) else { return Span::new(block_at, block_at) };
    let text = file.bytes();
    let at = ((block_at - file.base) as usize).min(text.len());
    let end = crate::lex::line_end(text, at);
    let body = &text[at..end];
    let blanks = body.iter().take_while(|b| matches!(b, b' ' | b'\t')).count();
    let kept = body.iter().rposition(|b| !matches!(b, b' ' | b'\t')).map_or(blanks, |i| i + 1);
    Span::new(file.base + (at + blanks) as u32, file.base + (at + kept) as u32)
}

/// The first word with a letter in the block that starts at an offset; `None` if it has none.
pub fn word_span(sources: &Sources, block_at: u32, letter: char) -> Option<Span> {
    words_of(sources, block_at).find(|w| w.letter.eq_ignore_ascii_case(&letter)).map(|w| w.span)
}

/// The word of a G or M code, such as `M` and 3, in the block that starts at an offset; codes
/// written as expressions are not found.
pub fn code_span(sources: &Sources, block_at: u32, letter: char, number: f64) -> Option<Span> {
    words_of(sources, block_at)
        .filter(|w| w.letter.eq_ignore_ascii_case(&letter))
        .find(|w| w.number().is_some_and(|n| (n - number).abs() < 1e-4))
        .map(|w| w.span)
}

/// A word as written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct WordText<'a> {
    /// Its letter as written.
    pub(crate) letter: char,
    /// Where it stands, trailing blanks left out.
    pub(crate) span: Span,
    /// What follows the letter.
    pub(crate) value: &'a [u8],
}

impl WordText<'_> {
    /// Its value if it is a plain number.
    pub(crate) fn number(&self) -> Option<f64> {
        let digits: String =
            self.value.iter().filter(|b| !b.is_ascii_whitespace()).map(|&b| b as char).collect();
        digits.parse().ok()
    }
}

/// The words of the block that starts at an offset.
pub(crate) fn words_of(sources: &Sources, block_at: u32) -> Words<'_> {
    let Some(file) = sources.file_of(block_at) else {
        return Words { text: &[], at: 0, base: block_at };
    };
    let text = file.bytes();
    let at = ((block_at - file.base) as usize).min(text.len());
    Words { text: &text[..crate::lex::line_end(text, at)], at, base: file.base }
}

/// Walks over the words of one line; comments and settings are passed over.
pub(crate) struct Words<'a> {
    text: &'a [u8],
    at: usize,
    base: u32,
}

impl<'a> Iterator for Words<'a> {
    type Item = WordText<'a>;

    fn next(&mut self) -> Option<WordText<'a>> {
        loop {
            let start = self.at;
            let byte = *self.text.get(start)?;
            self.at += 1;
            match byte {
                b'(' => self.at = self.past(b')'),
                b'{' => self.at = self.past(b'}'),
                b';' => self.at = self.text.len(),
                b'#' => self.skip_value(),
                b if b.is_ascii_alphabetic() => {
                    self.skip_value();
                    let value = self.text[start + 1..self.at].trim_ascii_end();
                    let from = self.base + start as u32;
                    let span = Span::new(from, from + 1 + value.len() as u32);
                    return Some(WordText { letter: b as char, span, value });
                }
                _ => {}
            }
        }
    }
}

impl Words<'_> {
    fn past(&self, close: u8) -> usize {
        memchr::memchr(close, &self.text[self.at..]).map_or(self.text.len(), |i| self.at + i + 1)
    }

    /// Goes to the end of a value: numbers, parameters, brackets, function names.
    fn skip_value(&mut self) {
        let mut open = 0_usize;
        let start = self.at;
        while let Some(&b) = self.text.get(self.at) {
            match b {
                b'[' => open += 1,
                b']' => open = open.saturating_sub(1),
                b'0'..=b'9' | b'.' | b',' | b'+' | b'-' | b' ' | b'\t' | b'#' => {}
                b'/' | b'=' if open == 0 && !self.value_goes_on(b) => return,
                _ if open > 0 => {}
                b'/' | b'=' => {}
                b if b.is_ascii_alphabetic() && self.function_ahead(start) => {
                    while self.text.get(self.at + 1).is_some_and(u8::is_ascii_alphabetic) {
                        self.at += 1;
                    }
                }
                _ => return,
            }
            self.at += 1;
        }
    }

    /// `=` of a setting and `/` between the two arguments of an arctangent.
    fn value_goes_on(&self, mark: u8) -> bool {
        mark == b'=' || self.text[..self.at].trim_ascii_end().ends_with(b"]")
    }

    /// Whether a function's name begins here, in a value that starts at `start`.
    fn function_ahead(&self, start: usize) -> bool {
        let before = &self.text[start..self.at];
        let nothing_yet = before.iter().all(|b| matches!(b, b' ' | b'\t' | b'+' | b'-' | b'#'));
        let rest = &self.text[self.at..];
        nothing_yet
            && FUNCTIONS.iter().any(|(name, _)| {
                rest.get(..name.len()).is_some_and(|head| head.eq_ignore_ascii_case(name))
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(text: &str) -> Vec<String> {
        let sources = Sources::single("t", text.as_bytes().to_vec()).unwrap();
        let file = &sources.files()[0];
        words_of(&sources, 0)
            .map(|w| String::from_utf8_lossy(file.slice(w.span)).into_owned())
            .collect()
    }

    #[test]
    fn words_are_found_with_their_values() {
        assert_eq!(words("N10 G1 X 1.5 Y-2 (Z9) F600 ; S1"), ["N10", "G1", "X 1.5", "Y-2", "F600"]);
        assert_eq!(words("X[SIN[30]*2]Y#3"), ["X[SIN[30]*2]", "Y#3"]);
        assert_eq!(words("#1=[2+3] G1 XATAN[1]/[2]Y5"), ["G1", "XATAN[1]/[2]", "Y5"]);
    }

    #[test]
    fn a_word_is_found_by_its_letter_or_code() {
        let sources = Sources::single("t", b"G0\nG1 x5 M3 M08\n".to_vec()).unwrap();
        assert_eq!(word_span(&sources, 3, 'X'), Some(Span::new(6, 8)));
        assert_eq!(word_span(&sources, 3, 'Y'), None);
        assert_eq!(code_span(&sources, 3, 'M', 8.0), Some(Span::new(12, 15)));
        assert_eq!(block_span(&sources, 3), Span::new(3, 15));
        assert_eq!(block_span(&sources, 900), Span::new(16, 16));
    }
}
