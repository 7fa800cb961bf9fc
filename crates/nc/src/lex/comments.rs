//! Comments and the messages in them.

use super::reader::{LONGEST_LINE, Line, line_end};
use crate::faults;
use kw_base::Span;

impl Line<'_, '_, '_> {
    pub(super) fn comment_to_line_end(&mut self) {
        let start = self.at + 1;
        self.at = line_end(self.text(), start);
        self.note_message(start, self.at);
    }

    pub(super) fn comment(&mut self) {
        let start = self.at;
        let rest = &self.text()[start + 1..];
        let close = memchr::memchr3(b')', b'\n', b'\r', rest).map(|i| start + 1 + i);
        match close {
            Some(close) if self.text()[close] == b')' => {
                self.at = close + 1;
                let inside = &self.text()[start + 1..close];
                if let Some(nested) = memchr::memchr(b'(', inside) {
                    self.nested_comment(start + 1 + nested, close + 1);
                }
                self.note_message(start + 1, close);
            }
            _ => {
                self.at = close.unwrap_or(self.text().len());
                self.block.faulty = true;
                let span = self.span(start);
                let message = || "the comment does not close on its line".to_owned();
                self.context.log.say(faults::COMMENT_UNCLOSED, span, message);
            }
        }
    }

    /// Reports a comment inside a comment and passes over both, if the outer one closes soon.
    fn nested_comment(&mut self, nested: usize, first_close: usize) {
        let at = self.reader.base + nested as u32;
        let message = || "a comment holds another (".to_owned();
        self.block.faulty = true;
        self.context.log.say(faults::COMMENT_NESTED, Span::new(at, at + 1), message);
        let mut open = 1;
        for (index, &b) in self.text()[first_close..].iter().take(LONGEST_LINE).enumerate() {
            match b {
                b'\n' | b'\r' => return,
                b'(' => open += 1,
                b')' => open -= 1,
                _ => {}
            }
            if open == 0 {
                self.at = first_close + index + 1;
                return;
            }
        }
    }

    pub(super) fn brace_comment(&mut self) {
        let start = self.at;
        let rest = &self.text()[start + 1..];
        let close = memchr::memchr3(b'}', b'\n', b'\r', rest).map(|i| start + 1 + i);
        let closed = close.filter(|&at| self.text()[at] == b'}');
        self.at = closed.map_or(close.unwrap_or(self.text().len()), |at| at + 1);
        if closed.is_none() {
            self.block.faulty = true;
            let span = self.span(start);
            let message = || "the comment does not close on its line".to_owned();
            self.context.log.say(faults::COMMENT_UNCLOSED, span, message);
        }
    }

    /// Keeps the place of a comment that begins with `MSG,`: it is shown to the operator.
    fn note_message(&mut self, start: usize, end: usize) {
        let body = &self.text()[start..end];
        let skipped = body.iter().take_while(|b| matches!(b, b' ' | b'\t')).count();
        let is_message =
            body.get(skipped..skipped + 4).is_some_and(|head| head.eq_ignore_ascii_case(b"MSG,"));
        let base = self.reader.base;
        self.block.message = is_message
            .then(|| Span::new(base + (start + skipped + 4) as u32, base + end as u32))
            .or(if self.context.rules.strict { None } else { self.block.message });
    }
}
