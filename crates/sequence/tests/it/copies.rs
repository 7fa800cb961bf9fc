//! Copies of one program laid out side by side and cut together: tools and air travel.

use kw_sequence::SearchOptions;
use kw_sequence::tour::{
    CostMatrix, EntryChoice, EntryCosts, Problem, Rules, best_entries, price, solve,
    solve_with_entries,
};

/// Copies of an invented part on a grid; each copy is a chain of cuts, one after the other.
struct Copies {
    columns: usize,
    copies: usize,
    /// Tool and place inside the part, in mm, of each cut in the order of the program.
    cuts: Vec<(u32, i64, i64)>,
}

impl Copies {
    fn nodes(&self) -> usize {
        self.copies * self.cuts.len()
    }

    /// Place on the sheet in mm.
    fn at(&self, node: usize) -> (i64, i64) {
        let (copy, cut) = (node / self.cuts.len(), node % self.cuts.len());
        let (column, row) = ((copy % self.columns) as i64, (copy / self.columns) as i64);
        (column * 400 + self.cuts[cut].1, row * 300 + self.cuts[cut].2)
    }

    /// Both axes move at once at the same speed, so the longer way counts.
    fn travel(a: (i64, i64), b: (i64, i64)) -> i64 {
        (a.0 - b.0).abs().max((a.1 - b.1).abs())
    }

    fn problem(&self) -> Problem {
        let cuts = self.cuts.len();
        let tool = |node: usize| self.cuts[node % cuts].0;
        let costs = CostMatrix::from_fn(self.nodes(), |a, b| Self::travel(self.at(a), self.at(b)));
        // within a part: tool after tool, and the last cut frees it
        let later = |a: usize, b: usize| tool(a) < tool(b) || (b % cuts == cuts - 1 && a < b);
        let of_copy = |copy: usize| copy * cuts..(copy + 1) * cuts;
        let before = (0..self.copies)
            .flat_map(|copy| of_copy(copy).flat_map(move |a| of_copy(copy).map(move |b| (a, b))))
            .filter(|&(a, b)| later(a, b))
            .collect();
        let groups = Some((0..self.nodes()).map(tool).collect());
        let rules = Rules { before, groups, loaded: Some(99), ..Rules::default() };
        Problem { costs: costs.unwrap(), rules }
    }
}

/// Four tools at one place: the shortest way can be worked out by hand.
#[test]
fn tools_are_changed_once_each_and_the_way_is_short() {
    let cuts = (0..4).map(|tool| (tool, 0, 0)).collect();
    let problem = Copies { columns: 5, copies: 25, cuts }.problem();
    let tour = solve(&problem, SearchOptions::with_iterations(400_000)).unwrap();
    assert_eq!(tour.changes, 4);
    // four passes over five columns of five places: 20 steps of 300 and 4 of 400 each
    let best = 4 * (20 * 300 + 4 * 400);
    assert!(tour.cost >= best && tour.cost <= best * 103 / 100, "{}", tour.cost);
}

/// Twenty cuts with four tools, fifty times: a thousand cuts.
#[test]
fn fifty_parts_together_travel_far_less_than_one_after_another() {
    let cuts: Vec<(u32, i64, i64)> =
        (0..20).map(|cut| (cut / 5, (cut as i64 * 137) % 380, (cut as i64 * 211) % 280)).collect();
    let problem = Copies { columns: 10, copies: 50, cuts }.problem();
    let one_by_one: Vec<usize> = (0..problem.costs.nodes()).collect();
    let (changes, travel_mm) = price(&problem, &one_by_one).unwrap().unwrap();
    assert_eq!(changes, 50 * 4);
    let tour = solve(&problem, SearchOptions::with_iterations(1_000_000)).unwrap();
    assert_eq!(price(&problem, &tour.order).unwrap(), Some((4, tour.cost)));
    // trips to a place where tools are changed, 200 against 4, are not counted here
    assert!(tour.cost * 10 <= travel_mm * 7, "{} of {travel_mm}", tour.cost);
}

/// Squares that may be started, and are left again, at any corner.
struct Squares {
    columns: usize,
    count: usize,
}

impl EntryCosts for Squares {
    fn nodes(&self) -> usize {
        self.count
    }

    fn entries(&self, _node: usize) -> usize {
        4
    }

    fn own(&self, _choice: EntryChoice) -> i64 {
        0
    }

    fn step(&self, from: EntryChoice, to: EntryChoice) -> i64 {
        let corner = |choice: EntryChoice| {
            let (column, row) = (choice.node % self.columns, choice.node / self.columns);
            let (right, up) = (choice.entry % 2, choice.entry / 2);
            (column as i64 * 100 + right as i64 * 80, row as i64 * 100 + up as i64 * 80)
        };
        Copies::travel(corner(from), corner(to))
    }
}

#[test]
fn squares_are_started_at_the_corner_that_is_nearest() {
    let squares = Squares { columns: 6, count: 36 };
    let options = SearchOptions::with_iterations(400_000);
    let tour = solve_with_entries(&Rules::default(), &squares, options).unwrap();
    let order: Vec<usize> = tour.order.iter().map(|choice| choice.node).collect();
    assert_eq!(best_entries(&order, &squares).unwrap().1, tour.cost);
    // every step must cross a gap of 20 at least
    assert!(tour.cost >= 35 * 20, "{}", tour.cost);
    let fixed = CostMatrix::from_fn(36, |a, b| {
        let first = |node| EntryChoice { node, entry: 0 };
        squares.step(first(a), first(b))
    });
    let fixed = Problem { costs: fixed.unwrap(), rules: Rules::default() };
    let fixed = solve(&fixed, options).unwrap();
    assert_eq!(fixed.cost, 35 * 100);
    assert!(tour.cost * 10 <= fixed.cost * 7, "{} of {}", tour.cost, fixed.cost);
}
