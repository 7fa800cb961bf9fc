//! Life used over stretches at different conditions: the shares of life simply add. Common
//! practice, no source.

/// Room for rounding when whole runs are counted, as a share of a run.
const RUN_SLACK: f64 = 1e-9;

/// A stretch at one condition.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    /// How long the tool cuts, min, at least 0.
    pub time_min: f64,
    /// How long it would last at this condition, min.
    pub life_min: f64,
}

/// Where life reaches a level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// Index of the stretch in which it does.
    pub segment: usize,
    /// How far into that stretch, 0…1.
    pub fraction: f64,
    /// Cutting time from the start, min.
    pub time_min: f64,
}

/// Life used along a sequence of stretches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LifeTrack {
    /// Share used at the start.
    pub used_at_start: f64,
    /// Share used at the end; above 1 the tool would be worn out on the way.
    pub used_at_end: f64,
    /// Cutting time of all stretches, min.
    pub time_min: f64,
    /// Where the level was first reached, if it was.
    pub crossing: Option<Crossing>,
}

impl Segment {
    /// Share of life this stretch takes; endless if the tool would not last at all.
    pub fn used(&self) -> f64 {
        if self.time_min.is_nan() || self.time_min <= 0.0 {
            0.0
        } else if self.life_min > 0.0 {
            self.time_min / self.life_min
        } else {
            f64::INFINITY
        }
    }
}

/// Adds up the life used from `used_at_start` on, and finds where it first reaches `level`; at the
/// very start if it is reached already. Exact but for rounding.
pub fn follow_life(
    used_at_start: f64,
    level: f64,
    segments: impl IntoIterator<Item = Segment>,
) -> LifeTrack {
    let mut track =
        LifeTrack { used_at_start, used_at_end: used_at_start, time_min: 0.0, crossing: None };
    if used_at_start >= level {
        track.crossing = Some(Crossing { segment: 0, fraction: 0.0, time_min: 0.0 });
    }
    for (index, segment) in segments.into_iter().enumerate() {
        let used = segment.used();
        if track.crossing.is_none() && track.used_at_end + used >= level {
            let fraction = ((level - track.used_at_end) / used).clamp(0.0, 1.0);
            let time_min = track.time_min + fraction * segment.time_min;
            track.crossing = Some(Crossing { segment: index, fraction, time_min });
        }
        track.used_at_end += used;
        track.time_min += segment.time_min.max(0.0);
    }
    track
}

/// Whole runs that fit before `level` is passed, each taking `used_per_run`; `None` if there is no
/// end to them.
pub fn whole_runs_left(used: f64, level: f64, used_per_run: f64) -> Option<u64> {
    let runs = (level - used) / used_per_run + RUN_SLACK;
    // a float cast to an integer saturates: below 0 becomes 0
    (used_per_run > 0.0 && runs < u64::MAX as f64).then(|| runs.floor() as u64)
}

/// Cutting time, min, until `level` at a condition where the tool lasts `life_min`; 0 if reached.
pub fn minutes_left(used: f64, level: f64, life_min: f64) -> f64 {
    if used >= level { 0.0 } else { (level - used) * life_min }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn segments(of: &[(f64, f64)]) -> Vec<Segment> {
        of.iter().map(|&(time_min, life_min)| Segment { time_min, life_min }).collect()
    }

    #[test]
    fn the_level_is_found_within_a_stretch() {
        let track = follow_life(0.71, 0.9, segments(&[(10.0, 100.0), (0.0, 5.0), (20.0, 160.0)]));
        let crossing = track.crossing.expect("passes 0.9");
        assert_eq!(crossing.segment, 2);
        assert!((crossing.time_min - (10.0 + 0.09 * 160.0)).abs() < 1e-12);
        assert!((track.used_at_end - 0.935).abs() < 1e-12);
        assert_eq!(track.time_min, 30.0);
    }

    #[test]
    fn splitting_a_stretch_changes_nothing() {
        let whole = follow_life(0.1, 0.5, segments(&[(10.0, 20.0), (5.0, 50.0)]));
        let split = follow_life(0.1, 0.5, segments(&[(4.0, 20.0), (6.0, 20.0), (5.0, 50.0)]));
        assert!((whole.used_at_end - split.used_at_end).abs() < 1e-15);
        let time = |track: LifeTrack| track.crossing.expect("passes").time_min;
        assert!((time(whole) - time(split)).abs() < 1e-12);
    }

    #[test]
    fn degenerate_lives() {
        let none = follow_life(0.0, 1.0, segments(&[]));
        assert_eq!((none.used_at_end, none.crossing), (0.0, None));
        let at_once = follow_life(0.95, 0.9, segments(&[(1.0, 10.0)]));
        assert_eq!(at_once.crossing.expect("reached").time_min, 0.0);
        let endless = follow_life(0.2, 0.9, segments(&[(1.0, f64::INFINITY)]));
        assert_eq!(endless.used_at_end, 0.2);
        let hopeless = follow_life(0.2, 0.9, segments(&[(1.0, 10.0), (2.0, 0.0)]));
        assert_eq!(hopeless.used_at_end, f64::INFINITY);
        assert_eq!(hopeless.crossing, Some(Crossing { segment: 1, fraction: 0.0, time_min: 1.0 }));
    }

    #[test]
    fn runs_are_counted_whole() {
        assert_eq!(whole_runs_left(0.1, 0.9, 0.1), Some(8));
        assert_eq!(whole_runs_left(0.1, 0.9, 0.3), Some(2));
        assert_eq!(whole_runs_left(0.95, 0.9, 0.3), Some(0));
        assert_eq!(whole_runs_left(0.1, 0.9, 0.0), None);
        assert_eq!(whole_runs_left(0.1, 0.9, f64::NAN), None);
        assert_eq!(minutes_left(0.95, 0.9, 30.0), 0.0);
    }
}
