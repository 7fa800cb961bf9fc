//! Findings as text in the style of a good compiler.

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use kw_base::{Finding, Place, Severity, Sources, Span};

/// Most bytes of a line shown on each side of the marked text; longer lines are cut, so that a
/// line of a million characters stays readable.
const LINE_REACH_BYTES: u32 = 120;

/// One finding, coloured; strip the colours where they are not wanted.
pub fn finding(finding: &Finding, sources: &Sources) -> String {
    let level = match finding.severity {
        Severity::Stop => Level::ERROR,
        Severity::Care => Level::WARNING,
        Severity::Note => Level::NOTE,
    }
    .with_name(finding.severity.word());
    let title = level.primary_title(finding.message.as_str()).id(finding.check);
    let shown = match &finding.place {
        Place::Text(span) => marked_line(sources, *span),
        Place::Setting(_) | Place::Program => None,
    };
    let mut group = Group::with_title(title);
    if let Some(shown) = &shown {
        let mut mark = AnnotationKind::Primary.span(shown.mark.clone());
        if !finding.label.is_empty() {
            mark = mark.label(finding.label.as_str());
        }
        group = group.element(
            Snippet::source(shown.text.as_str())
                .path(shown.file.as_str())
                .line_start(shown.line as usize)
                .annotation(mark),
        );
    }
    let mut below: Vec<(&str, String)> = Vec::new();
    match &finding.place {
        Place::Setting(setting) => below.push(("where", setting.to_string())),
        Place::Program if !finding.label.is_empty() => below.push(("where", finding.label.clone())),
        _ => {}
    }
    below.extend(finding.notes.iter().map(|n| ("see", note_in_words(&n.place, &n.text, sources))));
    if !finding.help.is_empty() {
        below.push(("mend", finding.help.clone()));
    }
    for (name, text) in &below {
        group = group.element(Level::HELP.with_name(*name).message(text.as_str()));
    }
    Renderer::styled().render(&[group])
}

fn note_in_words(place: &Place, text: &str, sources: &Sources) -> String {
    match place {
        Place::Text(span) => match sources.file_of(span.start) {
            Some(file) => {
                format!("{}:{}: {text}", file.name, file.line_column(span.start).line)
            }
            None => text.to_owned(),
        },
        Place::Setting(setting) => format!("{setting}: {text}"),
        Place::Program => text.to_owned(),
    }
}

/// A line of a program with the range to mark in it.
struct MarkedLine {
    file: String,
    line: u32,
    text: String,
    mark: std::ops::Range<usize>,
}

fn marked_line(sources: &Sources, span: Span) -> Option<MarkedLine> {
    let file = sources.file_of(span.start)?;
    let at = file.line_column(span.start);
    let whole = file.line_span(at.line)?;
    let from = whole.start.max(span.start.saturating_sub(LINE_REACH_BYTES));
    let to = whole.end.min(span.end.min(span.start + LINE_REACH_BYTES) + LINE_REACH_BYTES);
    let piece = |a: u32, b: u32| readable(file.slice(Span::new(a, b)));
    let before = piece(from, span.start);
    let marked = piece(span.start, span.end.min(to));
    let after = piece(span.end.min(to), to);
    let start = before.len();
    let end = start + marked.len();
    Some(MarkedLine {
        file: file.name.clone(),
        line: at.line,
        text: format!("{before}{marked}{after}"),
        mark: start..end,
    })
}

/// Text for the screen: Windows-1252 where it is not UTF-8, control characters as spaces.
fn readable(bytes: &[u8]) -> String {
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text.to_owned(),
        Err(_) => kw_checks::screen::windows_1252(bytes),
    };
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}
