//! When the sheet falls apart: the cells that were cut through are put back from the last move to
//! the first; where that joins two bodies, the move had parted them.

use crate::runs::{Run, Runs, STAYS};

/// A connected body of material over a stretch of the program.
#[derive(Clone, Debug)]
pub(crate) struct Body {
    /// Move that set it free, plus 1; 0 for a body that is there from the start.
    pub born: u32,
    pub end: End,
    pub parent: Option<u32>,
    pub children: Vec<u32>,
    /// Its cells right after it came free.
    pub extent: Extent,
    /// For a body that stays: the run that stands for it.
    pub stands_for: Option<u32>,
}

/// How a body ends; moves plus 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum End {
    Stays,
    SplitBy(u32),
    CutAwayBy(u32),
}

/// Sums over the cells of a body.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Extent {
    pub cells: u64,
    column_sum: u64,
    row_sum: u64,
    pub low: [u32; 2],
    pub high: [u32; 2],
    pub at_border: bool,
}

impl Extent {
    fn of(run: Run, at_border: bool) -> Self {
        let cells = u64::from(run.len());
        Self {
            cells,
            column_sum: cells * u64::from(run.start + run.end - 1) / 2,
            row_sum: cells * u64::from(run.row),
            low: [run.start, run.row],
            high: [run.end - 1, run.row],
            at_border,
        }
    }

    fn add(&mut self, other: &Self) {
        self.cells += other.cells;
        self.column_sum += other.column_sum;
        self.row_sum += other.row_sum;
        for axis in 0..2 {
            self.low[axis] = self.low[axis].min(other.low[axis]);
            self.high[axis] = self.high[axis].max(other.high[axis]);
        }
        self.at_border |= other.at_border;
    }

    /// Centroid, columns and rows.
    pub fn centroid(&self) -> [f64; 2] {
        [self.column_sum, self.row_sum].map(|sum| sum as f64 / self.cells as f64)
    }
}

/// What is known of a joined set of runs while going backwards.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum State {
    /// Not yet parted from anything and never cut away; the run that stands for it.
    Stays(u32),
    /// Not yet parted from anything; cut away by the move of this mark.
    CutAway(u32),
    Body(u32),
}

/// The bodies of a program.
pub(crate) struct Split {
    pub bodies: Vec<Body>,
    /// The runs that stay, in order, each with the run that stands for its final body.
    pub stays: Vec<(u32, u32)>,
    /// Bodies smaller than the least that came free and were left out.
    pub dust: u64,
}

/// Finds all bodies of at least `least_cells` when they come free.
pub(crate) fn split(runs: &Runs, least_cells: u64) -> Split {
    let mut forest = Forest::new(runs);
    forest.join_what_stays();
    let stays = forest.what_stays();
    let cut = last_cut_first(runs);
    let mut bodies = Bodies { all: Vec::new(), least_cells, dust: 0 };
    let (mut olds, mut sides) = (Vec::new(), Vec::new());
    for batch in cut.chunk_by(|&a, &b| runs.all[a as usize].mark == runs.all[b as usize].mark) {
        forest.put_back(batch, &mut olds, &mut sides);
        bodies.settle(&mut forest, runs.all[batch[0] as usize].mark, &mut olds);
    }
    bodies.finish(&forest);
    Split { bodies: bodies.all, stays, dust: bodies.dust }
}

/// The runs that are cut through, by falling mark.
fn last_cut_first(runs: &Runs) -> Vec<u32> {
    let marks = || runs.all.iter().map(|run| run.mark).filter(|&mark| mark != STAYS);
    let last = marks().max().unwrap_or(0) as usize;
    // Counting sort: place of a mark's first run, counted from the largest mark.
    let mut places = vec![0_u32; last + 2];
    for mark in marks() {
        places[last - mark as usize + 1] += 1;
    }
    for index in 0..=last {
        places[index + 1] += places[index];
    }
    let mut sorted = vec![0_u32; places[last + 1] as usize];
    for (index, run) in (0..).zip(&runs.all) {
        if run.mark != STAYS {
            let place = &mut places[last - run.mark as usize];
            sorted[*place as usize] = index;
            *place += 1;
        }
    }
    sorted
}

