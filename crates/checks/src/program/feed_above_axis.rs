#![doc = include_str!("feed_above_axis.md")]

use crate::Context;
use crate::excursion::{Excursion, Worst};
use crate::registry::check_info;
use kw_base::FindingLog;
use kw_geometry::Vec3;
use kw_model::machine::AxisLetter;
use kw_nc::Move;

check_info!("feed-above-axis", Care, "a feed is above what an axis can run", "feed_above_axis.md");

const LETTERS: [AxisLetter; 3] = [AxisLetter::X, AxisLetter::Y, AxisLetter::Z];

/// Follows runs of moves that ask more of an axis than it can run.
pub struct FeedAboveAxis {
    excursion: [Excursion; 3],
    max_mm_min: [f64; 3],
    least_mm_min: f64,
}

impl FeedAboveAxis {
    /// Takes the axis limits from the setup.
    pub fn new(ctx: &Context<'_>) -> Self {
        let max_mm_min = LETTERS
            .map(|l| ctx.setup.machine.axis(l).map_or(f64::INFINITY, |a| a.max_speed_mm_min));
        let least_mm_min = max_mm_min.into_iter().fold(f64::INFINITY, f64::min);
        Self { excursion: Default::default(), max_mm_min, least_mm_min }
    }

    /// Takes the next move.
    pub fn visit(&mut self, ctx: &Context<'_>, m: &Move<'_>, log: &mut FindingLog) {
        let share = if m.is_feed() && m.feed > self.least_mm_min { shares(m) } else { Vec3::ZERO };
        for (i, share) in share.to_array().into_iter().enumerate() {
            let excess = m.feed * share - self.max_mm_min[i] * (1.0 + 1e-9);
            if let Some(worst) = self.excursion[i].visit(m.index, excess) {
                report(ctx, LETTERS[i], worst, self.max_mm_min[i], log);
            }
        }
    }

    /// Reports runs that last to the end of the program.
    pub fn finish(&mut self, ctx: &Context<'_>, log: &mut FindingLog) {
        let limits = LETTERS.into_iter().zip(self.max_mm_min);
        for (excursion, (letter, max)) in self.excursion.iter_mut().zip(limits) {
            if let Some(worst) = excursion.finish() {
                report(ctx, letter, worst, max, log);
            }
        }
    }
}

/// Largest share of the feed that each axis runs somewhere on the move. On arcs of more than a
/// quarter turn both axes of the plane reach the whole feed; shorter ones are taken at their ends.
fn shares(m: &Move<'_>) -> Vec3 {
    let length = m.length_mm();
    if length <= 0.0 {
        return Vec3::ZERO;
    }
    let Some(arc) = m.axis_arc() else {
        let d = m.to_mm - m.from_mm;
        return Vec3::new(d.x.abs(), d.y.abs(), d.z.abs()) * (1.0 / length);
    };
    let rise = (arc.plane.split(arc.end).1 - arc.plane.split(arc.start).1).abs() / length;
    let level = (1.0 - rise * rise).max(0.0).sqrt();
    let mut most = kw_geometry::Vec2::default();
    let steps = ((arc.sweep_rad.abs() * 8.0).ceil() as usize).clamp(2, 64);
    for i in 0..=steps {
        if let Some(d) = arc.direction_in_plane(i as f64 / steps as f64) {
            most.x = most.x.max(d.x.abs());
            most.y = most.y.max(d.y.abs());
        }
    }
    arc.plane.join(most * level, rise)
}

fn report(ctx: &Context<'_>, letter: AxisLetter, worst: Worst, max: f64, log: &mut FindingLog) {
    if !INFO.wanted(log) {
        return;
    }
    let m = ctx.reading.toolpath.get(worst.move_index);
    let asked = max + worst.excess;
    let setting = ctx.setup.axis_setting(letter, "max_speed_mm_min");
    log.push_wanted(
        INFO.finding(
            ctx.place_of_first_word(m.block_at, &['F', 'X', 'Y', 'Z']),
            format!(
                "feed {:.0} mm/min asks {asked:.0} mm/min of axis {letter:?}, which runs {max:.0}{}",
                m.feed,
                worst.others()
            ),
        )
        .with_label(format!("limit set in {setting}"))
        .with_value(asked, "mm/min")
        .with_limit(max, Some(setting))
        .at_move(m.index as u32, m.tip_to_mm().to_array())
        .with_help(format!(
            "set F to at most {:.0} here; the machine cannot run faster and the chip gets thinner",
            m.feed * max / asked
        )),
    );
}
