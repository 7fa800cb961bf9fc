//! Ways to stored positions (G28, G30) and probing (G38.2).

use super::Interpreter;
use super::emit::Step;
use super::modal::FeedMode;
use crate::faults;
use crate::lex::Block;
use crate::lex::block::{AXES, ROTARY, XYZ};
use crate::toolpath::{CompensationSide, MoveKind, Origin};
use kw_geometry::Vec3;

/// Shortest way of a probe (NISTIR 6556, section 3.5.9), mm.
const SHORTEST_PROBE_MM: f64 = 0.254;

/// First parameter that keeps where the probe touched.
const PROBED: u16 = 5061;

impl Interpreter<'_> {
    /// G28, G30: rapid by way of the point named, then to the stored position.
    pub(crate) fn go_home(&mut self, block: &Block, second: bool, used: &mut u32) {
        *used |= block.present & AXES;
        if self.state.compensation != CompensationSide::Off {
            let message = || "the way home with compensation on".to_owned();
            return self.log.say(faults::COMPENSATION_HOME, block.span(), message);
        }
        let rotary = self.rotary_target(block, false);
        if block.present & AXES != 0 {
            let by_way_of = self.target(block);
            self.rapid_home(block, by_way_of, rotary);
        }
        let home = self.home(second);
        let only_named = !self.rules.strict
            && self.context.dialect.home_named_axes_only
            && block.present & AXES != 0;
        let pick = |letter, goal, stay| if !only_named || block.has(letter) { goal } else { stay };
        let here = self.axis;
        let end = Vec3::new(
            pick(b'X', home.mm.x, here.x),
            pick(b'Y', home.mm.y, here.y),
            pick(b'Z', home.mm.z, here.z),
        );
        let turns = !only_named || rotary.is_some();
        let rotary = (turns && self.rotary_deg != home.deg).then_some(home.deg);
        self.rapid_home(block, end, rotary);
    }

    fn rapid_home(&mut self, block: &Block, end: Vec3, rotary_deg: Option<f64>) {
        self.programmed = end;
        let kind = MoveKind::Rapid;
        let step = Step { kind, origin: Origin::Home, end, arc: None, rotary_deg, feed: 0.0 };
        self.push(block.at, step);
    }

    /// G38.2: straight at feed until the probe touches; taken as reaching its end.
    pub(crate) fn probe(&mut self, block: &Block) {
        let end = self.target(block);
        let distance = self.programmed.distance(end);
        let why = if block.present & XYZ == 0 {
            Some("a probing move without X, Y or Z".to_owned())
        } else if block.present & ROTARY != 0 {
            Some("a probing move that turns a rotary axis".to_owned())
        } else if self.modal.feed_mode == FeedMode::InverseTime {
            Some("a probing move in inverse time".to_owned())
        } else if distance < SHORTEST_PROBE_MM {
            Some(format!("a probing move of {distance:.4} mm; at least {SHORTEST_PROBE_MM} mm"))
        } else {
            None
        };
        if self.state.compensation != CompensationSide::Off {
            let message = || "probing with compensation on".to_owned();
            self.log.say(faults::COMPENSATION_PROBE, block.span(), message);
        }
        if let Some(why) = why {
            return self.log.say(faults::PROBE_IMPOSSIBLE, block.span(), || why);
        }
        let feed = self.line_feed(block, || distance);
        self.look_at_feed(block, feed);
        self.programmed = end;
        let kind = MoveKind::Probe;
        let step = Step { kind, origin: Origin::Written, end, arc: None, rotary_deg: None, feed };
        self.push(block.at, step);
        let touched = self.program_position();
        for (slot, value) in touched.to_array().into_iter().enumerate() {
            self.parameters.set(PROBED + slot as u16, value);
        }
    }
}
