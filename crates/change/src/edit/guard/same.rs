//! What counts as the same move and the same event.

use super::{Pair, SAME_MM};
use crate::edit::EditError;
use kw_nc::{Event, EventKind, Move};

/// Which events must stay.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Compared {
    All,
    AllButSpindle,
}

/// The same kind of move for the same reason.
pub(super) fn same_kind(a: &Move<'_>, b: &Move<'_>) -> bool {
    a.kind == b.kind && a.origin == b.origin
}

/// The same way of all axes.
pub(super) fn same_axes(a: &Move<'_>, b: &Move<'_>) -> bool {
    a.to_mm.distance(b.to_mm) <= SAME_MM && a.rotary_deg == b.rotary_deg && a.arc == b.arc
}

/// The same event; messages stand at other places of the new text.
fn same_event(a: &Event, b: &Event) -> bool {
    let messages = |a: &EventKind, b: &EventKind| {
        matches!((a, b), (EventKind::Message(_), EventKind::Message(_)))
    };
    a.before_move == b.before_move && (a.kind == b.kind || messages(&a.kind, &b.kind))
}

/// Refuses where events differ.
pub(super) fn compare_events(pair: &Pair<'_>, compared: Compared) -> Result<(), EditError> {
    let counts =
        |e: &&Event| compared == Compared::All || !matches!(e.kind, EventKind::Spindle { .. });
    let mut old = pair.old.reading.toolpath.events.iter().filter(counts);
    let mut new = pair.new.reading.toolpath.events.iter().filter(counts);
    loop {
        match (old.next(), new.next()) {
            (None, None) => return Ok(()),
            (Some(a), Some(b)) if same_event(a, b) => {}
            (a, _) => {
                let at = a.map_or(0, |e| e.block_at);
                return Err(pair.refuse(at, "something else would be switched"));
            }
        }
    }
}

/// Whether `more` is `less` with one stop for a person put in.
pub(super) fn one_more(less: &[Event], more: &[Event]) -> bool {
    let same = less.iter().zip(more).take_while(|(a, b)| same_event(a, b)).count();
    let rest = more.get(same + 1..).unwrap_or_default();
    more.len() == less.len() + 1
        && matches!(more[same].kind, EventKind::Stop { .. })
        && less[same..].iter().zip(rest).all(|(a, b)| same_event(a, b))
}