/// Union-find over runs.
struct Forest<'a> {
    runs: &'a Runs,
    parent: Vec<u32>,
    /// For each root of a joined set its place in `sets`; [`SINGLE`] for a run alone.
    place: Vec<u32>,
    sets: Vec<Set>,
    free: Vec<u32>,
}

/// Stands for a set of one run, which the run itself describes.
const SINGLE: u32 = u32::MAX;

/// A set of runs.
#[derive(Clone, Copy)]
struct Set {
    extent: Extent,
    state: State,
}

/// A set as it was before a batch was put back.
#[derive(Clone, Copy)]
struct Old {
    root: u32,
    extent: Extent,
    state: State,
}

impl<'a> Forest<'a> {
    fn new(runs: &'a Runs) -> Self {
        let count = runs.all.len();
        Self {
            runs,
            parent: (0..count as u32).collect(),
            place: vec![SINGLE; count],
            sets: Vec::new(),
            free: Vec::new(),
        }
    }

    fn find(&mut self, index: u32) -> u32 {
        let mut at = index;
        while self.parent[at as usize] != at {
            let above = self.parent[self.parent[at as usize] as usize];
            self.parent[at as usize] = above;
            at = above;
        }
        at
    }

    fn set(&self, root: u32) -> Set {
        match self.sets.get(self.place[root as usize] as usize) {
            Some(set) => *set,
            None => {
                let run = self.runs.all[root as usize];
                let extent = Extent::of(run, self.runs.is_at_border(root as usize));
                Set { extent, state: first_state(root, &run) }
            }
        }
    }

    fn store(&mut self, root: u32, set: Set) {
        let place = self.place[root as usize];
        if let Some(known) = self.sets.get_mut(place as usize) {
            *known = set;
        } else if let Some(place) = self.free.pop() {
            self.sets[place as usize] = set;
            self.place[root as usize] = place;
        } else {
            self.place[root as usize] = self.sets.len() as u32;
            self.sets.push(set);
        }
    }

    fn join(&mut self, a: u32, b: u32) {
        let (a, b) = (self.find(a), self.find(b));
        if a == b {
            return;
        }
        let (set_a, set_b) = (self.set(a), self.set(b));
        let a_is_larger = set_a.extent.cells >= set_b.extent.cells;
        let (into, from) = if a_is_larger { (a, b) } else { (b, a) };
        let (mut set, other) = if a_is_larger { (set_a, set_b) } else { (set_b, set_a) };
        set.extent.add(&other.extent);
        self.parent[from as usize] = into;
        let freed = std::mem::replace(&mut self.place[from as usize], SINGLE);
        if freed != SINGLE {
            self.free.push(freed);
        }
        self.store(into, set);
    }

    fn join_what_stays(&mut self) {
        for index in 0..self.runs.all.len() {
            if self.runs.all[index].mark != STAYS {
                continue;
            }
            for other in self.runs.neighbours(index) {
                if other > index && self.runs.all[other].mark == STAYS {
                    self.join(index as u32, other as u32);
                }
            }
        }
    }

    fn what_stays(&mut self) -> Vec<(u32, u32)> {
        let stays = |index: &u32| self.runs.all[*index as usize].mark == STAYS;
        let indexes: Vec<u32> = (0..self.parent.len() as u32).filter(stays).collect();
        indexes.into_iter().map(|index| (index, self.find(index))).collect()
    }

    /// Puts back the runs of one move; notes the sets they touch as they were before.
    fn put_back(&mut self, batch: &[u32], olds: &mut Vec<Old>, sides: &mut Vec<(u32, u32)>) {
        olds.clear();
        sides.clear();
        let mark = self.runs.all[batch[0] as usize].mark;
        for &index in batch {
            let there = |other: &usize| self.runs.all[*other].mark >= mark;
            let neighbours = self.runs.neighbours(index as usize).filter(there);
            sides.extend(neighbours.map(|other| (index, other as u32)));
        }
        for &(_, other) in sides.iter() {
            if self.runs.all[other as usize].mark > mark {
                let root = self.find(other);
                if olds.iter().all(|old| old.root != root) {
                    let Set { extent, state } = self.set(root);
                    olds.push(Old { root, extent, state });
                }
            }
        }
        for &(index, other) in sides.iter() {
            self.join(index, other);
        }
    }

