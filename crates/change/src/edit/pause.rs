//! Pauses put in and taken out.

use super::EditError;
use super::patch::{Patch, literal};
use super::traced::Traced;
use kw_base::{SourceFile, Sources, Span};
use kw_nc::{EventKind, written_words};

/// A line with M0 before the block of a line.
pub(super) fn insert(
    sources: &Sources,
    traced: &Traced,
    before_line: u32,
) -> Result<Vec<Patch>, EditError> {
    let refusal = EditError::NoBlock { line: before_line };
    let Some((file, line)) = line_of(sources, before_line) else { return Err(refusal) };
    let mut runs = traced.runs.iter().filter(|r| (line.start..=line.end).contains(&r.block_at));
    let once = runs.next().is_some() && runs.next().is_none();
    let is_mark = file.slice(line).trim_ascii().starts_with(b"%");
    if !once || is_mark {
        return Err(refusal);
    }
    let lower = written_words(sources, line.start)
        .find(|w| !matches!(w.letter, 'N' | 'n'))
        .is_some_and(|w| w.letter.is_ascii_lowercase());
    let word = if lower { "m0" } else { "M0" };
    let text = format!("{word}{}", line_end(file));
    Ok(vec![Patch { span: Span::new(line.start, line.start), text }])
}

/// The M0 or M1 of a line; the whole line if nothing but its number stands there.
pub(super) fn remove(
    sources: &Sources,
    traced: &Traced,
    line_number: u32,
) -> Result<Vec<Patch>, EditError> {
    let refusal = EditError::NoPause { line: line_number };
    let Some((file, line)) = line_of(sources, line_number) else { return Err(refusal) };
    let events = &traced.reading.toolpath.events;
    let mut stops = events.iter().filter(|e| {
        matches!(e.kind, EventKind::Stop { .. }) && (line.start..=line.end).contains(&e.block_at)
    });
    let Some(stop) = stops.next() else { return Err(refusal) };
    let words: Vec<_> = written_words(sources, stop.block_at).collect();
    let pause = words.iter().position(|w| {
        let is_code = literal(w).is_some_and(|l| l.value == 0.0 || l.value == 1.0);
        w.letter.eq_ignore_ascii_case(&'M') && is_code
    });
    let Some(pause) = pause else { return Err(refusal) };
    let span = words[pause].span;
    let others = words.iter().filter(|w| !matches!(w.letter, 'N' | 'n' | 'M' | 'm')).count();
    let codes = words.iter().filter(|w| matches!(w.letter, 'M' | 'm')).count();
    let from = words.first().map_or(span.start, |w| w.span.start);
    let blank = |part: Span| file.slice(part).iter().all(u8::is_ascii_whitespace);
    let only = others == 0
        && codes == 1
        && blank(Span::new(line.start, from))
        && blank(Span::new(span.end, line.end));
    let span = if only {
        Span::new(line.start, line.end + ending_after(file, line.end))
    } else {
        let before = file.slice(Span::new(line.start, span.start));
        let blanks = before.iter().rev().take_while(|b| matches!(b, b' ' | b'\t')).count() as u32;
        // At the start of a line there is nothing before it that would have to stay apart.
        Span::new(span.start - blanks, span.end)
    };
    Ok(vec![Patch { span, text: String::new() }])
}

fn line_of(sources: &Sources, line: u32) -> Option<(&SourceFile, Span)> {
    let file = sources.files().first()?;
    Some((file, file.line_span(line)?))
}

/// The line end that the file uses first.
fn line_end(file: &SourceFile) -> &'static str {
    let text = file.bytes();
    match text.iter().position(|b| matches!(b, b'\r' | b'\n')) {
        Some(at) if text[at] == b'\r' && text.get(at + 1) == Some(&b'\n') => "\r\n",
        Some(at) if text[at] == b'\r' => "\r",
        _ => "\n",
    }
}

/// Bytes of the line end at an offset.
fn ending_after(file: &SourceFile, at: u32) -> u32 {
    match file.slice(Span::new(at, at + 2)) {
        b"\r\n" => 2,
        [b'\r' | b'\n', ..] => 1,
        _ => 0,
    }
}
