//! One line of text to one block.

use super::block::{Block, Letter, MOST_M_CODES, MOST_TOOL_WORDS, ToolWord};
use super::codes::{Code, Group, Meaning};
use super::expression::{Evaluator, Reported, WHOLE_TOLERANCE};
use super::number;
use super::rules::LexRules;
use crate::faults;
use crate::log::Log;
use crate::parameters::Parameters;
use kw_base::Span;

/// Longest line of the published language, characters.
const LONGEST_LINE: usize = 256;

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
    scratch: Vec<u8>,
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
struct Line<'l, 'a, 'c> {
    reader: &'l mut LineReader<'a>,
    block: &'l mut Block,
    context: &'l mut LineContext<'c>,
    at: usize,
    start: usize,
}

impl<'a> Line<'_, 'a, '_> {
    #[inline(always)]
    fn text(&self) -> &'a [u8] {
        self.reader.text
    }

    fn span(&self, start: usize) -> Span {
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
    fn nothing_before(&self) -> bool {
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

    fn comment_to_line_end(&mut self) {
        let start = self.at + 1;
        self.at = line_end(self.text(), start);
        self.note_message(start, self.at);
    }

    fn comment(&mut self) {
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

    fn brace_comment(&mut self) {
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
    fn evaluate<T>(
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
    fn recover(&mut self, start: usize) {
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

    fn skip_blanks(&mut self) {
        while let Some(b' ' | b'\t') = self.text().get(self.at) {
            self.at += 1;
        }
    }

    #[inline(always)]
    fn word(&mut self, byte: u8) {
        let start = self.at;
        self.at += 1;
        let letter = Letter::of(byte);
        // Decimal commas and numbers with blanks inside take the slow way.
        if let Some(number) = number::fast(self.text(), self.at) {
            self.at = number.next;
            self.take_word(letter, start, number.value, !number.point);
        } else {
            self.slow_word(letter, start);
        }
    }

    #[cold]
    fn slow_word(&mut self, letter: Letter, start: usize) {
        self.skip_blanks();
        let plain = matches!(self.text().get(self.at), Some(b'0'..=b'9' | b'+' | b'-' | b'.'));
        let value_start = self.at;
        if self.number_is_missing() {
            let span =
                Span::new(self.reader.base + start as u32, self.reader.base + start as u32 + 1);
            let message = || format!("{} has no number", letter.char());
            self.context.log.say(faults::NUMBER_MALFORMED, span, message);
            self.block.faulty = true;
            return;
        }
        match self.evaluate(|e| Ok((e.value()?, e.at))) {
            Ok((value, at)) => {
                self.at = at;
                let written = &self.text()[value_start..at];
                let point = !plain || written.iter().any(|b| matches!(b, b'.' | b',' | b'['));
                self.take_word(letter, start, value, !point);
            }
            Err(Reported) => self.recover(start),
        }
    }

    /// Whether the next thing after a word's letter is another word instead of a value.
    fn number_is_missing(&self) -> bool {
        match self.text().get(self.at) {
            None | Some(b'\n' | b'\r' | b'(' | b';') => true,
            Some(b) if b.is_ascii_alphabetic() => {
                !self.text().get(self.at + 1).is_some_and(u8::is_ascii_alphabetic)
            }
            _ => false,
        }
    }

    #[inline(always)]
    fn take_word(&mut self, letter: Letter, start: usize, value: f64, without_point: bool) {
        const SPECIAL: u32 = super::block::letters(b"GMNOTEUVW");
        if SPECIAL & letter.bit() != 0 {
            return self.special_word(letter, start, value);
        }
        if self.block.present & letter.bit() != 0 {
            return self.repeated(letter, start);
        }
        self.block.set(letter, value, without_point);
    }

    fn special_word(&mut self, letter: Letter, start: usize, value: f64) {
        match letter.char() {
            'G' => self.code_word(b'G', start, value),
            'M' => self.code_word(b'M', start, value),
            'N' => self.line_number(start, value),
            'T' => self.tool_word(start, value),
            'O' if self.context.rules.program_numbers && self.nothing_before() => {
                self.at = start;
                self.program_number();
            }
            other => {
                self.block.faulty = true;
                let span = self.span(start);
                let message = || format!("{other} is no word of the language");
                self.context.log.say(faults::LETTER_UNKNOWN, span, message);
            }
        }
    }

    #[cold]
    fn repeated(&mut self, letter: Letter, start: usize) {
        self.block.faulty = true;
        let span = self.span(start);
        let message = || format!("{} stands twice in the block", letter.char());
        self.context.log.say(faults::WORD_REPEATED, span, message);
    }

    fn tool_word(&mut self, start: usize, value: f64) {
        let most = if self.context.rules.strict { 1 } else { MOST_TOOL_WORDS };
        let count = usize::from(self.block.tool_count);
        if count == most {
            return self.repeated(Letter::of(b'T'), start);
        }
        let after_change = self.block.groups & Group::ToolChange.bit() != 0;
        self.block.tools[count] = ToolWord { number: value, after_change };
        self.block.tool_count += 1;
        self.block.set(Letter::of(b'T'), value, false);
    }

    fn line_number(&mut self, start: usize, value: f64) {
        let written = &self.text()[start + 1..self.at];
        let digits = written.iter().filter(|b| !matches!(b, b' ' | b'\t')).count();
        let plain = written.iter().all(|b| matches!(b, b' ' | b'\t' | b'0'..=b'9'));
        let most = if self.context.rules.strict { 5 } else { 9 };
        let first = self.nothing_before() && !self.block.has(b'N');
        if plain && digits <= most && first {
            self.block.set(Letter::of(b'N'), value, true);
            return;
        }
        let span = self.span(start);
        let message = || {
            if !first {
                "the line number is not the first word".to_owned()
            } else if plain {
                format!("the line number has {digits} digits; {most} are allowed")
            } else {
                "the line number is not made of digits only".to_owned()
            }
        };
        self.context.log.say(faults::LINE_NUMBER_MALFORMED, span, message);
    }

    /// `O` or `:` with digits, at the mark.
    fn program_number(&mut self) {
        let start = self.at;
        self.at += 1;
        self.skip_blanks();
        let digits_start = self.at;
        while self.text().get(self.at).is_some_and(u8::is_ascii_digit) {
            self.at += 1;
        }
        let digits = std::str::from_utf8(&self.text()[digits_start..self.at]).unwrap_or("");
        match digits.parse::<u32>() {
            Ok(number) if digits.len() <= 8 => self.block.program_number = Some(number),
            _ => {
                let span = self.span(start);
                let message = || "a program number has 1 to 8 digits".to_owned();
                self.context.log.say(faults::NUMBER_MALFORMED, span, message);
                self.block.faulty = true;
            }
        }
    }

    #[inline]
    fn code_word(&mut self, letter: u8, start: usize, value: f64) {
        let tenths = (value * 10.0).round();
        let exact = (value * 10.0 - tenths).abs() <= WHOLE_TOLERANCE * 10.0;
        if !exact || !(0.0..1e8).contains(&tenths) {
            return self.unknown_code(start);
        }
        if letter == b'M' {
            self.count_m_code(start);
        }
        let meaning = self.context.rules.codes.get(letter, tenths as u32);
        self.take_code(meaning, start);
    }

    #[inline]
    fn take_code(&mut self, meaning: Meaning, start: usize) {
        match meaning {
            Meaning::Known(code, group) => {
                if !self.block.add_code(code, group) {
                    self.conflict(code, group, start);
                }
            }
            Meaning::Mapped(index) => {
                let count = usize::from(self.block.mapped_count);
                if count < MOST_M_CODES {
                    self.block.mapped[count] = index;
                    self.block.mapped_count += 1;
                }
            }
            Meaning::Several(list) => {
                let rules = self.context.rules;
                for &meaning in rules.codes.list(list) {
                    self.take_code(meaning, start);
                }
            }
            Meaning::Unknown => self.unknown_code(start),
        }
    }

    fn count_m_code(&mut self, start: usize) {
        self.block.m_count = self.block.m_count.saturating_add(1);
        let most = if self.context.rules.strict { 4 } else { MOST_M_CODES as u8 };
        if self.block.m_count > most {
            let span = self.span(start);
            let message = || format!("more than {most} M codes in the block");
            self.context.log.say(faults::M_CODES_TOO_MANY, span, message);
            self.block.faulty = true;
        }
    }

    #[cold]
    fn conflict(&mut self, code: Code, group: Group, start: usize) {
        if !self.context.rules.strict && self.block.code(group) == Some(code) {
            return;
        }
        self.block.faulty = true;
        let span = self.span(start);
        let written = String::from_utf8_lossy(&self.text()[start..self.at]).trim().to_uppercase();
        let message = || format!("{written} contradicts a code before it in the block");
        self.context.log.say(faults::CODES_CONFLICT, span, message);
    }

    #[cold]
    fn unknown_code(&mut self, start: usize) {
        self.block.unknown_code = true;
        self.block.unknown_g_code |= self.text()[start].eq_ignore_ascii_case(&b'G');
        let strict = self.context.rules.strict;
        let span = self.span(start);
        let written = String::from_utf8_lossy(&self.text()[start..self.at]).trim().to_uppercase();
        let message = || match strict {
            true => format!("{written} is not a code of the published language"),
            false => format!("{written} is not described for this machine"),
        };
        self.context.log.say(faults::CODE_UNKNOWN, span, message);
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
