//! Words: letter and value, line and program numbers, tool words, codes.

use super::block::{Letter, MOST_M_CODES, MOST_TOOL_WORDS, ToolWord};
use super::codes::{Code, Group, Meaning};
use super::expression::{Reported, WHOLE_TOLERANCE};
use super::number;
use super::reader::Line;
use crate::faults;
use kw_base::Span;

impl Line<'_, '_, '_> {
    #[inline(always)]
    pub(super) fn word(&mut self, byte: u8) {
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
            return self.special_word(letter, start, value, without_point);
        }
        if self.block.present & letter.bit() != 0 {
            return self.repeated(letter, start);
        }
        self.block.set(letter, value, without_point);
    }

    fn special_word(&mut self, letter: Letter, start: usize, value: f64, without_point: bool) {
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
                let aliases = &self.context.rules.letters;
                if let Some(&(_, means)) = aliases.iter().find(|(l, _)| *l as char == other) {
                    return self.take_word(Letter::of(means), start, value, without_point);
                }
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
    pub(super) fn program_number(&mut self) {
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
