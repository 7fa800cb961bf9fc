//! Tool numbers, depths and datums: words that change where they stand.

use super::patch::{Patch, in_main, literal, number_word};
use super::scope::line;
use super::style::WrittenStyle;
use super::traced::Traced;
use super::{EditError, EditRequest, Scope};
use kw_base::Sources;
use kw_model::dialect::ToolWord;
use kw_nc::{BlockRun, MoveKind, ReadContext, written_words};
use std::collections::BTreeMap;

/// Runs of each block, in the order of the text.
fn runs_by_block(traced: &Traced) -> BTreeMap<u32, Vec<usize>> {
    let mut blocks: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for (index, run) in traced.runs.iter().enumerate() {
        blocks.entry(run.block_at).or_default().push(index);
    }
    blocks
}

/// Whether all, none, or some of the runs are wanted; some is refused.
fn all_or_none(
    sources: &Sources,
    (block_at, letter): (u32, char),
    mut wanted: impl Iterator<Item = bool>,
) -> Result<bool, EditError> {
    let first = wanted.next().unwrap_or(false);
    if wanted.all(|w| w == first) {
        Ok(first)
    } else {
        Err(EditError::RunsDifferently { line: line(sources, block_at), letter })
    }
}

/// T words of a tool, and the H and D words with its number while it is in work.
pub(super) fn swap_tool(
    sources: &Sources,
    context: &ReadContext<'_>,
    traced: &Traced,
    request: &EditRequest,
    (from, to): (u32, u32),
) -> Result<Vec<Patch>, EditError> {
    let with_offset =
        !context.dialect.strict && context.dialect.tool_word == ToolWord::NumberAndOffset;
    let mut patches = Vec::new();
    for (block_at, runs) in runs_by_block(traced) {
        if !request.scope.holds_block(block_at, sources) {
            continue;
        }
        for word in written_words(sources, block_at) {
            let letter = word.letter.to_ascii_uppercase();
            if !matches!(letter, 'T' | 'H' | 'D') {
                continue;
            }
            let Some(old) = literal(&word) else {
                if letter == 'T' {
                    let line = line(sources, block_at);
                    return Err(EditError::NotPlainNumber { line, letter });
                }
                continue;
            };
            let new = match letter {
                'T' if with_offset => packed(old.value, from, to),
                _ => (old.value == f64::from(from)).then_some(to),
            };
            let Some(new) = new else { continue };
            let belongs = runs.iter().map(|&r| letter == 'T' || traced.runs[r].tool == Some(from));
            if !all_or_none(sources, (block_at, letter), belongs)? {
                continue;
            }
            in_main(sources, block_at)?;
            let text = WrittenStyle::of(old.text).near(f64::from(new));
            patches.push(Patch { span: old.span, text });
        }
    }
    Ok(patches)
}

/// A tool word with the number of the length offset in its last two digits.
fn packed(value: f64, from: u32, to: u32) -> Option<u32> {
    let word = value as u32;
    let (tool, offset) = (word / 100, word % 100);
    let offset = if offset == from && to < 100 { to } else { offset };
    (tool == from && f64::from(word) == value).then(|| to * 100 + offset)
}

/// Z words of feed moves and cycles.
pub(super) fn depth(
    sources: &Sources,
    traced: &Traced,
    request: &EditRequest,
    (from, to): (f64, f64),
) -> Result<Vec<Patch>, EditError> {
    let path = &traced.reading.toolpath;
    let is_meant = |run: &BlockRun| {
        let z = run.z_word_mm.map(|z| z / run.unit_mm);
        run.absolute && z.is_some_and(|z| (z - from).abs() < 1e-9)
    };
    let mut patches = Vec::new();
    for (block_at, runs) in runs_by_block(traced) {
        let mut wanted = Vec::with_capacity(runs.len());
        for &r in runs.iter().filter(|&&r| is_meant(&traced.runs[r])) {
            let feeds = traced.moves_of(r).filter(|&i| path.kind[i] != MoveKind::Rapid);
            let mut inside = feeds.map(|i| request.scope.holds(&path.get(i), sources));
            let Some(first) = inside.next() else { continue };
            if inside.any(|i| i != first) {
                return Err(EditError::MixedBlock { line: line(sources, block_at) });
            }
            wanted.push((first, &traced.runs[r]));
        }
        let Some(&(_, run)) = wanted.first() else { continue };
        if !all_or_none(sources, (block_at, 'Z'), wanted.iter().map(|w| w.0))? {
            continue;
        }
        let old = number_word(sources, block_at, 'Z', None)?;
        let written = run.z_word_mm.unwrap_or(0.0) / run.unit_mm;
        let style = WrittenStyle::of(old.text);
        let same = (old.value - written).abs() < 1e-9;
        // A number that is read as thousandths gets a point, so that it is read as it stands.
        let style = if same { style } else { style.with_mark() };
        patches.push(Patch { span: old.span, text: style.exact(to) });
    }
    Ok(patches)
}

/// The codes of the work systems.
const SYSTEMS: [f64; 9] = [54.0, 55.0, 56.0, 57.0, 58.0, 59.0, 59.1, 59.2, 59.3];

/// G words of a work system.
pub(super) fn datum(
    sources: &Sources,
    traced: &Traced,
    request: &EditRequest,
    (from, to): (u8, u8),
) -> Result<Vec<Patch>, EditError> {
    let code = |system: u8| SYSTEMS[usize::from(system.clamp(1, 9)) - 1];
    let mut patches = Vec::new();
    for block_at in runs_by_block(traced).into_keys() {
        if !request.scope.holds_block(block_at, sources) {
            continue;
        }
        for word in written_words(sources, block_at) {
            let Some(old) = literal(&word).filter(|_| word.letter.eq_ignore_ascii_case(&'G'))
            else {
                continue;
            };
            if old.value == code(from) {
                in_main(sources, block_at)?;
                let text = format!("{}", code(to));
                patches.push(Patch { span: old.span, text });
            }
        }
    }
    if patches.is_empty() && matches!(request.scope, Scope::All) {
        let used = traced.runs.iter().find(|r| r.work_system == from);
        if let Some(run) = used {
            let what = "the datum is in force without a code that could be changed".to_owned();
            return Err(EditError::NotAsWished { line: line(sources, run.block_at), what });
        }
    }
    Ok(patches)
}
