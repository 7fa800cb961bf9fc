//! What an edit of feed or speed wants of every move.

use super::scope::line;
use super::traced::Traced;
use super::{Amount, Edit, EditError, EditRequest, FeedPart};
use kw_base::Sources;
use kw_nc::toolpath::Origin;
use kw_nc::{BlockRun, FeedMode, Move, MoveKind, SpindleTurn};

/// What is wanted of the F or S in force during a move.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Wish {
    /// Anything will do.
    Free,
    /// What it is.
    Keep,
    /// This number.
    Set(f64),
}

/// The wishes of all moves.
pub(super) fn of_moves(
    sources: &Sources,
    traced: &Traced,
    request: &EditRequest,
) -> Result<Vec<Wish>, EditError> {
    let path = &traced.reading.toolpath;
    path.moves()
        .map(|m| {
            let run = traced.run_of_move.get(m.index).and_then(|&r| traced.runs.get(r as usize));
            let Some(run) = run else { return Ok(Wish::Keep) };
            let in_scope = || request.scope.holds(&m, sources);
            match request.edit {
                Edit::Feed { part, amount } => match m.kind {
                    MoveKind::Rapid => Ok(Wish::Free),
                    MoveKind::Line | MoveKind::Arc if part_of(&m) == part && in_scope() => {
                        feed(sources, run, amount)
                    }
                    _ => Ok(Wish::Keep),
                },
                Edit::Speed(amount) => {
                    let free = m.kind == MoveKind::Rapid || m.state.spindle == SpindleTurn::Still;
                    Ok(match amount {
                        _ if free => Wish::Free,
                        _ if !in_scope() => Wish::Keep,
                        Amount::Factor(_) if run.speed_rpm <= 0.0 => Wish::Keep,
                        Amount::Factor(factor) => Wish::Set(run.speed_rpm * factor),
                        Amount::Value(value) => Wish::Set(value),
                    })
                }
                _ => Ok(Wish::Keep),
            }
        })
        .collect()
}

/// Whether a feed move counts as a cut or a plunge.
pub(super) fn part_of(m: &Move<'_>) -> FeedPart {
    let goes_down = m.tip_to_mm().z < m.tip_from_mm().z - 1e-6;
    if goes_down || m.origin == Origin::Cycle { FeedPart::Plunge } else { FeedPart::Cut }
}

fn feed(sources: &Sources, run: &BlockRun, amount: Amount) -> Result<Wish, EditError> {
    match (amount, run.feed) {
        (Amount::Value(_), _) if run.feed_mode != FeedMode::PerMinute => {
            Err(EditError::NotPerMinute { line: line(sources, run.block_at) })
        }
        (Amount::Value(value), _) => Ok(Wish::Set(value / run.feed_unit_mm_min)),
        (Amount::Factor(factor), Some(number)) if number > 0.0 => Ok(Wish::Set(number * factor)),
        (Amount::Factor(_), _) => Ok(Wish::Keep),
    }
}

/// The one wish of all moves of each run.
pub(super) fn of_runs(
    sources: &Sources,
    traced: &Traced,
    of_moves: &[Wish],
) -> Result<Vec<Wish>, EditError> {
    let mut runs = vec![Wish::Free; traced.runs.len()];
    for (&wish, &run) in of_moves.iter().zip(&traced.run_of_move) {
        let Some(slot) = runs.get_mut(run as usize) else { continue };
        match (*slot, wish) {
            (_, Wish::Free) => {}
            (Wish::Free, wish) => *slot = wish,
            (old, new) if old == new => {}
            _ => {
                let block_at = traced.runs[run as usize].block_at;
                return Err(EditError::MixedBlock { line: line(sources, block_at) });
            }
        }
    }
    Ok(runs)
}
