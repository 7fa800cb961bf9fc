//! Zone pressures and margins over the events of a program.
//!
//! An event is a moment at which something changes: a cut goes through, a valve is switched, a piece comes
//! free, a load acts. Between events everything is taken as steady (see [`crate::transient`]).

use crate::air::Air;
use crate::board::BoardFault;
use crate::board::openings::Openings;
use crate::network::{Network, NetworkError, Solution, solve};
use crate::piece::case::{Bed, RangeFault};
use crate::piece::{Anchor, CASES, Case, HoldRanges, Load, Loads, RangedPiece, TwistMemo, Verdict};

/// What stays the same over a program.
#[derive(Clone, Debug)]
pub struct Setup<'a> {
    /// Pumps, branches and zones, with all leaks that are not given by the openings of an event: open holes,
    /// plumbing.
    pub network: Network,
    /// Board and sheet.
    pub bed: Bed,
    /// Bands of what is not known.
    pub ranges: HoldRanges,
    /// The pieces.
    pub pieces: Vec<RangedPiece<'a>>,
}

/// Loads on one piece at an event.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct LoadedPiece {
    /// Index into [`Setup::pieces`].
    pub piece: usize,
    /// Loads, judged one by one.
    pub loads: Vec<Load>,
    /// What still ties the piece to the sheet; empty once it is free.
    pub anchors: Vec<Anchor>,
}

/// The state of the table at one moment.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Event {
    /// What lies open on each zone.
    pub openings: Vec<Openings>,
    /// Whether each zone's valve is open.
    pub open: Vec<bool>,
    /// Pieces to judge.
    pub pieces: Vec<LoadedPiece>,
}

/// Why an event cannot be computed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum RunError {
    /// The lists of an event do not fit the zones.
    #[error(
        "event states {openings} openings and {valves} valves for {zones} zones; state one of each a zone"
    )]
    WrongZones {
        /// Openings given.
        openings: usize,
        /// Valve states given.
        valves: usize,
        /// Zones of the network.
        zones: usize,
    },
    /// A piece that does not exist.
    #[error("event judges piece {}, but there are {pieces} pieces", piece + 1)]
    NoSuchPiece {
        /// Index given.
        piece: usize,
        /// Number of pieces.
        pieces: usize,
    },
    /// A band that cannot be used.
    #[error(transparent)]
    Range(#[from] RangeFault),
    /// A board or sheet that cannot be used.
    #[error(transparent)]
    Board(#[from] BoardFault),
    /// The network has no solution.
    #[error(transparent)]
    Network(#[from] NetworkError),
}

/// Pressures and verdicts of one event.
#[derive(Clone, Debug, PartialEq)]
pub struct EventResult {
    /// Network of each case, likely first; see [`HoldRanges::cases`].
    pub solutions: [Solution; CASES],
    /// Verdict of each piece judged, in the order of the event.
    pub verdicts: Vec<(usize, Verdict)>,
}

/// Steps through the events of a program; each starts from the pressures of the one before.
#[derive(Clone, Debug)]
pub struct Run<'a> {
    setup: &'a Setup<'a>,
    cases: [Case; CASES],
    networks: [Network; CASES],
    memos: Vec<TwistMemo>,
    before: Option<[Solution; CASES]>,
}

impl<'a> Run<'a> {
    /// Prepares a run.
    ///
    /// # Errors
    /// [`RunError`] if bands, board or sheet cannot be meant.
    pub fn new(setup: &'a Setup<'a>) -> Result<Self, RunError> {
        if let Some(fault) = setup.ranges.fault() {
            return Err(fault.into());
        }
        let board = setup.bed.board.and_then(|board| board.fault());
        if let Some(fault) = board.or(setup.bed.sheet.and_then(|sheet| sheet.fault())) {
            return Err(fault.into());
        }
        Ok(Self {
            setup,
            cases: setup.ranges.cases(),
            networks: std::array::from_fn(|_| setup.network.clone()),
            memos: vec![TwistMemo::default(); setup.pieces.len()],
            before: None,
        })
    }

    /// Solves one event and judges its pieces.
    ///
    /// # Errors
    /// [`RunError`] if the event does not fit the setup or the network has no solution; later events may
    /// still be stepped.
    pub fn step(&mut self, event: &Event) -> Result<EventResult, RunError> {
        self.set_up(event)?;
        let solutions = self.solve()?;
        let air = &self.setup.network.air;
        let pressures: [&[f64]; CASES] = std::array::from_fn(|case| &solutions[case].zone_pa[..]);
        let mut verdicts = Vec::with_capacity(event.pieces.len());
        for loaded in &event.pieces {
            verdicts.push((loaded.piece, self.judge(loaded, pressures, air)?));
        }
        self.before = Some(solutions.clone());
        Ok(EventResult { solutions, verdicts })
    }

    fn set_up(&mut self, event: &Event) -> Result<(), RunError> {
        let zones = self.setup.network.zones.len();
        let (openings, valves) = (event.openings.len(), event.open.len());
        if openings != zones || valves != zones {
            return Err(RunError::WrongZones { openings, valves, zones });
        }
        for (network, case) in self.networks.iter_mut().zip(&self.cases) {
            let board = self.setup.bed.board_in(case);
            for (zone, openings) in event.openings.iter().enumerate() {
                let own = &self.setup.network.zones[zone].leak;
                let opened = openings.leak(board.as_ref(), &network.air);
                network.zones[zone].leak = opened.joined(own);
            }
            for (zone, &open) in event.open.iter().enumerate() {
                network.set_zone_open(zone, open);
            }
        }
        Ok(())
    }

    fn solve(&self) -> Result<[Solution; CASES], NetworkError> {
        let warm = |case: usize| self.before.as_ref().map(|solutions| &solutions[case]);
        let likely = solve(&self.networks[0], warm(0))?;
        let tight = solve(&self.networks[1], warm(1).or(Some(&likely)))?;
        let leaky = solve(&self.networks[2], warm(2).or(Some(&likely)))?;
        Ok([likely, tight, leaky])
    }

    fn judge(
        &mut self,
        loaded: &LoadedPiece,
        pressures: [&[f64]; CASES],
        air: &Air,
    ) -> Result<Verdict, RunError> {
        let pieces = self.setup.pieces.len();
        let index = loaded.piece;
        let (Some(piece), Some(memo)) = (self.setup.pieces.get(index), self.memos.get_mut(index))
        else {
            return Err(RunError::NoSuchPiece { piece: index, pieces });
        };
        let loads = Loads { loads: &loaded.loads, anchors: &loaded.anchors };
        Ok(piece.judge(pressures, air, loads, memo))
    }
}