    fn set_state(&mut self, index: u32, state: State) {
        let root = self.find(index);
        let set = self.set(root);
        if set.state != state {
            self.store(root, Set { state, ..set });
        }
    }
}

struct Bodies {
    all: Vec<Body>,
    least_cells: u64,
    dust: u64,
}

impl Bodies {
    /// Decides what a batch did: for each set that it joined, nothing, growth, or a parting.
    fn settle(&mut self, forest: &mut Forest<'_>, mark: u32, olds: &mut [Old]) {
        if let [old] = olds {
            return forest.set_state(old.root, old.state);
        }
        let mut grouped: Vec<(u32, Old)> =
            olds.iter().map(|&old| (forest.find(old.root), old)).collect();
        grouped.sort_by_key(|(root, old)| (*root, old.root));
        for group in grouped.chunk_by(|a, b| a.0 == b.0) {
            let large = |old: &&(u32, Old)| old.1.extent.cells >= self.least_cells;
            let counted: Vec<Old> = group.iter().filter(large).map(|(_, old)| *old).collect();
            self.dust += if group.len() > 1 { (group.len() - counted.len()) as u64 } else { 0 };
            let state = match counted.as_slice() {
                [] => state_of_small(group),
                [one] => one.state,
                several => State::Body(self.part(several, mark)),
            };
            forest.set_state(group[0].0, state);
        }
    }

    /// A move parted one body into several; gives the one before.
    fn part(&mut self, olds: &[Old], mark: u32) -> u32 {
        let children: Vec<u32> = olds
            .iter()
            .map(|old| {
                let child = self.body_of(old.state);
                let body = &mut self.all[child as usize];
                body.born = mark;
                body.extent = old.extent;
                child
            })
            .collect();
        let parent = self.all.len() as u32;
        for &child in &children {
            self.all[child as usize].parent = Some(parent);
        }
        self.all.push(Body {
            born: 0,
            end: End::SplitBy(mark),
            parent: None,
            children,
            extent: olds[0].extent,
            stands_for: None,
        });
        parent
    }

    fn body_of(&mut self, state: State) -> u32 {
        let (end, stands_for) = match state {
            State::Body(body) => return body,
            State::Stays(root) => (End::Stays, Some(root)),
            State::CutAway(mark) => (End::CutAwayBy(mark), None),
        };
        self.all.push(Body {
            born: 0,
            end,
            parent: None,
            children: Vec::new(),
            extent: Extent::of(Run { row: 0, start: 0, end: 1, mark: 0 }, false),
            stands_for,
        });
        self.all.len() as u32 - 1
    }

    /// What is left is there from the start.
    fn finish(&mut self, forest: &Forest<'_>) {
        let roots = (0..).zip(&forest.parent).filter(|(index, parent)| *index == **parent);
        for (root, _) in roots {
            let Set { extent, state } = forest.set(root);
            if extent.cells >= self.least_cells {
                let body = self.body_of(state);
                self.all[body as usize].extent = extent;
            }
        }
    }
}

fn first_state(index: u32, run: &Run) -> State {
    if run.mark == STAYS { State::Stays(index) } else { State::CutAway(run.mark) }
}

/// Fate of a body joined from small ones only: that of the largest that stays, else of the one
/// that lasts longest.
fn state_of_small(group: &[(u32, Old)]) -> State {
    let rank = |old: &Old| match old.state {
        State::Body(_) => (2, 0),
        State::Stays(_) => (1, old.extent.cells),
        State::CutAway(mark) => (0, u64::from(mark)),
    };
    let best = group.iter().map(|(_, old)| old).max_by_key(|old| rank(old));
    best.map_or(State::CutAway(0), |old| old.state)
}
