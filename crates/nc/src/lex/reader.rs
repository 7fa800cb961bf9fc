//! One line of text to one block.

use super::block::Block;
use super::expression::{Evaluator, Reported};
use super::rules::LexRules;
use crate::faults;
use crate::log::Log;
use crate::parameters::Parameters;
use kw_base::Span;

/// Longest line of the published language, characters.
pub(super) const LONGEST_LINE: usize = 256;

/// What a byte is outside comments and values.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Class {
    Blank,
    End,
    Letter,
    Comment,
    Setting,
    Slash,
    Percent,
    Colon,
    Semicolon,
    Apostrophe,
    Brace,
    Other,
}

const CLASSES: [Class; 256] = {
    let mut classes = [Class::Other; 256];
    let mut b = 0;
    while b < 26 {
        classes[b'A' as usize + b] = Class::Letter;
        classes[b'a' as usize + b] = Class::Letter;
        b += 1;
    }
    classes[b' ' as usize] = Class::Blank;
    classes[b'\t' as usize] = Class::Blank;
    classes[b'\n' as usize] = Class::End;
    classes[b'\r' as usize] = Class::End;
    classes[b'(' as usize] = Class::Comment;
    classes[b'#' as usize] = Class::Setting;
    classes[b'/' as usize] = Class::Slash;
    classes[b'%' as usize] = Class::Percent;
    classes[b':' as usize] = Class::Colon;
    classes[b';' as usize] = Class::Semicolon;
    classes[b'\'' as usize] = Class::Apostrophe;
    classes[b'{' as usize] = Class::Brace;
    classes
};

/// Index of the end of the line that holds `at`.
pub(crate) fn line_end(text: &[u8], at: usize) -> usize {
    let rest = text.get(at..).unwrap_or(&[]);
    memchr::memchr2(b'\n', b'\r', rest).map_or(text.len(), |i| at + i)
}

/// End of a text from `start` to `end` without the blanks at its end; at least one byte.
pub(super) fn trimmed_end(text: &[u8], start: usize, end: usize) -> usize {
    let part = &text[start.min(end)..end];
    let kept = part.iter().rposition(|b| !matches!(b, b' ' | b'\t')).map_or(1, |i| i + 1);
    start + kept
}

/// Index of the first byte of the line after a line end at `end`.
#[inline]
pub(crate) fn next_line(text: &[u8], end: usize) -> usize {
    match text.get(end) {
        Some(b'\r') if text.get(end + 1) == Some(&b'\n') => end + 2,
        Some(_) => end + 1,
        None => text.len(),
    }
}

/// Reads the lines of one file.
#[derive(Debug)]
pub(crate) struct LineReader<'a> {
    /// The file's text.
    pub(crate) text: &'a [u8],
    /// Offset of its first byte in the sources.
    pub(crate) base: u32,
    pub(super) scratch: Vec<u8>,
}

/// What reading a line needs and feeds beside the text.
pub(crate) struct LineContext<'c> {
    /// The dialect's rules.
    pub(crate) rules: &'c LexRules,
    /// Parameter values before the block.
    pub(crate) parameters: &'c Parameters,
    /// Where faults go.
    pub(crate) log: &'c mut Log,
}

impl<'a> LineReader<'a> {
    /// A reader of a file whose first byte has offset `base` in the sources.
    pub(crate) fn new(text: &'a [u8], base: u32) -> Self {
        Self { text, base, scratch: Vec::new() }
    }

    /// Reads the line that starts at `start` into `block`; gives the start of the next line.
    pub(crate) fn read(
        &mut self,
        start: usize,
        block: &mut Block,
        context: &mut LineContext<'_>,
    ) -> usize {
        block.clear(self.base + start as u32);
        let mut line = Line { reader: self, block, context, at: start, start };
        line.read();
        let end = line.at;
        block.end = self.base + end as u32;
        if context.rules.strict && end - start > LONGEST_LINE {
            let message = || format!("the line has {} characters", end - start);
            context.log.say_with(faults::LINE_TOO_LONG, block.span(), message, |finding| {
                finding
                    .with_value((end - start) as f64, "characters")
                    .with_limit(LONGEST_LINE as f64, None)
            });
        }
        next_line(self.text, end)
    }
}

/// One line while it is read.
pub(super) struct Line<'l, 'a, 'c> {
    pub(super) reader: &'l mut LineReader<'a>,
    pub(super) block: &'l mut Block,
    pub(super) context: &'l mut LineContext<'c>,
    pub(super) at: usize,
    pub(super) start: usize,
}

