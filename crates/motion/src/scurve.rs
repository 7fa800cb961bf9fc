//! Motion with limited jerk in closed form: ramps between two speeds, and a length run between
//! two speeds in the least time.
//!
//! All of it is integration of piecewise constant jerk; the ends have no acceleration.

/// Limits along a path: mm (or degrees) and seconds; all above 0 and finite.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PathLimits {
    /// Highest speed, mm/s.
    pub speed: f64,
    /// Highest acceleration, mm/s².
    pub acceleration: f64,
    /// Highest jerk, mm/s³; infinite for none.
    pub jerk: f64,
}

impl PathLimits {
    /// Least time of a move from rest to rest, s; 0 for a length that is not above 0.
    pub fn rest_to_rest_s(self, length: f64) -> f64 {
        if !(length > 0.0 && length.is_finite()) {
            return 0.0;
        }
        if self.jerk.is_finite() {
            let hill = Hill { entry: 0.0, exit: 0.0, length, limits: self };
            return hill.profile().map_or(0.0, |p| p.duration_s());
        }
        let peak = (self.acceleration * length).sqrt().min(self.speed);
        length / peak + peak / self.acceleration
    }

    /// Time of a ramp that changes the speed by `change` ≥ 0, s.
    pub(crate) fn ramp_s(self, change: f64) -> f64 {
        if change * self.jerk >= self.acceleration * self.acceleration {
            change / self.acceleration + self.acceleration / self.jerk
        } else {
            2.0 * (change / self.jerk).sqrt()
        }
    }

    /// Speed up to `wanted` at one end of a ramp of a length, from `other` ≤ `wanted` at the other.
    pub(crate) fn highest_over(self, length: f64, other: f64, wanted: f64) -> f64 {
        if self.ramp_length(other, wanted) <= length {
            return wanted;
        }
        let start = other + 0.25 * self.jerk * (length / other) * (length / other);
        root([other, wanted], start, |speed| {
            (self.ramp_length(other, speed) - length, self.ramp_slope(other, speed))
        })
    }

    /// Length that a ramp takes more per higher speed at its end, s.
    fn ramp_slope(self, low: f64, high: f64) -> f64 {
        let change = high - low;
        if change * self.jerk >= self.acceleration * self.acceleration {
            high / self.acceleration + 0.5 * self.acceleration / self.jerk
        } else {
            let time = (change / self.jerk).sqrt();
            time + 0.5 * (low + high) / (self.jerk * time)
        }
    }

    /// Length of a ramp between two speeds, mm.
    pub(crate) fn ramp_length(self, low: f64, high: f64) -> f64 {
        0.5 * (low + high) * self.ramp_s(high - low)
    }
}

/// A length to run from one speed to another, both without acceleration.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Hill {
    pub entry: f64,
    pub exit: f64,
    pub length: f64,
    pub limits: PathLimits,
}

impl Hill {
    /// The fastest run; `None` if the length is too short to get from one speed to the other.
    pub fn profile(&self) -> Option<Profile> {
        let (low, high) = (self.entry.min(self.exit), self.entry.max(self.exit));
        if self.limits.ramp_length(low, high) > self.length * (1.0 + SHORTAGE) {
            return None;
        }
        let speed = self.limits.speed.max(high);
        let full = self.excess(speed);
        let (peak, cruise) = if full <= 0.0 {
            (speed, if speed > 0.0 { -full / speed } else { 0.0 })
        } else {
            (self.peak(high, speed), 0.0)
        };
        Some(Profile::new(self, peak, cruise))
    }

    /// Length that both ramps to a peak need beyond the one there is.
    fn excess(&self, peak: f64) -> f64 {
        self.limits.ramp_length(self.entry, peak) + self.limits.ramp_length(self.exit, peak)
            - self.length
    }

    /// The peak speed whose two ramps fill the length: closed form where both ramps reach the
    /// full acceleration, else Newton steps to the last digits.
    fn peak(&self, low: f64, high: f64) -> f64 {
        let PathLimits { acceleration: a, jerk, .. } = self.limits;
        let (v0, v1) = (self.entry, self.exit);
        let half = 0.5 * a / jerk;
        let constant = 0.5 * (v0 * v0 + v1 * v1) / a - half * (v0 + v1) + self.length;
        let root = a * ((half * half + constant.max(0.0) / a).sqrt() - half);
        if (root - low) * jerk >= a * a {
            return root.clamp(low, high);
        }
        if v0 == 0.0 && v1 == 0.0 {
            // Two ramps without full acceleration: length = 2 · peak · √(peak / jerk).
            return kw_base::math::cbrt(0.25 * self.length * self.length * jerk);
        }
        self.bracketed(low, high)
    }

    /// Root of [`Self::excess`] between a low and a high peak.
    fn bracketed(&self, low: f64, high: f64) -> f64 {
        // Both ramps together last about as long as the way at the mean speed of the ends.
        let ramp_s = 0.5 * self.length / (self.entry + self.exit);
        let start = low + self.limits.jerk * ramp_s * ramp_s;
        root([low, high], start, |peak| {
            let slope =
                self.limits.ramp_slope(self.entry, peak) + self.limits.ramp_slope(self.exit, peak);
            (self.excess(peak), slope)
        })
    }
}

