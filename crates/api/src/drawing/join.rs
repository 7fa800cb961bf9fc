//! Joins segments that run on within a tolerance of one straight line, in one pass.

use super::{Segment, SegmentClass};
use kw_geometry::Vec2;

/// Which segments may be joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joins {
    /// None.
    Nothing,
    /// Those of one class and tool.
    Alike,
    /// Any; the joined one takes class and tool of its longest part.
    Any,
}

/// How coarse a drawing is.
#[derive(Clone, Copy, Debug)]
pub struct Level {
    /// How far what is joined may lie aside of its segment, and beyond its end; chord error of
    /// arcs. mm.
    pub tolerance_mm: f64,
    /// Which segments may be joined.
    pub joins: Joins,
}

/// Collects segments and joins them where it can.
pub struct Joiner {
    level: Level,
    segments: Vec<Segment>,
    longest_mm: f64,
    reach: Reach,
}

impl Joiner {
    /// A joiner of a level that expects about `capacity` segments.
    pub fn new(level: Level, capacity: usize) -> Self {
        Self {
            level,
            segments: Vec::with_capacity(capacity),
            longest_mm: 0.0,
            reach: Reach::from(Vec2::default()),
        }
    }

    /// Takes the next segment; gives how many there are now.
    pub fn add(&mut self, next: Segment) -> usize {
        let to = next.to.xy();
        let length_mm = next.from.distance(to);
        let tolerance_mm = self.level.tolerance_mm;
        match self.segments.last_mut() {
            Some(last)
                if joins(self.level.joins, last, &next) && self.reach.allows(to, tolerance_mm) =>
            {
                let (class, tool) = if length_mm > self.longest_mm {
                    (next.class, next.tool)
                } else {
                    (last.class, last.tool)
                };
                *last = Segment { from: last.from, class, tool, ..next };
                self.longest_mm = self.longest_mm.max(length_mm);
            }
            _ => {
                self.reach = Reach::from(next.from);
                self.longest_mm = length_mm;
                self.segments.push(next);
            }
        }
        self.reach.pass(to, tolerance_mm);
        self.segments.len()
    }

    /// All segments.
    pub fn finish(self) -> Vec<Segment> {
        self.segments
    }
}

fn joins(joins: Joins, last: &Segment, next: &Segment) -> bool {
    let alike = |s: &Segment| -> (SegmentClass, u8) { (s.class, s.tool) };
    match joins {
        Joins::Nothing => false,
        Joins::Alike => alike(last) == alike(next),
        Joins::Any => true,
    }
}

/// Where a segment may end so that every corner it has passed stays near it.
///
/// Each corner farther than the tolerance from the start leaves a wedge of directions from the
/// start whose rays pass within the tolerance of it; the wedge kept is that of all corners.
#[derive(Clone, Copy, Debug)]
struct Reach {
    start: Vec2,
    farthest_mm: f64,
    /// Unit vectors along the wedge's left and right side; less than half a turn apart.
    wedge: Option<(Vec2, Vec2)>,
}

impl Reach {
    fn from(start: Vec2) -> Self {
        Self { start, farthest_mm: 0.0, wedge: None }
    }

    /// Whether the segment may end here: in the wedge, and not turned back.
    fn allows(&self, end: Vec2, tolerance_mm: f64) -> bool {
        let along = end - self.start;
        if along.length() < self.farthest_mm - tolerance_mm {
            return false;
        }
        self.wedge.is_none_or(|(left, right)| right.cross(along) >= 0.0 && along.cross(left) >= 0.0)
    }

