//! Values of words: numbers, parameters, expressions in brackets, functions.

use super::functions::{
    FUNCTIONS, Function, NoValue, OPERATORS, Operator, apply, arctangent, call,
};
use super::number::{self, NumberFault};
use super::reader::trimmed_end;
use crate::faults;
use crate::log::Log;
use crate::parameters::{LAST, Parameters};
use kw_base::Span;

/// Deepest nesting of brackets followed.
const MOST_BRACKETS: u32 = 64;

/// A fault was reported; there is no value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Reported;

/// Reads one value of a word, at a place in a line.
pub(crate) struct Evaluator<'a> {
    /// The whole text.
    pub(crate) text: &'a [u8],
    /// Where it reads.
    pub(crate) at: usize,
    /// Offset of the text in the sources.
    pub(crate) base: u32,
    /// Only the published rules.
    pub(crate) strict: bool,
    /// `,` is a decimal mark.
    pub(crate) decimal_comma: bool,
    /// Parameter values before the block.
    pub(crate) parameters: &'a Parameters,
    /// Where faults go.
    pub(crate) log: &'a mut Log,
    /// Room for numbers with blanks inside.
    pub(crate) scratch: &'a mut Vec<u8>,
    /// Depth of brackets and of indirect parameters.
    pub(crate) depth: u32,
}

