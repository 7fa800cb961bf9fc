//! The life to run a tool for: most output, or least cost (formulas credited to Gilbert; P. N. Rao,
//! Manufacturing Technology vol. 2, 2nd ed. 2009, equations 2.109 and 2.110).

/// What changing and running cost.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CostRates {
    /// Machine and labour, money per min, above 0.
    pub machine_per_min: f64,
    /// One tool edge worn out, money.
    pub edge: f64,
    /// Time to change the tool, min.
    pub change_min: f64,
}

/// What one part takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PartTime {
    /// Handling, min.
    pub handling_min: f64,
    /// Cutting, min.
    pub cutting_min: f64,
}

impl CostRates {
    /// Life, min, that gives most parts per time: (1/n − 1)·tc. `None` unless the Taylor exponent
    /// lies between 0 and 1: otherwise the fastest speed is best.
    pub fn life_for_most_output_min(&self, taylor_exponent: f64) -> Option<f64> {
        Some(gain(taylor_exponent)? * self.change_min)
    }

    /// Life, min, that gives least cost per part: (1/n − 1)·(tc + Ce/Cm). `None` as above.
    pub fn life_for_least_cost_min(&self, taylor_exponent: f64) -> Option<f64> {
        Some(gain(taylor_exponent)? * (self.change_min + self.edge / self.machine_per_min))
    }

    /// Cost of a worn-out tool: its edge and the machine's standstill.
    pub fn per_change(&self) -> f64 {
        self.machine_per_min * self.change_min + self.edge
    }

    /// Cost of a part, money: Cm·(th + tm) + (Cm·tc + Ce)·tm/T; `life_min` above 0.
    pub fn per_part(&self, part: PartTime, life_min: f64) -> f64 {
        self.machine_per_min * (part.handling_min + part.cutting_min)
            + self.per_change() * part.cutting_min / life_min
    }
}

fn gain(taylor_exponent: f64) -> Option<f64> {
    (taylor_exponent > 0.0 && taylor_exponent < 1.0).then(|| 1.0 / taylor_exponent - 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::wear::Taylor;

    const RATES: CostRates = CostRates { machine_per_min: 1.25, edge: 15.0, change_min: 5.0 };

    #[test]
    fn the_optimum_beats_its_neighbours() {
        let taylor = Taylor { exponent: 0.2, constant_m_min: 400.0 };
        let cost = |life_min: f64| {
            let cutting_min = 1_000.0 / taylor.speed_m_min(life_min);
            RATES.per_part(PartTime { handling_min: 0.5, cutting_min }, life_min)
        };
        let best = RATES.life_for_least_cost_min(0.2).expect("an optimum");
        assert!(cost(best) < cost(best * 1.02) && cost(best) < cost(best / 1.02));
        let output = RATES.life_for_most_output_min(0.2).expect("an optimum");
        assert!(output < best, "a dear tool is run longer");
    }

    #[test]
    fn exponents_out_of_range_have_no_optimum() {
        for exponent in [0.0, 1.0, -0.2, f64::NAN] {
            assert_eq!(RATES.life_for_least_cost_min(exponent), None);
            assert_eq!(RATES.life_for_most_output_min(exponent), None);
        }
    }
}
