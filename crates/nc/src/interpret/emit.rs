//! Adding motions and events to the toolpath.

use super::Interpreter;
use crate::toolpath::{ArcData, Event, EventKind, MoveKind, MoveState, NewMove, Origin};
use kw_geometry::Vec3;
use std::collections::BTreeMap;

/// Finds equal states again, so that each is kept once.
#[derive(Clone, Debug, Default)]
pub(crate) struct StateTable {
    known: BTreeMap<StateKey, u32>,
    /// Index of the present state; `None` after it changed.
    current: Option<u32>,
}

type StateKey = ([u64; 5], [u32; 2], [u8; 6], [bool; 5]);

fn key_of(state: &MoveState) -> StateKey {
    let tip = state.tip_offset_mm;
    (
        [state.spindle_rpm, tip.x, tip.y, tip.z, state.applied_length_mm].map(f64::to_bits),
        [u32::from(state.tool.is_some()), state.tool.unwrap_or(0)],
        [
            (state.head >> 8) as u8,
            state.head as u8,
            state.spindle as u8,
            state.work_system,
            state.corner as u8,
            state.compensation as u8,
        ],
        [state.length_applied, state.mist, state.flood, state.knife_on, state.head_down],
    )
}

/// A motion to add, without what every motion of its block shares.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Step {
    /// Kind.
    pub(crate) kind: MoveKind,
    /// Why it runs.
    pub(crate) origin: Origin,
    /// Axis position at its end, mm.
    pub(crate) end: Vec3,
    /// Arc data, for arcs.
    pub(crate) arc: Option<ArcData>,
    /// Rotary position at its end, if it changes, degrees.
    pub(crate) rotary_deg: Option<f64>,
    /// Feed, mm/min or degrees/min; 0 for rapids.
    pub(crate) feed: f64,
}

impl Interpreter<'_> {
    /// The state of motions from now on may differ.
    pub(crate) fn state_changed(&mut self) {
        self.states.current = None;
    }

    #[inline]
    fn state_index(&mut self) -> u32 {
        match self.states.current {
            Some(index) => index,
            None => self.intern_state(),
        }
    }

    #[cold]
    fn intern_state(&mut self) -> u32 {
        let next = self.path.states.len() as u32;
        let index = *self.states.known.entry(key_of(&self.state)).or_insert(next);
        if index == next {
            self.path.states.push(self.state.clone());
        }
        self.states.current = Some(index);
        index
    }

    /// Adds a motion and goes to its end.
    #[inline]
    pub(crate) fn push(&mut self, block_at: u32, step: Step) {
        let state = self.state_index();
        if self.path.is_empty() {
            self.stated.first_move = Some(block_at);
        }
        if step.kind != MoveKind::Rapid && self.stated.first_feed_move.is_none() {
            self.stated.first_feed_move = Some(block_at);
        }
        self.path.push(NewMove {
            kind: step.kind,
            origin: step.origin,
            end_mm: step.end,
            arc: step.arc,
            rotary_deg: step.rotary_deg,
            feed: step.feed,
            block_at,
            state,
        });
        self.axis = step.end;
        if let Some(rotary) = step.rotary_deg {
            self.rotary_deg = rotary;
        }
    }

    /// Adds an event before the next motion.
    pub(crate) fn event(&mut self, block_at: u32, kind: EventKind) {
        let before_move = self.path.len() as u32;
        self.path.events.push(Event { before_move, block_at, kind });
    }
}
