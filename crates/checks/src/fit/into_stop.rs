#![doc = include_str!("into_stop.md")]

use crate::Context;
use crate::registry::check_info;
use kw_base::{Finding, FindingLog, SettingRef};
use kw_geometry::{Bounds, Vec2};
use kw_model::{Action, Stop};
use kw_nc::{Event, EventKind, Move};

check_info!("into-stop", Stop, "a tool runs into a stop or pin", "into_stop.md");

/// Longest step at which a path is held against a stop, mm. Our choice: finer than any stop.
const SAMPLE_STEP_MM: f64 = 1.0;

/// Most samples on one move.
const MAX_SAMPLES: usize = 10_000;

/// Holds low moves against stops; knows whether retractable pins stand.
pub struct IntoStop<'a> {
    switches: Vec<(u32, bool)>,
    next_switch: usize,
    pins_up: bool,
    told: Vec<(usize, usize)>,
    stops: &'a [Stop],
}

impl<'a> IntoStop<'a> {
    /// Starts before the first move, with the pins raised.
    pub fn new(stops: &'a [Stop], events: &[Event]) -> Self {
        let switches = events.iter().filter_map(|event| match event.kind {
            EventKind::Mapped { action: Action::PinsUp, .. } => Some((event.before_move, true)),
            EventKind::Mapped { action: Action::PinsDown, .. } => Some((event.before_move, false)),
            _ => None,
        });
        Self {
            switches: switches.collect(),
            next_switch: 0,
            pins_up: true,
            told: Vec::new(),
            stops,
        }
    }

    /// Takes the next move with the box of its tip positions.
    pub fn visit(&mut self, ctx: &Context<'_>, m: &Move<'_>, tip: &Bounds, log: &mut FindingLog) {
        while let Some(&(before, up)) = self.switches.get(self.next_switch) {
            if before as usize > m.index {
                break;
            }
            self.pins_up = up;
            self.next_switch += 1;
        }
        for (index, stop) in self.stops.iter().enumerate() {
            if (!stop.retractable || self.pins_up) && meets(ctx, m, tip, stop) {
                // One run of moves through one stop is one mistake.
                let last = self.told.iter().rposition(|t| t.0 == index);
                let goes_on = last.is_some_and(|l| self.told[l].1 + 1 == m.index);
                match last {
                    Some(l) => self.told[l].1 = m.index,
                    None => self.told.push((index, m.index)),
                }
                if !goes_on && INFO.wanted(log) {
                    log.push_wanted(finding(ctx, m, stop));
                }
            }
        }
    }
}

fn meets(ctx: &Context<'_>, m: &Move<'_>, tip: &Bounds, stop: &Stop) -> bool {
    let top = ctx.setup.machine.table.spoilboard_top_z_mm + stop.height_mm;
    let r = ctx.radius_mm(m.state);
    if tip.min.z >= top
        || tip.max.x < stop.x_mm[0] - r
        || tip.min.x > stop.x_mm[1] + r
        || tip.max.y < stop.y_mm[0] - r
        || tip.min.y > stop.y_mm[1] + r
    {
        return false;
    }
    let steps = ((m.length_mm() / SAMPLE_STEP_MM).ceil() as usize).clamp(1, MAX_SAMPLES);
    let arc = m.tip_arc();
    let (from, to) = (m.tip_from_mm(), m.tip_to_mm());
    (0..=steps).map(|i| i as f64 / steps as f64).any(|t| {
        let p = arc.map_or_else(|| from.lerp(to, t), |a| a.point_at(t));
        p.z < top && distance_to_stop_mm(p.xy(), stop) <= r
    })
}

fn distance_to_stop_mm(p: Vec2, stop: &Stop) -> f64 {
    let dx = (stop.x_mm[0] - p.x).max(p.x - stop.x_mm[1]).max(0.0);
    let dy = (stop.y_mm[0] - p.y).max(p.y - stop.y_mm[1]).max(0.0);
    Vec2::new(dx, dy).length()
}

fn finding(ctx: &Context<'_>, m: &Move<'_>, stop: &Stop) -> Finding {
    let setting: SettingRef = ctx.setup.settings.machine.find(&format!("stop.{}", stop.name));
    let top = ctx.setup.machine.table.spoilboard_top_z_mm + stop.height_mm;
    let below = top - m.tip_bounds().min.z;
    INFO.finding(
        ctx.place_of_first_word(m.block_at, &['X', 'Y', 'Z', 'I', 'J', 'R']),
        format!("the tool runs into `{}`, {below:.2} mm below its top", stop.name),
    )
    .with_label(format!("{} stands {:.1} mm high, set in {setting}", stop.name, stop.height_mm))
    .with_value(below, "mm")
    .with_limit(0.0, Some(setting))
    .at_move(m.index as u32, m.tip_to_mm().to_array())
    .with_help(if stop.retractable {
        "draw the pins in before this move, move the program, or raise the move"
    } else {
        "move the program away from the stop, or raise the move above it"
    })
}
