//! Which zones to open: the least set that keeps every margin of a stage.

use crate::air::Air;
use crate::network::{Network, NetworkError, Solution, solve};
use crate::piece::{CASES, Load, Loads, Margin, RangedPiece, TwistMemo};
use crate::pump::deadhead_pa;

/// Most zones of a plan.
pub const MOST_ZONES: usize = 64;

/// A set of zones.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default, Hash)]
pub struct ZoneSet(u64);

impl ZoneSet {
    /// No zone.
    pub const EMPTY: Self = Self(0);

    /// The first `count` zones, at most 64.
    pub fn first(count: usize) -> Self {
        if count >= MOST_ZONES { Self(u64::MAX) } else { Self((1 << count) - 1) }
    }

    /// Whether a zone is in the set.
    pub fn has(self, zone: usize) -> bool {
        zone < MOST_ZONES && self.0 >> zone & 1 == 1
    }

    /// The set with a zone; unchanged for zones beyond 64.
    pub fn with(self, zone: usize) -> Self {
        if zone < MOST_ZONES { Self(self.0 | 1 << zone) } else { self }
    }

    /// The set without a zone.
    pub fn without(self, zone: usize) -> Self {
        if zone < MOST_ZONES { Self(self.0 & !(1 << zone)) } else { self }
    }

    /// Number of zones.
    pub fn len(self) -> usize {
        self.0.count_ones() as usize
    }

    /// Whether no zone is in the set.
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Zones in rising order.
    pub fn zones(self) -> impl Iterator<Item = usize> {
        (0..MOST_ZONES).filter(move |&zone| self.has(zone))
    }
}

/// A piece that must stay put during a stage, free of the sheet.
#[derive(Clone, Copy, Debug)]
pub struct StagePiece<'a> {
    /// The piece.
    pub piece: &'a RangedPiece<'a>,
    /// All loads of the stage.
    pub loads: &'a [Load],
}

/// A stretch of the program during which the valves stay as they are.
#[derive(Clone, Debug)]
pub struct Stage<'a> {
    /// The network of each case of the pieces' bands, with its leaks at the worst moment of the stage;
    /// valves are set by the plan.
    pub networks: [Network; CASES],
    /// Pieces to hold.
    pub pieces: Vec<StagePiece<'a>>,
    /// Zones that may be opened; the others stay shut (a station being loaded).
    pub allowed: ZoneSet,
    /// Margin to keep at the unfavourable end.
    pub asked_margin: f64,
    /// Up to this many zones to choose from every set is looked at; 12 takes well under a second.
    pub exact_up_to: usize,
}

/// What a plan proposes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ZoneChoice {
    /// Zones to open.
    pub open: ZoneSet,
    /// Smallest margin at the unfavourable end with these zones; infinite without loads.
    pub margin: f64,
    /// Piece with that margin.
    pub piece: Option<usize>,
    /// Whether the margin asked for is kept; if not, `open` is the best set found.
    pub keeps: bool,
    /// Whether every set was looked at, so that no smaller one keeps the margin.
    pub exact: bool,
    /// Sets whose pressures were solved.
    pub solved: usize,
}

/// Why no plan can be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// More zones than a plan can hold.
    #[error("table has {zones} zones; a zone plan takes at most 64")]
    TooManyZones {
        /// Zones of the network.
        zones: usize,
    },
    /// The network has no solution.
    #[error(transparent)]
    Network(#[from] NetworkError),
}

/// The least set of open zones that keeps every margin; among sets of that size the one with the largest
/// margin, then the one with the lowest zone numbers.
///
/// Up to [`Stage::exact_up_to`] zones by looking at every set in order of size, leaving out those that an
/// upper bound of the force rules out; above that by shutting one zone after another, which may
/// leave a zone open that could be shut.
///
/// # Errors
/// [`PlanError`] if a network has no solution or too many zones.
pub fn least_open_zones(stage: &Stage) -> Result<ZoneChoice, PlanError> {
    let zones = stage.networks[0].zones.len();
    if zones > MOST_ZONES {
        return Err(PlanError::TooManyZones { zones });
    }
    let mut search = Search::new(stage)?;
    if search.candidates.len() <= stage.exact_up_to {
        search.every_set()?;
    } else {
        search.shut_one_by_one()?;
    }
    Ok(search.best)
}

