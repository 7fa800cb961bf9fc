//! A pump curve given by points.

use crate::air::Air;
use crate::flow::Flow;

/// Most rows taken.
pub const MOST_ROWS: usize = 1000;
/// Below its first row the table falls to nothing over this share of the first pressure: our choice; the
/// table says nothing there, so nothing is counted on.
const END_RANGE: f64 = 0.01;

/// Points of inlet volume flow against inlet pressure, checked on construction.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpTable {
    /// Inlet pressure, Pa, and S p in W (mass flow times R T), both never falling.
    points: Vec<(f64, f64)>,
}

/// Why a table cannot be a pump curve; rows count from 1.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum PumpTableError {
    /// Fewer than two rows.
    #[error("pump curve has {rows} rows; at least 2 are needed")]
    TooShort {
        /// Rows given.
        rows: usize,
    },
    /// More rows than are taken.
    #[error("pump curve has {rows} rows; at most 1000 are read: thin it out")]
    TooLong {
        /// Rows given.
        rows: usize,
    },
    /// A value that is not a usable number.
    #[error(
        "pump curve, row {row}: pressure {pressure_pa} Pa with flow {speed_m3_h} m³/h; pressure must be 1 Pa or more and flow 0 or more"
    )]
    BadValue {
        /// Row from 1.
        row: usize,
        /// Inlet pressure, Pa.
        pressure_pa: f64,
        /// Inlet flow, m³/h.
        speed_m3_h: f64,
    },
    /// Inlet pressure does not rise.
    #[error(
        "pump curve, row {row}: inlet pressure {pressure_pa} Pa is not above the {before_pa} Pa of the row before; sort the rows by rising absolute pressure"
    )]
    PressureNotRising {
        /// Row from 1.
        row: usize,
        /// Inlet pressure, Pa.
        pressure_pa: f64,
        /// Inlet pressure of the row before, Pa.
        before_pa: f64,
    },
    /// Mass flow falls although inlet pressure rises: the network would have several solutions.
    #[error(
        "pump curve, row {row}: {speed_m3_h} m³/h at {pressure_pa} Pa is {share:.3} of the mass flow of the row before; mass flow must not fall as inlet pressure rises: check that the flow is inlet volume flow, not free air, and the pressure absolute"
    )]
    MassFlowFalls {
        /// Row from 1.
        row: usize,
        /// Inlet pressure, Pa.
        pressure_pa: f64,
        /// Inlet flow, m³/h.
        speed_m3_h: f64,
        /// Mass flow over that of the row before.
        share: f64,
    },
}

impl PumpTable {
    /// From rows of inlet pressure (Pa absolute, rising) and inlet volume flow (m³/h).
    ///
    /// Between rows the mass flow runs straight; above the last row the volume flow is held; below the
    /// first row the pump gives nothing.
    ///
    /// # Errors
    /// A [`PumpTableError`] that names the first bad row.
    pub fn new(rows: &[(f64, f64)]) -> Result<Self, PumpTableError> {
        if rows.len() < 2 {
            return Err(PumpTableError::TooShort { rows: rows.len() });
        }
        if rows.len() > MOST_ROWS {
            return Err(PumpTableError::TooLong { rows: rows.len() });
        }
        let mut points: Vec<(f64, f64)> = Vec::with_capacity(rows.len());
        for (index, &(pressure_pa, speed_m3_h)) in rows.iter().enumerate() {
            let row = index + 1;
            let usable = pressure_pa.is_finite() && pressure_pa >= 1.0;
            if !usable || !speed_m3_h.is_finite() || speed_m3_h < 0.0 {
                return Err(PumpTableError::BadValue { row, pressure_pa, speed_m3_h });
            }
            let power = speed_m3_h / 3600.0 * pressure_pa;
            if let Some(&(before_pa, before)) = points.last() {
                if pressure_pa <= before_pa {
                    return Err(PumpTableError::PressureNotRising { row, pressure_pa, before_pa });
                }
                if power < before {
                    let share = power / before;
                    return Err(PumpTableError::MassFlowFalls {
                        row,
                        pressure_pa,
                        speed_m3_h,
                        share,
                    });
                }
            }
            points.push((pressure_pa, power));
        }
        Ok(Self { points })
    }

    /// The same curve with all flows times a factor, at least 0: pumps in parallel, or another speed.
    pub fn times(&self, factor: f64) -> Self {
        Self { points: self.points.iter().map(|&(p, w)| (p, w * factor.max(0.0))).collect() }
    }

    /// Mass flow, kg/s, and slope, kg/(s Pa).
    pub(crate) fn flow(&self, inlet_pa: f64, air: &Air) -> Flow {
        let (value, slope) = self.power(inlet_pa);
        Flow { kg_s: value / air.rt(), slope: slope / air.rt() }
    }

    fn power(&self, inlet_pa: f64) -> (f64, f64) {
        let (first, last) = (self.points[0], self.points[self.points.len() - 1]);
        if inlet_pa <= first.0 {
            let slope = first.1 / (first.0 * END_RANGE);
            return ((first.1 - slope * (first.0 - inlet_pa)), slope);
        }
        if inlet_pa >= last.0 {
            let speed = last.1 / last.0;
            return (speed * inlet_pa, speed);
        }
        let upper = self.points.partition_point(|&(p, _)| p <= inlet_pa);
        let ((p0, w0), (p1, w1)) = (self.points[upper - 1], self.points[upper]);
        let slope = (w1 - w0) / (p1 - p0);
        (w0 + slope * (inlet_pa - p0), slope)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_good_table_passes_its_own_points() {
        let rows = [(5000.0, 0.0), (20_000.0, 180.0), (60_000.0, 230.0), (101_325.0, 250.0)];
        let table = PumpTable::new(&rows).unwrap();
        let air = Air::default();
        for (p, s) in rows {
            assert!((table.flow(p, &air).kg_s - s / 3600.0 * p / air.rt()).abs() < 1e-12, "{p}");
        }
        assert_eq!(table.flow(4000.0, &air).kg_s, 0.0);
    }

    #[test]
    fn each_fault_names_its_row() {
        use PumpTableError as E;
        assert_eq!(PumpTable::new(&[(1.0, 1.0)]), Err(E::TooShort { rows: 1 }));
        let negative = PumpTable::new(&[(1e4, 10.0), (2e4, -1.0)]);
        assert!(matches!(negative, Err(E::BadValue { row: 2, .. })));
        let flat = PumpTable::new(&[(1e4, 10.0), (1e4, 20.0)]);
        assert!(matches!(flat, Err(E::PressureNotRising { row: 2, .. })));
        let falling = PumpTable::new(&[(1e4, 10.0), (2e4, 200.0), (3e4, 100.0)]);
        assert!(matches!(falling, Err(E::MassFlowFalls { row: 3, .. })));
        assert!(falling.unwrap_err().to_string().contains("row 3"));
    }

    #[test]
    fn below_its_first_row_the_table_gives_nothing_to_count_on() {
        let table = PumpTable::new(&[(10_000.0, 100.0), (101_325.0, 100.0)]).unwrap();
        let air = Air::default();
        assert!(table.flow(9_899.0, &air).kg_s < 0.0);
        assert!(table.flow(9_999.0, &air).kg_s > 0.0);
    }
}
