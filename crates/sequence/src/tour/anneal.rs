//! One run of annealing from hot to cold.

use super::model::Model;
use super::moves::{State, Swap};
use crate::dice::{Dice, Lengths, Thresholds};
use crate::search::{Done, MOVES_PER_QUESTION};

/// Temperatures in cost and the number of moves of one run.
#[derive(Clone, Copy, Debug)]
pub(super) struct Run {
    pub hot: f64,
    pub cold: f64,
    pub moves: u64,
}

/// Tables shared by all lanes.
pub(super) struct Tables {
    thresholds: Thresholds,
    lengths: Lengths,
    turns_in_256: u64,
}

impl Tables {
    pub fn new(model: &Model) -> Self {
        let turns_in_256 = if model.symmetric { 100 } else { 6 };
        Self {
            thresholds: Thresholds::new(),
            lengths: Lengths::new(model.inner_nodes()),
            turns_in_256,
        }
    }
}

/// Moves between two changes of temperature.
const MOVES_PER_STEP: u64 = 256;

/// One move in four changes an entry, where there are several: these bits of the draw are all 0.
const CHOICE_BITS: u64 = 0x600;

/// Blocks longer than this are not turned round where costs differ by direction.
const LONGEST_UNEVEN_TURN: usize = 40;

pub(super) struct Annealer<'a> {
    pub model: &'a Model,
    pub tables: &'a Tables,
    pub should_stop: &'a (dyn Fn() -> bool + Sync),
}

