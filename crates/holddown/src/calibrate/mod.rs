//! Permeability of the board and leakage of the plumbing from gauge readings.

mod fit;

use crate::board::openings::Openings;
use crate::board::{Board, BoardFault};
use crate::network::{Network, NetworkError, Node};

/// Uncertainty of a workshop gauge, Pa: class 1 on a 100 kPa scale.
pub const USUAL_GAUGE_ERROR_PA: f64 = 1000.0;

/// Most readings of one calibration.
pub const MOST_READINGS: usize = 1000;

/// One look at the gauge with the table in a known state.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// What lies open on each zone: the whole zone for a bare table, nothing for one covered with sealed
    /// sheet.
    pub openings: Vec<Openings>,
    /// Whether each zone's valve is open.
    pub open: Vec<bool>,
    /// Where the gauge sits.
    pub gauge: Node,
    /// What it reads, Pa absolute (ambient minus vacuum shown).
    pub pressure_pa: f64,
    /// Its uncertainty, one standard deviation, Pa, above 0.
    pub error_pa: f64,
}

/// What is known beforehand.
#[derive(Clone, Debug, PartialEq)]
pub struct Bench {
    /// Pumps, branches, known holes; board leaks come from the readings.
    pub network: Network,
    /// The board; its permeability is not used.
    pub board: Board,
    /// Where the unknown leak sits.
    pub leak_at: Node,
}

/// How well a figure is determined by the readings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Determined {
    /// The readings say nothing about it, or only together with the other figure.
    NotAtAll,
    /// Within more than 30 %.
    Poorly,
    /// Within 10 to 30 %.
    Roughly,
    /// Within 10 %.
    Well,
}

/// The figures that fit the readings best.
#[derive(Clone, Debug, PartialEq)]
pub struct Calibration {
    /// Permeability of the board, m².
    pub permeability_m2: f64,
    /// Its standard deviation as a share of it; infinite if the readings do not determine it.
    pub permeability_error: f64,
    /// How well it is determined.
    pub permeability_determined: Determined,
    /// Effective area (coefficient times area) of the unknown leak, m²; 0 if it was not fitted.
    pub leak_m2: f64,
    /// Its standard deviation, m²; `None` if a single reading left it unfitted at 0.
    pub leak_error_m2: Option<f64>,
    /// Computed minus read pressure of each reading, Pa.
    pub residuals_pa: Vec<f64>,
    /// Root of the mean square of the residuals, Pa.
    pub rms_pa: f64,
    /// Whether every residual is within three standard deviations of its gauge.
    pub fits: bool,
}

/// Why nothing can be fitted.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CalibrationError {
    /// No reading, or too many.
    #[error("calibration has {readings} readings; 1 to 1000 are needed")]
    WrongCount {
        /// Readings given.
        readings: usize,
    },
    /// A reading that does not fit the network.
    #[error("reading {} states {openings} openings and {valves} valves for {zones} zones, or a gauge that does not exist", reading + 1)]
    WrongZones {
        /// Index of the reading.
        reading: usize,
        /// Openings given.
        openings: usize,
        /// Valve states given.
        valves: usize,
        /// Zones of the network.
        zones: usize,
    },
    /// A pressure that no gauge can show.
    #[error("reading {} is {pressure_pa} Pa ± {error_pa} Pa; it must lie between 0 and ambient, {ambient_pa} Pa: enter absolute pressure, not vacuum", reading + 1)]
    BadPressure {
        /// Index of the reading.
        reading: usize,
        /// Pressure read, Pa.
        pressure_pa: f64,
        /// Uncertainty, Pa.
        error_pa: f64,
        /// Ambient pressure, Pa.
        ambient_pa: f64,
    },
    /// A board that cannot be meant.
    #[error(transparent)]
    Board(#[from] BoardFault),
    /// The network has no solution.
    #[error(transparent)]
    Network(#[from] NetworkError),
}

/// Fits permeability and leak to the readings by weighted least squares (Levenberg and Marquardt).
///
/// A single reading gives the permeability alone, the leak taken as 0. A reading with the table covered by
/// sealed sheet tells the leak, one with bare board the permeability.
///
/// # Errors
/// [`CalibrationError`] names the reading at fault.
pub fn calibrate(bench: &Bench, readings: &[Reading]) -> Result<Calibration, CalibrationError> {
    check(bench, readings)?;
    Ok(fit::Fit::new(bench, readings).run()?)
}

fn check(bench: &Bench, readings: &[Reading]) -> Result<(), CalibrationError> {
    if readings.is_empty() || readings.len() > MOST_READINGS {
        return Err(CalibrationError::WrongCount { readings: readings.len() });
    }
    if let Some(fault) = bench.board.fault() {
        return Err(fault.into());
    }
    let zones = bench.network.zones.len();
    let exists = |node| match node {
        Node::Zone(index) => index < zones,
        Node::Manifold(index) => index < bench.network.manifolds.len(),
    };
    let ambient_pa = bench.network.air.ambient_pa;
    for (index, reading) in readings.iter().enumerate() {
        let (openings, valves) = (reading.openings.len(), reading.open.len());
        if openings != zones || valves != zones || !exists(reading.gauge) || !exists(bench.leak_at)
        {
            return Err(CalibrationError::WrongZones { reading: index, openings, valves, zones });
        }
        let Reading { pressure_pa, error_pa, .. } = *reading;
        let pressure_fits = pressure_pa > 0.0 && pressure_pa <= ambient_pa;
        if !pressure_fits || !error_pa.is_finite() || error_pa <= 0.0 {
            return Err(CalibrationError::BadPressure {
                reading: index,
                pressure_pa,
                error_pa,
                ambient_pa,
            });
        }
    }
    Ok(())
}

impl Determined {
    fn by(share: f64) -> Self {
        match share {
            s if s <= 0.1 => Self::Well,
            s if s <= 0.3 => Self::Roughly,
            s if s.is_finite() => Self::Poorly,
            _ => Self::NotAtAll,
        }
    }
}
