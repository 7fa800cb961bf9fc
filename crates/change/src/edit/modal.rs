//! F and S words: rewritten or inserted so that exactly the wanted moves run differently, although
//! both stay in force from block to block.

use super::patch::{Patch, insertion, number_word};
use super::scope::line;
use super::style::{self, WrittenStyle};
use super::traced::Traced;
use super::wish::{self, Wish};
use super::{Edit, EditError, EditRequest};
use kw_base::Sources;
use kw_nc::ReadContext;
use std::collections::BTreeMap;

/// A number that is wanted in force, as it would be written.
#[derive(Clone, Debug, PartialEq)]
struct Want {
    number: f64,
    /// `None` where the number in force comes from no plain number.
    text: Option<String>,
}

/// One run of a block as far as one letter goes.
struct Step {
    block_at: u32,
    word: Option<f64>,
    /// Number in force after it.
    number: Option<f64>,
    /// Whether what was in force before counts no more.
    forgets: bool,
    want: Option<Want>,
    /// Whether moves of this run depend on the number.
    cares: bool,
}

/// What is decided for a block.
#[derive(Default)]
struct Decision {
    want: Option<Want>,
    /// Whether its runs want different numbers.
    mixed: bool,
    /// Whether moves depend on it.
    cares: bool,
    written: Option<Want>,
}

/// The patches of a feed or speed edit.
pub(super) fn patches(
    sources: &Sources,
    context: &ReadContext<'_>,
    traced: &Traced,
    request: &EditRequest,
) -> Result<Vec<Patch>, EditError> {
    let letter = if matches!(request.edit, Edit::Speed(_)) { 'S' } else { 'F' };
    let of_moves = wish::of_moves(sources, traced, request)?;
    if !of_moves.iter().any(|w| matches!(w, Wish::Set(_))) {
        return Err(EditError::NothingToChange);
    }
    let of_runs = wish::of_runs(sources, traced, &of_moves)?;
    let mut steps = steps(sources, traced, letter, &of_runs);
    look_ahead(&mut steps);
    let mut decisions = decide(&steps);
    follow(sources, letter, &steps, &mut decisions)?;
    write(sources, context, letter, (&steps, &decisions))
}

fn steps(sources: &Sources, traced: &Traced, letter: char, of_runs: &[Wish]) -> Vec<Step> {
    // Where the number in force was written: its word as written, if that is plain.
    let mut source: Option<&str> = None;
    let mut mode = None;
    let mut steps = Vec::with_capacity(traced.runs.len());
    for (run, wish) in traced.runs.iter().zip(of_runs) {
        let is_feed = letter == 'F';
        let word = if is_feed { run.feed_word } else { run.speed_word };
        let word = word.filter(|v| *v >= 0.0);
        let forgets = is_feed && mode.is_some_and(|m| m != run.feed_mode);
        mode = Some(run.feed_mode);
        if word.is_some() {
            source = number_word(sources, run.block_at, letter, word).ok().map(|l| l.text);
        }
        let number = if is_feed { run.feed } else { Some(run.speed_rpm) };
        let want = match (wish, number) {
            (Wish::Free, _) | (Wish::Keep, None) => None,
            (Wish::Keep, Some(number)) => Some(Want { number, text: source.map(str::to_owned) }),
            (Wish::Set(value), _) => {
                let text = source.map_or_else(WrittenStyle::default, WrittenStyle::of).near(*value);
                let number = style::value_of(&text).unwrap_or(*value);
                Some(Want { number, text: Some(text) })
            }
        };
        let cares = want.is_some();
        steps.push(Step { block_at: run.block_at, word, number, forgets, want, cares });
    }
    steps
}

/// A word on a block that does not need it itself is there for the next block that does.
fn look_ahead(steps: &mut [Step]) {
    let mut ahead: Option<Want> = None;
    for step in steps.iter_mut().rev() {
        if step.want.is_some() {
            ahead = step.want.clone();
        } else if step.word.is_some() {
            step.want = ahead.clone();
        }
        if step.word.is_some() || step.forgets {
            ahead = None;
        }
    }
}

fn decide(steps: &[Step]) -> BTreeMap<u32, Decision> {
    let mut decisions: BTreeMap<u32, Decision> = BTreeMap::new();
    for step in steps {
        let decision = decisions.entry(step.block_at).or_default();
        decision.cares |= step.cares;
        match (&decision.want, &step.want) {
            (_, None) => {}
            (None, Some(want)) => decision.want = Some(want.clone()),
            (Some(a), Some(b)) => decision.mixed |= a.number != b.number,
        }
    }
    decisions
}

/// Runs over the program and settles what each block says.
fn follow(
    sources: &Sources,
    letter: char,
    steps: &[Step],
    decisions: &mut BTreeMap<u32, Decision>,
) -> Result<(), EditError> {
    let mut in_force: Option<f64> = None;
    for step in steps {
        let refusal = || EditError::RunsDifferently { line: line(sources, step.block_at), letter };
        let Some(decision) = decisions.get_mut(&step.block_at) else { continue };
        if step.forgets {
            in_force = None;
        }
        if let Some(word) = step.word {
            match &decision.want {
                Some(_) if decision.mixed && decision.cares => return Err(refusal()),
                Some(want) if !decision.mixed && want.number != word => {
                    decision.written = Some(want.clone());
                }
                _ => {}
            }
            in_force = Some(decision.written.as_ref().map_or(word, |w| w.number));
            continue;
        }
        if let Some(written) = &decision.written {
            in_force = Some(written.number);
        }
        let Some(want) = step.want.as_ref().filter(|w| in_force != Some(w.number)) else {
            continue;
        };
        if in_force.is_none() && step.number.is_none_or(|n| n == want.number) && want.number == 0.0
        {
            continue;
        }
        if decision.mixed {
            return Err(refusal());
        }
        decision.written = Some(want.clone());
        in_force = Some(want.number);
    }
    Ok(())
}

fn write(
    sources: &Sources,
    context: &ReadContext<'_>,
    letter: char,
    (steps, decisions): (&[Step], &BTreeMap<u32, Decision>),
) -> Result<Vec<Patch>, EditError> {
    let words: BTreeMap<u32, Option<f64>> = steps.iter().map(|s| (s.block_at, s.word)).collect();
    let mut patches = Vec::new();
    for (&block_at, decision) in decisions {
        let Some(want) = &decision.written else { continue };
        let text = want
            .text
            .as_deref()
            .ok_or_else(|| EditError::NotPlainNumber { line: line(sources, block_at), letter })?;
        patches.push(match words.get(&block_at).copied().flatten() {
            Some(word) => {
                let old = number_word(sources, block_at, letter, Some(word))?;
                Patch { span: old.span, text: text.to_owned() }
            }
            None => insertion(sources, context, block_at, (letter, text))?,
        });
    }
    Ok(patches)
}