struct Search<'a> {
    stage: &'a Stage<'a>,
    networks: [Network; CASES],
    memos: Vec<TwistMemo>,
    /// Zones that may help.
    candidates: Vec<usize>,
    /// Lowest pressure each zone can have in any set, Pa.
    lowest_pa: Vec<f64>,
    /// Whether shut zones may still hold vacuum through seams.
    seams: bool,
    warm: Option<[Solution; CASES]>,
    best: ZoneChoice,
    /// Order in which pieces are judged: the last to fail first.
    order: Vec<usize>,
}

impl<'a> Search<'a> {
    fn new(stage: &'a Stage<'a>) -> Result<Self, PlanError> {
        let network = &stage.networks[0];
        let zones = network.zones.len();
        // With one manifold and no seam, air only runs from zone to manifold: opening a zone never
        // lowers another's pressure, so zones under no piece cannot help.
        let seams = network.seams.iter().any(|seam| seam.conductance_kg_s_pa2 > 0.0);
        let simple = network.manifolds.len() == 1 && !seams;
        let under_piece = |zone: usize| {
            let below =
                |piece: &StagePiece| piece.piece.shape().zones().any(|(z, _)| z == Some(zone));
            stage.pieces.iter().any(below)
        };
        let candidates = (0..zones)
            .filter(|&zone| stage.allowed.has(zone) && (!simple || under_piece(zone)))
            .collect();
        let mut search = Self {
            stage,
            networks: stage.networks.clone(),
            memos: vec![TwistMemo::default(); stage.pieces.len()],
            candidates,
            lowest_pa: vec![lowest_end_pa(network); zones],
            seams,
            warm: None,
            best: ZoneChoice {
                open: ZoneSet::EMPTY,
                margin: f64::NEG_INFINITY,
                piece: None,
                keeps: false,
                exact: false,
                solved: 0,
            },
            order: (0..stage.pieces.len()).collect(),
        };
        if simple {
            search.tighten_bounds()?;
        }
        Ok(search)
    }

    /// Alone on the pumps a zone has its lowest pressure, in the case with the least leak.
    fn tighten_bounds(&mut self) -> Result<(), PlanError> {
        for zone in self.candidates.clone() {
            let solutions = self.solve(ZoneSet::EMPTY.with(zone))?;
            let lowest = solutions.iter().map(|s| s.zone_pa[zone]).fold(f64::INFINITY, f64::min);
            self.lowest_pa[zone] = lowest;
        }
        Ok(())
    }

    fn every_set(&mut self) -> Result<(), PlanError> {
        let count = self.candidates.len();
        for size in 0..=count {
            for pick in picks(count, size) {
                self.look_at(
                    pick.iter().fold(ZoneSet::EMPTY, |set, &i| set.with(self.candidates[i])),
                )?;
            }
            if self.best.margin >= self.stage.asked_margin {
                break;
            }
        }
        self.best.exact = true;
        Ok(())
    }

    fn shut_one_by_one(&mut self) -> Result<(), PlanError> {
        let all = self.candidates.iter().fold(ZoneSet::EMPTY, |set, &zone| set.with(zone));
        self.look_at(all)?;
        loop {
            let kept = self.best;
            let mut next: Option<ZoneChoice> = None;
            for zone in kept.open.zones() {
                // Once the margin is kept, any smaller set that keeps it is better.
                let floor = next
                    .map_or(if kept.keeps { f64::NEG_INFINITY } else { kept.margin }, |choice| {
                        choice.margin
                    });
                let choice = self.judge(kept.open.without(zone), floor)?;
                if choice.margin > floor && (choice.keeps || !kept.keeps) {
                    next = Some(choice);
                }
            }
            let Some(next) = next else { break };
            self.best = ZoneChoice { solved: self.best.solved, ..next };
        }
        Ok(())
    }

    /// Takes a set as the best if its margin is larger.
    fn look_at(&mut self, open: ZoneSet) -> Result<(), PlanError> {
        let choice = self.judge(open, self.best.margin)?;
        if choice.margin > self.best.margin {
            self.best = ZoneChoice { solved: self.best.solved, ..choice };
        }
        Ok(())
    }

