#![doc = include_str!("travel_exceeded.md")]

use crate::Context;
use crate::context::work_system_name;
use crate::excursion::{Excursion, Worst};
use crate::registry::check_info;
use kw_base::{Finding, FindingLog};
use kw_geometry::{Bounds, Vec3};
use kw_model::machine::AxisLetter;
use kw_nc::Move;

check_info!("travel-exceeded", Stop, "an axis is sent beyond its travel", "travel_exceeded.md");

/// Positions beyond the travel by less than this are rounding, mm. Our choice: far below what a
/// limit switch resolves, far above the error of adding offsets.
const ROUNDING_MM: f64 = 1e-6;

const LETTERS: [AxisLetter; 3] = [AxisLetter::X, AxisLetter::Y, AxisLetter::Z];

/// Follows each end of each linear axis.
#[derive(Default)]
pub struct TravelExceeded {
    low: [Excursion; 3],
    high: [Excursion; 3],
}

impl TravelExceeded {
    /// Takes the next move with the box of its axis positions.
    pub fn visit(&mut self, ctx: &Context<'_>, m: &Move<'_>, axes: &Bounds, log: &mut FindingLog) {
        for (index, letter) in LETTERS.into_iter().enumerate() {
            let Some(axis) = ctx.setup.machine.axis(letter) else { continue };
            let (min, max) = (coordinate(axes.min, index), coordinate(axes.max, index));
            if let Some(worst) = self.low[index].visit(m.index, axis.min_mm - ROUNDING_MM - min) {
                report(ctx, letter, worst, false, log);
            }
            if let Some(worst) = self.high[index].visit(m.index, max - axis.max_mm - ROUNDING_MM) {
                report(ctx, letter, worst, true, log);
            }
        }
    }

    /// Reports runs that last to the end of the program.
    pub fn finish(&mut self, ctx: &Context<'_>, log: &mut FindingLog) {
        for (index, letter) in LETTERS.into_iter().enumerate() {
            if let Some(worst) = self.low[index].finish() {
                report(ctx, letter, worst, false, log);
            }
            if let Some(worst) = self.high[index].finish() {
                report(ctx, letter, worst, true, log);
            }
        }
    }
}

fn coordinate(p: Vec3, index: usize) -> f64 {
    p.to_array()[index]
}

fn report(
    ctx: &Context<'_>,
    letter: AxisLetter,
    worst: Worst,
    beyond_max: bool,
    log: &mut FindingLog,
) {
    if INFO.wanted(log)
        && let Some(finding) = finding(ctx, letter, worst, beyond_max)
    {
        log.push_wanted(finding);
    }
}

fn finding(
    ctx: &Context<'_>,
    letter: AxisLetter,
    worst: Worst,
    beyond_max: bool,
) -> Option<Finding> {
    let axis = ctx.setup.machine.axis(letter)?;
    let m = ctx.reading.toolpath.get(worst.move_index);
    let (limit, sign, key, side) = if beyond_max {
        (axis.max_mm, 1.0, "max_mm", "-")
    } else {
        (axis.min_mm, -1.0, "min_mm", "+")
    };
    let value = limit + sign * worst.excess;
    let word = format!("{letter:?}").chars().next().unwrap_or('X');
    let setting = ctx.setup.axis_setting(letter, key);
    let mend = match letter {
        AxisLetter::Z => "use a shorter or longer tool, another datum, or another clearance height",
        _ => "move the program on the table, or place it elsewhere on the sheet",
    };
    Some(
        INFO.finding(
            ctx.place_of_word(m.block_at, word),
            format!(
                "{letter:?} {value:.3} mm is {:.3} mm beyond the machine's {letter:?} travel{}",
                worst.excess,
                worst.others()
            ),
        )
        .with_label(format!(
            "machine {letter:?} with datum {}; travel {:.3} to {:.3} mm, set in {setting}",
            work_system_name(m.state.work_system),
            axis.min_mm,
            axis.max_mm
        ))
        .with_value(value, "mm")
        .with_limit(limit, Some(setting))
        .at_move(m.index as u32, m.tip_to_mm().to_array())
        .with_help(format!("{mend}: at least {:.3} mm towards {letter:?}{side}", worst.excess)),
    )
}