/// Root of a rising function that gives value and slope, inside a bracket: Newton's method,
/// halving the bracket where it would leave it.
fn root([mut low, mut high]: [f64; 2], start: f64, f: impl Fn(f64) -> (f64, f64)) -> f64 {
    let mut at = if start > low && start < high { start } else { 0.5 * (low + high) };
    for _ in 0..100 {
        let (value, slope) = f(at);
        if value > 0.0 {
            high = at;
        } else {
            low = at;
        }
        let next = at - value / slope;
        let next = if next > low && next < high { next } else { 0.5 * (low + high) };
        if (next - at).abs() <= ROOT_SETTLED * high {
            return next;
        }
        at = next;
    }
    at
}

/// Relative step at which a root counts as found.
const ROOT_SETTLED: f64 = 1e-14;

/// Relative shortage of length that counts as none, for what rounding leaves of a fitted speed.
const SHORTAGE: f64 = 1e-11;

/// A time in which the jerk is constant, from its own start.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Phase {
    pub time: f64,
    pub speed: f64,
    pub acceleration: f64,
    pub jerk: f64,
}

impl Phase {
    fn length_after(&self, t: f64) -> f64 {
        t * (self.speed + t * (0.5 * self.acceleration + t * self.jerk / 6.0))
    }

    fn speed_after(&self, t: f64) -> f64 {
        self.speed + t * (self.acceleration + 0.5 * t * self.jerk)
    }

    /// Time at which a length is run; the speed must not fall to 0 before. Closed form without
    /// jerk, else Newton's method kept inside a bracket.
    fn time_at(&self, length: f64) -> f64 {
        if self.jerk == 0.0 {
            let end = self.speed * self.speed + 2.0 * self.acceleration * length;
            return 2.0 * length / (self.speed + end.max(0.0).sqrt());
        }
        let mut high = self.time;
        if self.jerk >= 0.0 && self.acceleration >= 0.0 {
            // Each term alone would take at least as long.
            high = high.min(length / self.speed);
            if self.acceleration > 0.0 {
                high = high.min((2.0 * length / self.acceleration).sqrt());
            }
        }
        let (mut low, mut t) = (0.0, high);
        for _ in 0..40 {
            let error = self.length_after(t) - length;
            if error > 0.0 {
                high = t;
            } else {
                low = t;
            }
            let next = t - error / self.speed_after(t);
            let next = if next > low && next < high { next } else { 0.5 * (low + high) };
            if (next - t).abs() <= 1e-13 * high {
                return next;
            }
            t = next;
        }
        t
    }
}

/// A run over a length in phases of constant jerk.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Profile {
    phases: [Phase; 7],
}

impl Profile {
    fn new(hill: &Hill, peak: f64, cruise: f64) -> Self {
        let mut phases = [Phase::default(); 7];
        up(&mut phases[0..3], hill.entry, peak, hill.limits);
        phases[3] = Phase { time: cruise, speed: peak, acceleration: 0.0, jerk: 0.0 };
        down(&mut phases[4..7], peak, hill.exit, hill.limits);
        Self { phases }
    }

    pub fn duration_s(&self) -> f64 {
        self.phases.iter().map(|p| p.time).sum()
    }

    pub fn peak(&self) -> f64 {
        self.phases[3].speed
    }

    /// Times between which the peak speed holds, s.
    pub fn crest_s(&self) -> [f64; 2] {
        let start: f64 = self.phases[..3].iter().map(|p| p.time).sum();
        [start, start + self.phases[3].time]
    }
}

/// Walks along a profile, forward only.
#[derive(Clone, Debug)]
pub(crate) struct Walk<'a> {
    profile: &'a Profile,
    phase: usize,
    time_before: f64,
    length_before: f64,
}

impl<'a> Walk<'a> {
    pub fn along(profile: &'a Profile) -> Self {
        Self { profile, phase: 0, time_before: 0.0, length_before: 0.0 }
    }

    /// Time and speed at a length, which must not be less than in the call before.
    pub fn at(&mut self, length: f64) -> (f64, f64) {
        loop {
            let phase = &self.profile.phases[self.phase];
            let whole = phase.length_after(phase.time);
            let here = (length - self.length_before).max(0.0);
            if here < whole {
                let t = phase.time_at(here);
                return (self.time_before + t, phase.speed_after(t));
            }
            if self.phase == 6 {
                return (self.time_before + phase.time, phase.speed_after(phase.time));
            }
            self.time_before += phase.time;
            self.length_before += whole;
            self.phase += 1;
        }
    }
}

