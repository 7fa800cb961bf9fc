//! Rounds of annealing in lanes, and the proofs between them.

use super::anneal::{Annealer, Run, Tables};
use super::groups::fewest_changes;
use super::model::Model;
use super::moves::State;
use super::proof::Proof;
use super::start::{group_by_group, nearest_first};
use super::{EntryCosts, EntryTour, Problem, Rules, Tour, TourError, TourStats};
use crate::dice::Dice;
use crate::search::{Ended, MAX_LANES, SearchOptions, run_lanes};

/// The best order found for a problem.
///
/// Errors: contradictory rules (the circle is named), groups or costs that do not fit. An empty
/// problem gives an empty order. Without iterations the constructed start is returned.
pub fn solve(problem: &Problem, options: SearchOptions) -> Result<Tour, TourError> {
    let found = solve_with_entries(&problem.rules, problem, options)?;
    let order = found.order.iter().map(|choice| choice.node).collect();
    let EntryTour { cost, changes, cost_at_least, stats, .. } = found;
    Ok(Tour { order, cost, changes, cost_at_least, stats })
}

/// The best order found, together with the entry to use for each node.
///
/// Moves change the order and the entries; between rounds the entries are made the exact best for the
/// best order. Errors: as [`solve`], and nodes without entries or with too many.
pub fn solve_with_entries(
    rules: &Rules,
    costs: &impl EntryCosts,
    options: SearchOptions,
) -> Result<EntryTour, TourError> {
    let model = Model::new(rules, costs)?;
    let start = starting_order(rules, &model, options.start)?;
    let mut search = Search::new(&model, start, options);
    let ended = search.rounds()?;
    Ok(search.finish(rules, ended))
}

/// The order given, if it keeps the rules and is no worse than the constructed one.
fn starting_order(
    rules: &Rules,
    model: &Model,
    given: Option<&[usize]>,
) -> Result<State, TourError> {
    let precedence = rules.precedence(model.inner_nodes())?;
    let built = match &rules.groups {
        None => nearest_first(model),
        Some(groups) => {
            group_by_group(model, groups, &fewest_changes(&precedence, groups, rules.loaded))
        }
    };
    let built = State::new(model, built);
    let Some(given) = given.filter(|given| precedence.allows(given)) else { return Ok(built) };
    let given = State::new(model, model.with_ends(given)?);
    Ok(if given.total <= built.total { given } else { built })
}

struct Lane {
    dice: Dice,
    state: State,
    best: State,
}

struct Search<'a> {
    model: &'a Model,
    options: SearchOptions<'a>,
    lanes: Vec<Lane>,
    best: State,
    proof: Proof<'a>,
    stats: TourStats,
}

impl<'a> Search<'a> {
    fn new(model: &'a Model, start: State, options: SearchOptions<'a>) -> Self {
        let lane = |number| Lane {
            dice: Dice::new(options.seed, number),
            state: start.clone(),
            best: start.clone(),
        };
        let lanes = (0..options.lanes.clamp(1, MAX_LANES)).map(lane).collect();
        let stats = TourStats { moves: 0, accepted: 0, rounds: 0, ended: Ended::Iterations };
        Self { model, options, lanes, best: start, proof: Proof::new(model, options), stats }
    }

    fn rounds(&mut self) -> Result<Ended, TourError> {
        let tables = Tables::new(self.model);
        let annealer =
            Annealer { model: self.model, tables: &tables, should_stop: self.options.should_stop };
        let mut dice = Dice::new(self.options.seed, MAX_LANES);
        let (hot, cold) = annealer.temperatures(&self.best, &mut dice);
        let mut left = self.options.iterations;
        loop {
            if self.stats.rounds >= FIRST_PROOF_ROUND {
                self.proof.advance(&mut self.best);
            }
            if self.proof.at_least >= self.best.total {
                return Ok(Ended::Proven);
            }
            if left == 0 {
                return Ok(Ended::Iterations);
            }
            let moves = self.round_length().min(left);
            let stopped = self.round(&annealer, Run { hot, cold, moves });
            self.choose_best_entries()?;
            if stopped {
                return Ok(Ended::Stopped);
            }
            left -= moves;
        }
    }

    /// Moves of the next round in each lane.
    fn round_length(&self) -> u64 {
        (FIRST_ROUND * self.model.inner_nodes() as u64) << self.stats.rounds.min(LONGEST_ROUND)
    }

    /// One round in all lanes; true if it was stopped.
    fn round(&mut self, annealer: &Annealer, run: Run) -> bool {
        let done = run_lanes(&mut self.lanes, |lane| {
            annealer.run(run, &mut lane.state, &mut lane.best, &mut lane.dice)
        });
        for lane in &self.lanes {
            if lane.best.total < self.best.total {
                self.best = lane.best.clone();
            }
        }
        self.stats.rounds += 1;
        self.stats.moves += done.moves;
        self.stats.accepted += done.accepted;
        done.stopped
    }

    /// Makes the entries of the best order the best there are for it.
    fn choose_best_entries(&mut self) -> Result<(), TourError> {
        if self.model.has_choices() {
            let inner = self.model.without_ends(&self.best.order);
            let nodes: Vec<usize> = inner.iter().map(|choice| choice.node).collect();
            self.best = State::new(self.model, self.model.with_ends(&nodes)?);
        }
        Ok(())
    }

    fn finish(mut self, rules: &Rules, ended: Ended) -> EntryTour {
        let order = self.model.without_ends(&self.best.order);
        let nodes: Vec<usize> = order.iter().map(|choice| choice.node).collect();
        let changes = rules.changes(&nodes);
        let of_changes = changes as i64 * self.model.change_price;
        let bound = self.proof.at_least.saturating_sub(of_changes);
        let useful = self.model.prices.is_some() && (self.model.change_price == 0 || bound >= 0);
        self.stats.ended = ended;
        EntryTour {
            order,
            cost: self.best.total - of_changes,
            changes,
            cost_at_least: useful.then_some(bound),
            stats: self.stats,
        }
    }
}

/// Moves for each node in the first round of each lane.
const FIRST_ROUND: u64 = 2000;

/// Doublings of the length of a round.
const LONGEST_ROUND: u32 = 6;

/// Rounds before the first proof is tried; by then the order found is a good limit.
const FIRST_PROOF_ROUND: u32 = 2;
