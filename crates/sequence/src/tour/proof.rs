//! What no order can go below, and the exact programme that raises it.

use super::exact::{Exact, Work, cheapest_below};
use super::model::Model;
use super::moves::State;
use crate::search::SearchOptions;

/// A growing lower bound. It starts as that of the assignment.
pub(super) struct Proof<'a> {
    model: &'a Model,
    options: SearchOptions<'a>,
    /// No order has a total below this.
    pub at_least: i64,
    /// How far above the bound the exact programme is asked to look next; 0 before the first time.
    step: i64,
    failures: u32,
}

/// The exact programme is not tried again after this many failures.
const MAX_FAILURES: u32 = 2;

/// Most partial orders that one call of the exact programme may make, about half a second.
const MAX_WORK: u64 = 3_000_000;

impl<'a> Proof<'a> {
    pub fn new(model: &'a Model, options: SearchOptions<'a>) -> Self {
        let at_least = model.prices.as_ref().map_or(i64::MIN, |prices| prices.bound);
        Self { model, options, at_least, step: 0, failures: 0 }
    }

    /// Asks for orders below limits that rise from the bound to the best order known, until one is
    /// found (which is then the cheapest), none is left, or it takes too much work.
    pub fn advance(&mut self, best: &mut State) {
        let Some(prices) = &self.model.prices else { return };
        let partials = MAX_WORK.min(self.options.iterations);
        let work = Work { partials, should_stop: self.options.should_stop };
        while self.at_least < best.total && self.failures < MAX_FAILURES {
            if self.step == 0 {
                self.step = (best.total - self.at_least) / 16;
            }
            self.step = self.step.max(1);
            let limit = self.at_least.saturating_add(self.step).min(best.total);
            match cheapest_below(self.model, prices, limit, work) {
                Exact::NothingBelow => {
                    self.at_least = limit;
                    self.step = self.step.saturating_mul(2);
                }
                Exact::Cheapest(order) => {
                    *best = State::new(self.model, order);
                    self.at_least = best.total;
                }
                Exact::GaveUp => {
                    self.step /= 4;
                    self.failures += 1;
                    return;
                }
            }
        }
    }
}