/// Full phases of a ramp over a change of speed: (time of each jerk phase, time between them).
fn ramp_phases(change: f64, limits: PathLimits) -> (f64, f64) {
    let PathLimits { acceleration, jerk, .. } = limits;
    if change * jerk >= acceleration * acceleration {
        (acceleration / jerk, change / acceleration - acceleration / jerk)
    } else {
        ((change / jerk).sqrt(), 0.0)
    }
}

fn up(phases: &mut [Phase], from: f64, to: f64, limits: PathLimits) {
    let (rounding, full) = ramp_phases((to - from).max(0.0), limits);
    let jerk = limits.jerk;
    let acceleration = jerk * rounding;
    let gain = 0.5 * acceleration * rounding;
    phases[0] = Phase { time: rounding, speed: from, acceleration: 0.0, jerk };
    phases[1] = Phase { time: full, speed: from + gain, acceleration, jerk: 0.0 };
    phases[2] = Phase { time: rounding, speed: to - gain, acceleration, jerk: -jerk };
}

fn down(phases: &mut [Phase], from: f64, to: f64, limits: PathLimits) {
    let (rounding, full) = ramp_phases((from - to).max(0.0), limits);
    let jerk = limits.jerk;
    let acceleration = -jerk * rounding;
    let loss = -0.5 * acceleration * rounding;
    phases[0] = Phase { time: rounding, speed: from, acceleration: 0.0, jerk: -jerk };
    phases[1] = Phase { time: full, speed: from - loss, acceleration, jerk: 0.0 };
    phases[2] = Phase { time: rounding, speed: to + loss, acceleration, jerk };
}

#[cfg(test)]
mod tests {
    use super::*;

    const LIMITS: PathLimits = PathLimits { speed: 250.0, acceleration: 2000.0, jerk: 25_000.0 };

    #[test]
    fn all_cases_of_rest_to_rest() {
        // Both plateaus: L/v + v/a + a/j .
        let cases = [
            (100.0, 100.0 / 250.0 + 250.0 / 2000.0 + 2000.0 / 25_000.0),
            // Full acceleration, speed not reached: peak from p²/a + p·a/j = L.
            (40.0, {
                let (a, j, l) = (2000.0_f64, 25_000.0, 40.0);
                let p: f64 = 0.5 * a * (-a / j + ((a / j) * (a / j) + 4.0 * l / a).sqrt());
                2.0 * (p / a + a / j)
            }),
            // Neither: four equal jerk phases, L = 2·j·t³.
            (1.0, 4.0 * kw_base::math::cbrt(1.0 / 50_000.0)),
        ];
        for (length, expected) in cases {
            let time = LIMITS.rest_to_rest_s(length);
            assert!((time - expected).abs() < 1e-12 * expected, "{length}: {time} {expected}");
        }
        // Speed reached but not full acceleration: two ramps of 2·√(v/j).
        let slow = PathLimits { speed: 50.0, ..LIMITS };
        let expected = 20.0 / 50.0 + 2.0 * (50.0_f64 / 25_000.0).sqrt();
        assert!((slow.rest_to_rest_s(20.0) - expected).abs() < 1e-12);
    }

    #[test]
    fn a_profile_runs_its_length_and_meets_its_ends() {
        for (entry, exit, length) in
            [(0.0, 80.0, 30.0), (120.0, 10.0, 18.0), (60.0, 61.0, 2.0), (5.0, 5.0, 0.2)]
        {
            let hill = Hill { entry, exit, length, limits: LIMITS };
            let profile = hill.profile().expect("long enough");
            let run: f64 = profile.phases.iter().map(|p| p.length_after(p.time)).sum();
            assert!((run - length).abs() < 1e-9 * length, "{run} {length}");
            let mut walk = Walk::along(&profile);
            let mut before = 0.0;
            for i in 0..=20 {
                let (t, v) = walk.at(length * f64::from(i) / 20.0);
                assert!(t >= before && v >= entry.min(exit) - 1e-6 && v <= profile.peak() + 1e-9);
                before = t;
            }
            assert!((before - profile.duration_s()).abs() < 1e-9);
        }
        assert!(Hill { entry: 0.0, exit: 80.0, length: 2.0, limits: LIMITS }.profile().is_none());
    }

    #[test]
    fn runs_between_two_speeds_take_the_stored_times() {
        // Values of ruckig 0.19.4, written by tests/reference/motion.py.
        let stored: serde_json::Value =
            serde_json::from_str(include_str!("../tests/reference/motion.json")).expect("JSON");
        let cases = stored["speed_to_speed"].as_array().expect("cases");
        assert_eq!(cases.len(), 60);
        for case in cases {
            let number = |key: &str| case[key].as_f64().expect("a number");
            let limits = PathLimits {
                speed: number("speed"),
                acceleration: number("acceleration"),
                jerk: number("jerk"),
            };
            let (entry, exit) = (number("entry"), number("exit"));
            let hill = Hill { entry, exit, length: number("length"), limits };
            let time = hill.profile().expect("long enough").duration_s();
            assert!((time / number("time") - 1.0).abs() < 1e-6, "{time} {case}");
        }
    }
}
