//! Replacements in the main program, and where words stand.

use super::EditError;
use super::scope::line;
use super::style;
use kw_base::{Sources, Span};
use kw_nc::{ReadContext, WrittenWord, written_words};

/// A replacement in the main program.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Patch {
    /// What is replaced; empty where something is inserted.
    pub span: Span,
    /// What comes in its place.
    pub text: String,
}

/// Sorted; refuses two patches on one place.
pub(super) fn in_order(mut patches: Vec<Patch>) -> Result<Vec<Patch>, EditError> {
    patches.sort_by_key(|p| (p.span.start, p.span.end));
    let clash = patches.windows(2).any(|w| w[0].span.end > w[1].span.start || w[0] == w[1]);
    if clash {
        return Err(EditError::NotAsWished { line: 0, what: "two changes of one word".to_owned() });
    }
    Ok(patches)
}

/// The main program with patches in order applied.
pub(super) fn apply(sources: &Sources, patches: &[Patch]) -> Vec<u8> {
    let Some(file) = sources.files().first() else { return Vec::new() };
    let old = file.bytes();
    let mut new = Vec::with_capacity(old.len() + 16 * patches.len());
    let mut at = 0;
    for patch in patches {
        let span = (patch.span.start - file.base) as usize..(patch.span.end - file.base) as usize;
        new.extend_from_slice(&old[at..span.start]);
        new.extend_from_slice(patch.text.as_bytes());
        at = span.end;
    }
    new.extend_from_slice(&old[at..]);
    new
}

/// A word with a plain number.
pub(super) struct Literal<'a> {
    /// The number alone, without letter and blanks around it.
    pub(super) span: Span,
    /// Its characters.
    pub(super) text: &'a str,
    /// Its value as written.
    pub(super) value: f64,
}

/// The plain number of a written word; `None` for expressions.
pub(super) fn literal<'a>(word: &WrittenWord<'a>) -> Option<Literal<'a>> {
    let blanks = word.value.iter().take_while(|b| matches!(b, b' ' | b'\t')).count();
    let text = std::str::from_utf8(word.value.get(blanks..)?).ok()?;
    let value = style::value_of(text)?;
    let start = word.span.start + 1 + blanks as u32;
    Some(Literal { span: Span::new(start, word.span.end), text, value })
}

/// The first word with a letter in a block of the main program, if its number is plain and, as
/// written, `expected`.
pub(super) fn number_word<'a>(
    sources: &'a Sources,
    block_at: u32,
    letter: char,
    expected: Option<f64>,
) -> Result<Literal<'a>, EditError> {
    in_main(sources, block_at)?;
    let refusal = || EditError::NotPlainNumber { line: line(sources, block_at), letter };
    let found = written_words(sources, block_at)
        .find(|w| w.letter.eq_ignore_ascii_case(&letter))
        .and_then(|w| literal(&w))
        .ok_or_else(refusal)?;
    match expected {
        Some(value) if (found.value - value).abs() > 1e-9 * value.abs().max(1.0) => Err(refusal()),
        _ => Ok(found),
    }
}

/// Refuses a block outside of the main program.
pub(super) fn in_main(sources: &Sources, block_at: u32) -> Result<(), EditError> {
    let main = sources.files().first().map(|f| f.base);
    match sources.file_of(block_at) {
        Some(file) if Some(file.base) != main => {
            Err(EditError::InOtherFile { file: file.name.clone(), line: line(sources, block_at) })
        }
        _ => Ok(()),
    }
}

/// A word put behind the last word of a block, spaced and in upper or lower case as that block is.
pub(super) fn insertion(
    sources: &Sources,
    context: &ReadContext<'_>,
    block_at: u32,
    (letter, value): (char, &str),
) -> Result<Patch, EditError> {
    in_main(sources, block_at)?;
    let comment_at = comment_start(sources, context, block_at);
    let words: Vec<WrittenWord<'_>> =
        written_words(sources, block_at).take_while(|w| w.span.start < comment_at).collect();
    let Some(last) = words.last() else {
        let line = line(sources, block_at);
        let what = format!("the block has no place for {letter}");
        return Err(EditError::NotAsWished { line, what });
    };
    let dense = is_dense(sources, block_at);
    let blank = if dense { "" } else { " " };
    let letter =
        if last.letter.is_ascii_lowercase() { letter.to_ascii_lowercase() } else { letter };
    let at = last.span.end;
    Ok(Patch { span: Span::new(at, at), text: format!("{blank}{letter}{value}") })
}

/// Lines looked back over to see how a program spaces its words.
const LINES_BACK: u32 = 40;

/// Whether words follow each other without blanks in the block, or, if it has only one word, in
/// the nearest block before it that has several.
fn is_dense(sources: &Sources, block_at: u32) -> bool {
    let Some(file) = sources.file_of(block_at) else { return false };
    let line = file.line_column(block_at).line;
    (line.saturating_sub(LINES_BACK)..=line)
        .rev()
        .filter_map(|l| file.line_span(l))
        .map(|span| written_words(sources, span.start).map(|w| w.span).collect::<Vec<_>>())
        .find(|words| words.len() > 1)
        .is_some_and(|words| words.windows(2).all(|w| w[0].end == w[1].start))
}

/// Where a comment begins that only some controls know.
fn comment_start(sources: &Sources, context: &ReadContext<'_>, block_at: u32) -> u32 {
    let span = kw_nc::block_span(sources, block_at);
    let text = sources.file_of(block_at).map_or(&[][..], |f| f.slice(span));
    let mark = context.dialect.apostrophe_comments.then(|| text.iter().position(|b| *b == b'\''));
    mark.flatten().map_or(u32::MAX, |at| span.start + at as u32)
}