    /// Smallest margin of a set; stops early, with a margin at or below `floor`, once it is no larger.
    fn judge(&mut self, open: ZoneSet, floor: f64) -> Result<ZoneChoice, PlanError> {
        let mut choice = ZoneChoice {
            open,
            margin: f64::INFINITY,
            piece: None,
            keeps: false,
            exact: false,
            solved: 0,
        };
        let bound = |&&piece: &&usize| self.upper_bound(piece, open) <= floor;
        if let Some(&piece) = self.order.iter().find(bound) {
            choice.margin = self.upper_bound(piece, open);
            choice.piece = Some(piece);
            return Ok(choice);
        }
        let solutions = self.solve(open)?;
        let pressures: [&[f64]; CASES] = std::array::from_fn(|case| &solutions[case].zone_pa[..]);
        for place in 0..self.order.len() {
            let piece = self.order[place];
            let of = &self.stage.pieces[piece];
            let loads = Loads { loads: of.loads, anchors: &[] };
            let air = self.air();
            let Margin { value, .. } =
                of.piece.judge(pressures, &air, loads, &mut self.memos[piece]).unfavourable;
            if value < choice.margin || choice.piece.is_none() {
                choice.margin = choice.margin.min(value);
                choice.piece = Some(piece);
            }
            if choice.margin <= floor {
                self.order[..=place].rotate_right(1);
                break;
            }
        }
        choice.keeps = choice.margin >= self.stage.asked_margin;
        Ok(choice)
    }

    fn air(&self) -> Air {
        self.stage.networks[0].air
    }

    /// No set can give a piece a larger margin: no edge loss, no turning, lowest pressures.
    fn upper_bound(&self, piece: usize, open: ZoneSet) -> f64 {
        let of = &self.stage.pieces[piece];
        let ambient = self.air().ambient_pa;
        let pulled = |zone: usize| {
            if self.seams || open.has(zone) { ambient - self.lowest_pa[zone] } else { 0.0 }
        };
        let vacuum_n: f64 = of
            .piece
            .shape()
            .zones()
            .filter_map(|(zone, area_mm2)| {
                Some(pulled(zone.filter(|&z| z < self.lowest_pa.len())?) * area_mm2 * 1e-6)
            })
            .sum();
        of.piece.largest_margin(vacuum_n, of.loads)
    }

    fn solve(&mut self, open: ZoneSet) -> Result<[Solution; CASES], PlanError> {
        for network in &mut self.networks {
            for zone in 0..network.zones.len() {
                network.set_zone_open(zone, open.has(zone));
            }
        }
        self.best.solved += 1;
        let warm = |case: usize| self.warm.as_ref().map(|solutions| &solutions[case]);
        let solutions = [
            solve(&self.networks[0], warm(0))?,
            solve(&self.networks[1], warm(1))?,
            solve(&self.networks[2], warm(2))?,
        ];
        self.warm = Some(solutions.clone());
        Ok(solutions)
    }
}

/// Lowest pressure any pump of a network can reach, Pa.
fn lowest_end_pa(network: &Network) -> f64 {
    let pumps = network.manifolds.iter().flat_map(|manifold| &manifold.pumps);
    pumps
        .map(|pump| deadhead_pa(std::slice::from_ref(pump), &network.air))
        .fold(network.air.ambient_pa, f64::min)
}

/// All ways to pick `size` of `count` places, in lexical order.
fn picks(count: usize, size: usize) -> impl Iterator<Item = Vec<usize>> {
    let first = (size <= count).then(|| (0..size).collect::<Vec<usize>>());
    std::iter::successors(first, move |pick| {
        let mut next = pick.clone();
        let at = (0..size).rev().find(|&i| next[i] < count - size + i)?;
        next[at] += 1;
        for i in at + 1..size {
            next[i] = next[i - 1] + 1;
        }
        Some(next)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn picks_are_all_subsets_of_a_size() {
        assert_eq!(picks(4, 2).count(), 6);
        assert_eq!(picks(4, 0).count(), 1);
        assert_eq!(picks(3, 3).collect::<Vec<_>>(), [vec![0, 1, 2]]);
        assert_eq!(picks(12, 6).count(), 924);
        assert_eq!(picks(2, 3).count(), 0);
    }

    #[test]
    fn sets_hold_what_was_put_in() {
        let set = ZoneSet::EMPTY.with(3).with(63).with(64);
        assert_eq!(set.zones().collect::<Vec<_>>(), [3, 63]);
        assert!(!set.has(64) && set.without(3).has(63) && set.len() == 2);
        assert_eq!(ZoneSet::first(64).len(), 64);
        assert_eq!(ZoneSet::first(12).len(), 12);
        assert!(ZoneSet::EMPTY.is_empty());
    }
}
