//! An order of choices under search and the moves on it.

use super::model::Model;

/// An order of choices with both ends, the place of each node in it, and its total.
#[derive(Clone)]
pub(super) struct State {
    pub order: Vec<u32>,
    pub place: Vec<u32>,
    pub total: i64,
}

/// The blocks `start+1..=middle` and `middle+1..=end` change places; `start < middle < end`, and
/// `end` lies before the last place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Swap {
    pub start: usize,
    pub middle: usize,
    pub end: usize,
}

impl State {
    pub fn new(model: &Model, order: Vec<u32>) -> Self {
        let mut place = vec![0; order.len()];
        for (at, &choice) in order.iter().enumerate() {
            place[model.node_of(choice) as usize] = at as u32;
        }
        let total = model.total(&order);
        Self { order, place, total }
    }

    /// What a swap adds to the total.
    pub fn swap_rise(&self, model: &Model, swap: Swap) -> i64 {
        let Swap { start, middle, end } = swap;
        let order = &self.order[..];
        let (a, b, c) = (order[start], order[middle], order[end]);
        let (after_a, after_b, after_c) = (order[start + 1], order[middle + 1], order[end + 1]);
        model.cost(a, after_b) + model.cost(c, after_a) + model.cost(b, after_c)
            - model.cost(a, after_a)
            - model.cost(b, after_b)
            - model.cost(c, after_c)
    }

    /// Whether a swap keeps every rule: no direct rule may lead from the first block to the second.
    pub fn swap_keeps_rules(&self, model: &Model, swap: Swap) -> bool {
        let Swap { start, middle, end } = swap;
        if middle - start <= end - middle {
            let second = middle as u32 + 1..=end as u32;
            self.order[start + 1..=middle].iter().all(|&choice| {
                let later = model.precedence.successors(model.node_of(choice) as usize);
                !later.iter().any(|&later| second.contains(&self.place[later as usize]))
            })
        } else {
            let first = start as u32 + 1..=middle as u32;
            self.order[middle + 1..=end].iter().all(|&choice| {
                let earlier = model.precedence.predecessors(model.node_of(choice) as usize);
                !earlier.iter().any(|&earlier| first.contains(&self.place[earlier as usize]))
            })
        }
    }

    pub fn swap(&mut self, model: &Model, swap: Swap, rise: i64) {
        let Swap { start, middle, end } = swap;
        self.order[start + 1..=end].rotate_left(middle - start);
        self.renumber(model, start + 1, end);
        self.total += rise;
    }

    /// What turning the block `from..=to` round adds; neither end of the order is in it.
    pub fn turn_rise(&self, model: &Model, from: usize, to: usize) -> i64 {
        let order = &self.order[..];
        let (before, after) = (order[from - 1], order[to + 1]);
        let outside = model.cost(before, order[to]) + model.cost(order[from], after)
            - model.cost(before, order[from])
            - model.cost(order[to], after);
        if model.symmetric {
            return outside;
        }
        let inside: i64 = order[from..=to]
            .windows(2)
            .map(|step| model.cost(step[1], step[0]) - model.cost(step[0], step[1]))
            .sum();
        outside + inside
    }

    /// Whether turning the block round keeps every rule: no direct rule may lie inside it.
    pub fn turn_keeps_rules(&self, model: &Model, from: usize, to: usize) -> bool {
        let block = from as u32..=to as u32;
        self.order[from..=to].iter().all(|&choice| {
            let later = model.precedence.successors(model.node_of(choice) as usize);
            !later.iter().any(|&later| block.contains(&self.place[later as usize]))
        })
    }

    pub fn turn(&mut self, model: &Model, from: usize, to: usize, rise: i64) {
        self.order[from..=to].reverse();
        self.renumber(model, from, to);
        self.total += rise;
    }

    /// What another choice for the node at `at`, not an end, adds to the total.
    pub fn choice_rise(&self, model: &Model, at: usize, choice: u32) -> i64 {
        let (before, now, after) = (self.order[at - 1], self.order[at], self.order[at + 1]);
        let with = |choice: u32| {
            model.cost(before, choice) + model.cost(choice, after) + model.own_cost(choice)
        };
        with(choice) - with(now)
    }

    pub fn choose(&mut self, at: usize, choice: u32, rise: i64) {
        self.order[at] = choice;
        self.total += rise;
    }

    fn renumber(&mut self, model: &Model, from: usize, to: usize) {
        for at in from..=to {
            self.place[model.node_of(self.order[at]) as usize] = at as u32;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dice::Dice;
    use crate::tour::{EntryChoice, EntryCosts, Rules};

    /// Eight nodes, one or two entries each, uneven costs made up from the numbers.
    struct MadeUp;

    impl EntryCosts for MadeUp {
        fn nodes(&self) -> usize {
            8
        }
        fn entries(&self, node: usize) -> usize {
            1 + node % 2
        }
        fn own(&self, choice: EntryChoice) -> i64 {
            3 * choice.entry as i64
        }
        fn step(&self, from: EntryChoice, to: EntryChoice) -> i64 {
            ((7 * from.node + 13 * to.node + 5 * from.entry * to.node) % 31) as i64
        }
    }

    /// Every move is judged as the whole order would be, counted from scratch.
    #[test]
    fn rises_and_rules_agree_with_the_whole_order() {
        let rules = Rules { before: vec![(0, 3), (3, 6), (1, 6), (5, 2)], ..Rules::default() };
        let model = Model::new(&rules, &MadeUp).unwrap();
        let precedence = rules.precedence(8).unwrap();
        let start: Vec<usize> = vec![0, 1, 3, 5, 4, 6, 2, 7];
        let mut state = State::new(&model, model.with_ends(&start).unwrap());
        let mut dice = Dice::new(1, 0);
        let mut kept = 0;
        for round in 0..4000 {
            let mut changed = state.clone();
            let (rise, allowed) = match round % 3 {
                0 => {
                    let at = [1 + dice.below(8), 1 + dice.below(8)];
                    let (from, to) = (at[0].min(at[1]), at[0].max(at[1]));
                    let rise = state.turn_rise(&model, from, to);
                    changed.turn(&model, from, to, rise);
                    (rise, state.turn_keeps_rules(&model, from, to))
                }
                1 => {
                    let (start, first, second) =
                        (dice.below(7), 1 + dice.below(7), 1 + dice.below(7));
                    let swap = Swap { start, middle: start + first, end: start + first + second };
                    if swap.end > 8 {
                        continue;
                    }
                    let rise = state.swap_rise(&model, swap);
                    changed.swap(&model, swap, rise);
                    (rise, state.swap_keeps_rules(&model, swap))
                }
                _ => {
                    let at = 1 + dice.below(8);
                    let choices = model.choices_of(model.node_of(state.order[at]));
                    let choice = choices.start + dice.below(choices.len()) as u32;
                    let rise = state.choice_rise(&model, at, choice);
                    changed.choose(at, choice, rise);
                    (rise, true)
                }
            };
            let fresh = State::new(&model, changed.order.clone());
            assert_eq!((fresh.total, &fresh.place), (changed.total, &changed.place));
            assert_eq!(rise, fresh.total - state.total);
            let inner = model.without_ends(&changed.order);
            let nodes: Vec<usize> = inner.iter().map(|choice| choice.node).collect();
            assert_eq!(precedence.allows(&nodes), allowed, "{nodes:?}");
            if allowed {
                kept += 1;
                state = changed;
            }
        }
        assert!(kept > 500, "{kept}");
    }
}