    /// Keeps a corner in mind.
    fn pass(&mut self, corner: Vec2, tolerance_mm: f64) {
        let along = corner - self.start;
        let distance_mm = along.length();
        self.farthest_mm = self.farthest_mm.max(distance_mm);
        let Some(unit) = along.unit().filter(|_| distance_mm > tolerance_mm) else { return };
        let sin = tolerance_mm / distance_mm;
        let cos = (1.0 - sin * sin).max(0.0).sqrt();
        let aside = unit.perpendicular() * sin;
        let (left, right) = (unit * cos + aside, unit * cos - aside);
        self.wedge = Some(match self.wedge {
            None => (left, right),
            Some((l, r)) => (
                if left.cross(l) > 0.0 { left } else { l },
                if r.cross(right) > 0.0 { right } else { r },
            ),
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kw_geometry::Vec3;

    fn segment(from: Vec2, to: Vec2, class: SegmentClass) -> Segment {
        let to = Vec3::new(to.x, to.y, 0.0);
        Segment { from, to, end_s: 0.0, move_index: 0, block_at: 0, class, tool: 0 }
    }

    fn joined(corners: &[Vec2], level: Level) -> Vec<Segment> {
        let mut joiner = Joiner::new(level, 0);
        for (i, pair) in corners.windows(2).enumerate() {
            let next = segment(pair[0], pair[1], SegmentClass::Cut);
            joiner.add(Segment { move_index: i as u32, ..next });
        }
        joiner.finish()
    }

    fn distance(p: Vec2, a: Vec2, b: Vec2) -> f64 {
        let along = b - a;
        let squared = along.dot(along);
        let t = if squared > 0.0 { ((p - a).dot(along) / squared).clamp(0.0, 1.0) } else { 0.0 };
        p.distance(a + along * t)
    }

    /// A walk that wanders, turns back and crosses itself.
    fn walk(steps: usize, seed: u32) -> Vec<Vec2> {
        let mut state = seed;
        let mut next = || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(state >> 8) / f64::from(1 << 24) - 0.5
        };
        let (mut at, mut heading) = (Vec2::default(), Vec2::new(1.0, 0.0));
        (0..steps)
            .map(|_| {
                heading = heading.rotated(next() * if next() > 0.45 { 6.0 } else { 0.4 });
                at += heading * (next() + 0.5);
                at
            })
            .collect()
    }

    #[test]
    fn every_corner_stays_near_the_segment_that_stands_for_it() {
        for seed in 0..40 {
            let corners = walk(400, seed);
            for tolerance_mm in [0.05, 0.3, 2.0] {
                let segments = joined(&corners, Level { tolerance_mm, joins: Joins::Alike });
                let mut first = 0;
                for s in &segments {
                    let last = s.move_index as usize + 1;
                    assert_eq!((s.from, s.to.xy()), (corners[first], corners[last]));
                    for &corner in &corners[first..=last] {
                        // Aside of the end and beyond it at once: the diagonal.
                        let off_mm = distance(corner, s.from, s.to.xy());
                        assert!(off_mm <= tolerance_mm * 1.415, "{off_mm} of {tolerance_mm}");
                    }
                    first = last;
                }
                assert_eq!(first + 1, corners.len(), "nothing is lost");
            }
        }
    }

    #[test]
    fn a_straight_row_becomes_one_segment_and_a_return_two() {
        let level = Level { tolerance_mm: 0.1, joins: Joins::Alike };
        let row: Vec<Vec2> = (0..100).map(|i| Vec2::new(f64::from(i), 5.0)).collect();
        assert_eq!(joined(&row, level).len(), 1);
        let back: Vec<Vec2> = row.iter().chain(row.iter().rev()).copied().collect();
        assert_eq!(joined(&back, level).len(), 2);
        assert_eq!(joined(&row, Level { joins: Joins::Nothing, ..level }).len(), 99);
    }

    #[test]
    fn classes_are_kept_apart_or_the_longest_wins() {
        let at = |x: f64| Vec2::new(x, 0.0);
        let three = [(0.0, 1.0, SegmentClass::Cut), (1.0, 9.0, SegmentClass::Rapid)];
        let run = |joins| {
            let mut joiner = Joiner::new(Level { tolerance_mm: 0.1, joins }, 0);
            for (from, to, class) in three {
                joiner.add(segment(at(from), at(to), class));
            }
            joiner.finish()
        };
        assert_eq!(run(Joins::Alike).len(), 2);
        let any = run(Joins::Any);
        assert_eq!((any.len(), any[0].class), (1, SegmentClass::Rapid));
    }
}