impl Evaluator<'_> {
    /// Next byte that is not a blank, in upper case; a line end at the end of the line.
    fn peek(&mut self) -> u8 {
        while let Some(b' ' | b'\t') = self.text.get(self.at) {
            self.at += 1;
        }
        self.text.get(self.at).map_or(b'\n', u8::to_ascii_uppercase)
    }

    /// Passes over a spelling, blanks inside allowed; leaves the place unchanged if it is not there.
    fn take(&mut self, spelling: &[u8]) -> bool {
        let start = self.at;
        for &expected in spelling {
            if self.peek() != expected {
                self.at = start;
                return false;
            }
            self.at += 1;
        }
        true
    }

    fn span(&self, start: usize) -> Span {
        let end = trimmed_end(self.text, start, self.at);
        Span::new(self.base + start as u32, self.base + end as u32)
    }

    /// Length, at least one character, for a fault at the present place.
    fn here(&self) -> Span {
        let at = self.base + self.at as u32;
        Span::new(at, at + 1)
    }

    fn text_since(&self, start: usize) -> String {
        String::from_utf8_lossy(&self.text[start..self.at.min(self.text.len())]).trim().to_owned()
    }

    /// A value: number, `[...]`, `#...` or function.
    pub(crate) fn value(&mut self) -> Result<f64, Reported> {
        match self.peek() {
            b'[' => self.bracket(),
            b'#' => self.parameter(),
            b'+' | b'-' => self.signed(),
            b'A'..=b'Z' if self.name_ahead() => self.function(),
            _ => self.number(),
        }
    }

    /// Whether two letters or more stand here, so that it is a name and not the next word.
    fn name_ahead(&self) -> bool {
        let letter = |at| self.text.get(at).is_some_and(u8::is_ascii_alphabetic);
        letter(self.at) && letter(self.at + 1)
    }

    /// A value that begins with a sign.
    fn signed(&mut self) -> Result<f64, Reported> {
        let start = self.at;
        let negative = self.peek() == b'-';
        self.at += 1;
        if !(matches!(self.peek(), b'[' | b'#') || self.name_ahead()) {
            self.at = start;
            return self.number();
        }
        let message = || "a sign stands before an expression".to_owned();
        let span = self.span(start);
        self.log.say(faults::SIGN_BEFORE_EXPRESSION, span, message);
        let value = self.value()?;
        if self.strict {
            return Err(Reported);
        }
        Ok(if negative { -value } else { value })
    }

    fn number(&mut self) -> Result<f64, Reported> {
        let start = self.at;
        match number::slow(self.text, start, self.decimal_comma, self.scratch) {
            Ok(number) => {
                self.at = number.next;
                Ok(number.value)
            }
            Err((fault, next)) => {
                self.at = next;
                let span = if next > start { self.span(start) } else { self.here() };
                let text = self.text_since(start);
                match fault {
                    NumberFault::Malformed if text.is_empty() => {
                        let message = || "a number is missing".to_owned();
                        self.log.say(faults::NUMBER_MALFORMED, span, message);
                    }
                    NumberFault::Malformed => {
                        let message = || format!("`{}` is not a number", shortened(&text));
                        self.log.say(faults::NUMBER_MALFORMED, span, message);
                    }
                    NumberFault::TooLarge => {
                        let message = || {
                            format!("`{}` is beyond the largest number, 10^12", shortened(&text))
                        };
                        self.log.say(faults::NUMBER_TOO_LARGE, span, message);
                    }
                }
                Err(Reported)
            }
        }
    }

    fn go_deeper(&mut self) -> Result<(), Reported> {
        self.depth += 1;
        if self.depth > MOST_BRACKETS {
            let message = || format!("nested deeper than {MOST_BRACKETS} levels");
            let span = self.here();
            self.log.say(faults::BRACKETS_TOO_DEEP, span, message);
            return Err(Reported);
        }
        Ok(())
    }

    /// `[expression]`, at the opening bracket.
    fn bracket(&mut self) -> Result<f64, Reported> {
        self.go_deeper()?;
        let start = self.at;
        self.at += 1;
        let value = self.expression(1)?;
        match self.peek() {
            b']' => self.at += 1,
            _ if !self.bracket_closes() => {
                let span = self.span(start);
                self.log.say(faults::BRACKET_UNBALANCED, span, || "[ without ]".to_owned());
                return Err(Reported);
            }
            _ => {
                let message = || "an operator or ] was expected".to_owned();
                let span = self.here();
                self.log.say(faults::OPERATOR_UNKNOWN, span, message);
                return Err(Reported);
            }
        }
        self.depth -= 1;
        Ok(value)
    }

    /// Whether a `]` that belongs to the present bracket follows on the line.
    fn bracket_closes(&self) -> bool {
        let mut open = 1;
        for &b in self.text.get(self.at..).unwrap_or(&[]) {
            match b {
                b'\n' | b'\r' => return false,
                b'[' => open += 1,
                b']' => open -= 1,
                _ => {}
            }
            if open == 0 {
                return true;
            }
        }
        false
    }

    /// Values joined by operators of at least this rank; equal rank from left to right.
    fn expression(&mut self, rank: u8) -> Result<f64, Reported> {
        let mut left = self.value()?;
        loop {
            let start = self.at;
            let Some(operator) = self.operator() else { return Ok(left) };
            if operator.rank() < rank {
                self.at = start;
                return Ok(left);
            }
            let right = self.expression(operator.rank() + 1)?;
            left = apply(operator, left, right).map_err(|why| self.no_value(why, start))?;
        }
    }

    fn operator(&mut self) -> Option<Operator> {
        OPERATORS.iter().find(|(spelling, _)| self.take(spelling)).map(|&(_, operator)| operator)
    }

    /// `#index`, at the mark.
    fn parameter(&mut self) -> Result<f64, Reported> {
        let start = self.at;
        let index = self.parameter_index()?;
        if !self.strict && !self.parameters.is_set(index) {
            let span = self.span(start);
            let message = || format!("#{index} is read but never set");
            self.log.say(faults::PARAMETER_UNSET, span, message);
        }
        Ok(self.parameters.get(index))
    }

    /// Number of the parameter named after a mark.
    pub(crate) fn parameter_index(&mut self) -> Result<u16, Reported> {
        self.go_deeper()?;
        let start = self.at;
        self.at += 1;
        let index = self.value()?;
        self.depth -= 1;
        let nearest = index.round();
        let whole = (index - nearest).abs() <= WHOLE_TOLERANCE;
        if whole && (1.0..=f64::from(LAST)).contains(&nearest) {
            return Ok(nearest as u16);
        }
        let span = self.span(start);
        let message = || format!("parameter number {index} is not a whole number of 1 to {LAST}");
        self.log.say(faults::PARAMETER_NUMBER_WRONG, span, message);
        Err(Reported)
    }

    /// A function by name, at its first letter.
    fn function(&mut self) -> Result<f64, Reported> {
        let start = self.at;
        let known = FUNCTIONS.iter().find(|(name, _)| self.take(name)).map(|&(_, f)| f);
        let Some(function) = known else {
            while self.peek().is_ascii_uppercase() {
                self.at += 1;
            }
            let (span, text) = (self.span(start), self.text_since(start));
            let message = || format!("`{}` is no function", shortened(&text));
            self.log.say(faults::FUNCTION_UNKNOWN, span, message);
            return Err(Reported);
        };
        if self.peek() != b'[' {
            let (span, text) = (self.span(start), self.text_since(start));
            let message = || format!("{} needs its argument in brackets", text.to_uppercase());
            self.log.say(faults::FUNCTION_WITHOUT_BRACKET, span, message);
            return Err(Reported);
        }
        let argument = self.bracket()?;
        if function == Function::Atan {
            return self.arctangent(start, argument);
        }
        call(function, argument).map_err(|why| self.no_value(why, start))
    }

    /// The rest of `ATAN[y]/[x]`.
    fn arctangent(&mut self, start: usize, y: f64) -> Result<f64, Reported> {
        if self.take(b"/") && self.peek() == b'[' {
            let x = self.bracket()?;
            return Ok(arctangent(y, x));
        }
        let span = self.span(start);
        let message = || "ATAN needs a second argument".to_owned();
        self.log.say(faults::ARCTANGENT_INCOMPLETE, span, message);
        Err(Reported)
    }

    fn no_value(&mut self, why: NoValue, start: usize) -> Reported {
        let span = self.span(start);
        let log = &mut *self.log;
        match why {
            NoValue::DivisionByZero => {
                log.say(faults::DIVISION_BY_ZERO, span, || "division by zero".to_owned());
            }
            NoValue::Power(base, exponent) => log.say(faults::POWER_UNDEFINED, span, || {
                format!("{base} to the power of {exponent} has no real value")
            }),
            NoValue::Argument(x) => log.say_with(
                faults::ARGUMENT_OUT_OF_RANGE,
                span,
                || format!("the function has no value for {x}"),
                |finding| finding.with_value(x, ""),
            ),
            NoValue::TooLarge => {
                log.say(faults::NUMBER_TOO_LARGE, span, || "the result is too large".to_owned());
            }
        }
        Reported
    }
}

/// How far from a whole number counts as one (NISTIR 6556, section 3.3.2.1).
pub(crate) const WHOLE_TOLERANCE: f64 = 1e-4;

/// A text short enough for a message.
fn shortened(text: &str) -> String {
    const MOST: usize = 24;
    if text.chars().count() <= MOST {
        text.to_owned()
    } else {
        text.chars().take(MOST).chain("...".chars()).collect()
    }
}
