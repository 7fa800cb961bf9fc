//! What each word does in its block.

use super::StateAfter;
use super::codes;
use crate::interpret::Interpreter;
use crate::interpret::modal::FeedMode;
use crate::lex::codes::Meaning;
use crate::lex::{Block, Code, Group};
use crate::spans::WordText;

/// What a word does in its block; values of expressions are written out.
pub(super) fn meaning(
    interpreter: &Interpreter<'_>,
    block: &Block,
    after: &StateAfter,
    word: &WordText<'_>,
) -> String {
    let letter = word.letter.to_ascii_uppercase();
    match letter {
        'G' | 'M' => return code_word(interpreter, letter, word),
        'O' => return "number of the program".to_owned(),
        _ => {}
    }
    let byte = letter as u8;
    let Some(value) = block.get(byte) else {
        return "not understood; see the findings".to_owned();
    };
    let (unit, per) = if after.inch { ("in", 25.4) } else { ("mm", 1.0) };
    let value = match byte {
        b'R' if block.has_code(Code::G68, Group::Rotation) => interpreter.degrees(block, byte),
        b'X' | b'Y' | b'Z' | b'I' | b'J' | b'K' | b'R' | b'Q' => {
            interpreter.length(block, byte) / per
        }
        b'A' | b'B' | b'C' => interpreter.degrees(block, byte),
        _ => value,
    };
    match letter {
        'N' => "line number".to_owned(),
        'X' | 'Y' | 'Z' => axis(block, after, (letter, value), unit),
        'A' | 'B' | 'C' => axis(block, after, (letter, value), "deg"),
        'I' | 'J' | 'K' => format!("centre word {letter}: {} {unit}", number(value)),
        'R' => radius_or_height(block, after, value, unit),
        'F' => feed(Some(value), after),
        'S' => format!("spindle speed {} 1/min", number(value)),
        'T' => format!("tool {}", number(value)),
        'H' => format!("length of tool table slot {}", number(value)),
        'D' => format!("diameter of tool table slot {}", number(value)),
        'P' => p_word(block, value),
        'Q' => format!("depth of one peck {} {unit}", number(value)),
        'L' => format!("{} times", number(value)),
        _ => format!("{letter} {}", number(value)),
    }
}

fn code_word(interpreter: &Interpreter<'_>, letter: char, word: &WordText<'_>) -> String {
    let Some(value) = word.number() else { return "a code by expression".to_owned() };
    let tenths = (value * 10.0).round();
    if !(0.0..1e8).contains(&tenths) {
        return "unknown code".to_owned();
    }
    let table = &interpreter.rules().codes;
    one_meaning(interpreter, table.get(letter as u8, tenths as u32))
}

fn one_meaning(interpreter: &Interpreter<'_>, meaning: Meaning) -> String {
    match meaning {
        Meaning::Known(code, _) => codes::code(code).to_owned(),
        Meaning::Mapped(index) => {
            let mapped = interpreter.context().dialect.code.get(usize::from(index));
            mapped.map_or_else(String::new, |m| m.name.clone())
        }
        Meaning::Several(list) => {
            let table = &interpreter.rules().codes;
            let parts: Vec<String> =
                table.list(list).iter().map(|&m| one_meaning(interpreter, m)).collect();
            parts.join(", ")
        }
        Meaning::Unknown => "unknown code".to_owned(),
    }
}

fn axis(block: &Block, after: &StateAfter, (letter, value): (char, f64), unit: &str) -> String {
    let value_text = number(value);
    let turned = block.has_code(Code::G68, Group::Rotation);
    if turned || block.has_code(Code::G51, Group::Scaling) {
        return format!("{letter} of the centre at {value_text} {unit}");
    }
    match block.code(Group::Once) {
        Some(Code::G92) => format!("{letter} is {value_text} {unit} here"),
        Some(Code::G10) => format!("{letter} of the origin at {value_text} {unit}"),
        Some(Code::G52) => format!("shift of {letter} by {value_text} {unit}"),
        Some(Code::G53) => format!("{letter} to {value_text} {unit} of the machine"),
        _ if after.absolute => format!("{letter} to {value_text} {unit}"),
        _ => format!("{letter} by {value_text} {unit}"),
    }
}

fn radius_or_height(block: &Block, after: &StateAfter, value: f64, unit: &str) -> String {
    if block.has_code(Code::G68, Group::Rotation) {
        return format!("turned by {} deg", number(value));
    }
    match after.motion {
        Code::G2 | Code::G3 => format!("radius {} {unit}", number(value)),
        _ => format!("starting height {} {unit}", number(value)),
    }
}

fn p_word(block: &Block, value: f64) -> String {
    let value = number(value);
    if block.has_code(Code::M98, Group::Call) {
        format!("subprogram {value}")
    } else if block.has_code(Code::G10, Group::Once) {
        format!("work system {value}")
    } else if block.has_code(Code::G51, Group::Scaling) {
        format!("factor {value}")
    } else {
        format!("time to wait, P {value}")
    }
}

/// The feed with its unit.
pub(super) fn feed(value: Option<f64>, state: &StateAfter) -> String {
    let Some(value) = value else { return "no feed yet".to_owned() };
    let value = number(value);
    match state.feed_mode {
        FeedMode::PerMinute => format!("feed {value} {}", state.feed_unit),
        FeedMode::PerTurn if state.inch => format!("feed {value} in per turn"),
        FeedMode::PerTurn => format!("feed {value} mm per turn"),
        FeedMode::InverseTime => format!("feed 1/{value} min for the block"),
    }
}

/// A value with at most six decimals.
pub(super) fn number(value: f64) -> String {
    rounded(value, 6)
}

/// A value with at most so many decimals, without trailing zeros.
pub(super) fn rounded(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let short =
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if short == "-0" { "0".to_owned() } else { short.to_owned() }
}