impl Annealer<'_> {
    /// Anneals `state`; `best` is replaced whenever something cheaper is met.
    pub fn run(&self, run: Run, state: &mut State, best: &mut State, dice: &mut Dice) -> Done {
        let mut done = Done::default();
        if self.model.inner_nodes() < 2 {
            return done;
        }
        let steps = (run.moves / MOVES_PER_STEP).max(1) as f64;
        let cooling = kw_base::math::pow(run.cold / run.hot, 1.0 / steps);
        let mut temperature = run.hot;
        while done.moves < run.moves {
            if done.moves.is_multiple_of(MOVES_PER_QUESTION) && (self.should_stop)() {
                done.stopped = true;
                break;
            }
            let moves = MOVES_PER_STEP.min(run.moves - done.moves);
            for _ in 0..moves {
                if self.try_move(temperature, state, dice) {
                    done.accepted += 1;
                    if state.total < best.total {
                        best.clone_from(state);
                    }
                }
            }
            done.moves += moves;
            temperature *= cooling;
        }
        done
    }

    fn try_move(&self, temperature: f64, state: &mut State, dice: &mut Dice) -> bool {
        let bits = dice.bits();
        let rise_allowed = self.tables.thresholds.rise(temperature, bits);
        if (bits & 255) < self.tables.turns_in_256 {
            return self.try_turn(rise_allowed, state, dice);
        }
        if bits & CHOICE_BITS == 0 && self.model.has_choices() {
            return self.try_choice(rise_allowed, state, dice);
        }
        let swap =
            if bits & 256 == 0 { self.any_swap(dice) } else { self.swap_to_near(state, dice) };
        let Some(swap) = swap else { return false };
        let rise = state.swap_rise(self.model, swap);
        if rise > rise_allowed || !state.swap_keeps_rules(self.model, swap) {
            return false;
        }
        state.swap(self.model, swap, rise);
        true
    }

    fn try_turn(&self, rise_allowed: i64, state: &mut State, dice: &mut Dice) -> bool {
        let near = self.model.symmetric && dice.below(4) > 0;
        let block = if near { self.turn_to_near(state, dice) } else { self.any_turn(dice) };
        let Some((from, to)) = block else { return false };
        let rise = state.turn_rise(self.model, from, to);
        if rise > rise_allowed || !state.turn_keeps_rules(self.model, from, to) {
            return false;
        }
        state.turn(self.model, from, to, rise);
        true
    }

    /// A block anywhere, a short one more often.
    fn any_turn(&self, dice: &mut Dice) -> Option<(usize, usize)> {
        let nodes = self.model.inner_nodes();
        let from = 1 + dice.below(nodes);
        let to = from + self.tables.lengths.draw(dice);
        let long = !self.model.symmetric && to - from > LONGEST_UNEVEN_TURN;
        (to <= nodes && !long).then_some((from, to))
    }

    /// The block whose turning brings a near neighbour next to a node.
    fn turn_to_near(&self, state: &State, dice: &mut Dice) -> Option<(usize, usize)> {
        let at = dice.below(self.model.size - 1);
        let near = self.model.near(state.order[at]);
        let wanted = state.place[*near.get(dice.below(near.len()))? as usize] as usize;
        let block = if wanted > at { (at + 1, wanted) } else { (wanted, at.checked_sub(1)?) };
        (block.0 > 0 && block.0 < block.1 && block.1 <= self.model.inner_nodes()).then_some(block)
    }

    /// Another entry for any node.
    fn try_choice(&self, rise_allowed: i64, state: &mut State, dice: &mut Dice) -> bool {
        let at = 1 + dice.below(self.model.inner_nodes());
        let choices = self.model.choices_of(self.model.node_of(state.order[at]));
        let choice = choices.start + dice.below(choices.len()) as u32;
        let rise = state.choice_rise(self.model, at, choice);
        if choice == state.order[at] || rise > rise_allowed {
            return false;
        }
        state.choose(at, choice, rise);
        true
    }

    /// Two neighbouring blocks anywhere, short ones more often.
    fn any_swap(&self, dice: &mut Dice) -> Option<Swap> {
        let start = dice.below(self.model.size - 2);
        let middle = start + self.tables.lengths.draw(dice);
        let end = middle + self.tables.lengths.draw(dice);
        (end < self.model.size - 1).then_some(Swap { start, middle, end })
    }

    /// A swap that brings a near neighbour right behind a node; `None` if it is there already.
    fn swap_to_near(&self, state: &State, dice: &mut Dice) -> Option<Swap> {
        let at = dice.below(self.model.size - 1);
        let near = self.model.near(state.order[at]);
        let wanted = state.place[*near.get(dice.below(near.len()))? as usize] as usize;
        let length = self.tables.lengths.draw(dice);
        let from_far_end = dice.bits() & 1 == 0;
        let swap = if wanted < at {
            let middle = if from_far_end { wanted + length - 1 } else { at.checked_sub(length)? };
            Swap { start: wanted - 1, middle, end: at }
        } else if from_far_end {
            Swap { start: at, middle: wanted - 1, end: wanted - 1 + length }
        } else {
            Swap { start: at.checked_sub(length)?, middle: at, end: wanted - 1 }
        };
        let proper = swap.start < swap.middle && swap.middle < swap.end;
        (proper && swap.end < self.model.size - 1).then_some(swap)
    }

    /// Temperatures that fit what moves around `state` change.
    pub fn temperatures(&self, state: &State, dice: &mut Dice) -> (f64, f64) {
        let mut changes: Vec<i64> = Vec::new();
        for _ in 0..SAMPLES {
            let Some(change) = self.typical_change(state, dice) else { continue };
            let of_group = self.model.change_price > 0 && change > self.model.change_price / 2;
            changes.extend((change > 0 && !of_group).then_some(change));
        }
        changes.sort_unstable();
        let hot = changes.get(changes.len() / 4).map_or(1.0, |&change| change as f64);
        (hot, hot / COOLING)
    }

    /// By how much a random move would change the total, up or down; `None` if it is not allowed.
    fn typical_change(&self, state: &State, dice: &mut Dice) -> Option<i64> {
        if self.model.has_choices() && dice.below(4) == 0 {
            let at = 1 + dice.below(self.model.inner_nodes());
            let choices = self.model.choices_of(self.model.node_of(*state.order.get(at)?));
            let choice = choices.start + dice.below(choices.len()) as u32;
            return Some(state.choice_rise(self.model, at, choice).abs());
        }
        let swap = self.swap_to_near(state, dice)?;
        let allowed = state.swap_keeps_rules(self.model, swap);
        allowed.then(|| state.swap_rise(self.model, swap).abs())
    }
}

const SAMPLES: usize = 4000;

/// Hot over cold temperature of a full run.
const COOLING: f64 = 50.0;