impl<'a> Line<'_, 'a, '_> {
    #[inline(always)]
    pub(super) fn text(&self) -> &'a [u8] {
        self.reader.text
    }

    pub(super) fn span(&self, start: usize) -> Span {
        let base = self.reader.base;
        let end = trimmed_end(self.text(), start, self.at);
        Span::new(base + start as u32, base + end as u32)
    }

    fn read(&mut self) {
        while let Some(&byte) = self.text().get(self.at) {
            match CLASSES[byte as usize] {
                Class::Letter => {
                    self.block.blank = false;
                    self.word(byte);
                }
                Class::Blank => self.at += 1,
                Class::End => return,
                other => {
                    self.block.blank = false;
                    self.mark(other);
                }
            }
        }
    }

    /// Whether nothing but a line number and blanks stands before.
    pub(super) fn nothing_before(&self) -> bool {
        let block = &*self.block;
        block.present & !super::block::letters(b"N") == 0
            && block.groups == 0
            && block.settings.is_empty()
            && block.m_count == 0
            && block.tool_count == 0
            && block.program_number.is_none()
    }

    #[cold]
    fn mark(&mut self, class: Class) {
        let rules = self.context.rules;
        match class {
            Class::Comment => self.comment(),
            Class::Brace if rules.braces => self.brace_comment(),
            Class::Semicolon if rules.semicolon => self.comment_to_line_end(),
            Class::Apostrophe if rules.apostrophe => self.comment_to_line_end(),
            Class::Setting => self.setting(),
            Class::Slash if self.may_delete() => {
                self.block.deletable = true;
                self.at += 1;
            }
            Class::Percent if self.nothing_before() && !self.block.has(b'N') => self.percent(),
            Class::Colon if rules.program_numbers && self.nothing_before() => self.program_number(),
            _ => self.unreadable(),
        }
    }

    fn may_delete(&self) -> bool {
        if self.context.rules.strict {
            self.at == self.start
        } else {
            self.nothing_before() && !self.block.deletable
        }
    }

    /// A run of characters that mean nothing here.
    fn unreadable(&mut self) {
        let start = self.at;
        self.at += 1;
        while self.text().get(self.at).is_some_and(|&b| CLASSES[b as usize] == Class::Other) {
            self.at += 1;
        }
        self.block.faulty = true;
        let span = self.span(start);
        let run = &self.text()[start..self.at];
        if matches!(run[0], b'[' | b']') {
            let message = || format!("`{}` has no partner", run[0] as char);
            self.context.log.say(faults::BRACKET_UNBALANCED, span, message);
        } else {
            self.context.log.say(faults::CHARACTER_UNREADABLE, span, || describe(run));
        }
    }

    fn percent(&mut self) {
        self.block.percent = true;
        self.at += 1;
        let start = self.at;
        self.at = line_end(self.text(), self.at);
        let rest = &self.text()[start..self.at];
        if !rest.iter().all(|b| matches!(b, b' ' | b'\t')) {
            let span = self.span(start);
            let message = || "text stands behind %".to_owned();
            self.context.log.say(faults::PERCENT_WITH_TEXT, span, message);
        }
    }

    fn setting(&mut self) {
        let start = self.at;
        let read = self.evaluate(|e| {
            let index = e.parameter_index()?;
            Ok((index, e.at))
        });
        let Ok((index, at)) = read else { return self.recover(start) };
        self.at = at;
        self.skip_blanks();
        if self.text().get(self.at) != Some(&b'=') {
            let span = self.span(start);
            let message = || format!("#{index} is not followed by =");
            self.context.log.say(faults::PARAMETER_SETTING_INCOMPLETE, span, message);
            return self.recover(start);
        }
        self.at += 1;
        match self.evaluate(|e| Ok((e.value()?, e.at))) {
            Ok((value, at)) => {
                self.at = at;
                self.block.settings.push((index, value));
            }
            Err(Reported) => self.recover(start),
        }
    }

    /// Runs an evaluation at the present place.
    pub(super) fn evaluate<T>(
        &mut self,
        run: impl FnOnce(&mut Evaluator<'_>) -> Result<T, Reported>,
    ) -> Result<T, Reported> {
        let mut evaluator = Evaluator {
            text: self.reader.text,
            at: self.at,
            base: self.reader.base,
            strict: self.context.rules.strict,
            decimal_comma: self.context.rules.decimal_comma,
            parameters: self.context.parameters,
            log: &mut *self.context.log,
            scratch: &mut self.reader.scratch,
            depth: 0,
        };
        let result = run(&mut evaluator);
        if result.is_err() {
            self.at = evaluator.at;
        }
        result
    }

    /// After a fault in the word that starts at `start`: goes to the next letter or mark behind it
    /// and behind its brackets.
    pub(super) fn recover(&mut self, start: usize) {
        self.block.faulty = true;
        let mut open =
            self.text()[start..self.at.min(self.text().len())].iter().fold(0_usize, |open, b| {
                match b {
                    b'[' => open + 1,
                    b']' => open.saturating_sub(1),
                    _ => open,
                }
            });
        while let Some(&b) = self.text().get(self.at) {
            match b {
                b'\n' | b'\r' => return,
                b'[' => open += 1,
                b']' => open = open.saturating_sub(1),
                b'(' | b';' | b'#' if open == 0 => return,
                _ if open == 0 && b.is_ascii_alphabetic() => return,
                _ => {}
            }
            self.at += 1;
        }
    }

    pub(super) fn skip_blanks(&mut self) {
        while let Some(b' ' | b'\t') = self.text().get(self.at) {
            self.at += 1;
        }
    }
}

/// Names a run of unreadable bytes.
fn describe(run: &[u8]) -> String {
    match std::str::from_utf8(run) {
        Ok(text) if !text.chars().any(char::is_control) && text.chars().count() <= 8 => {
            format!("`{text}` has no meaning here")
        }
        _ if run.len() == 1 => format!("byte {:#04x} has no meaning here", run[0]),
        _ => format!("{} bytes from {:#04x} on have no meaning here", run.len(), run[0]),
    }
}
