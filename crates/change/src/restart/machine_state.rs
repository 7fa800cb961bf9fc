//! Everything a program has switched before a move, and how it is switched again.

use crate::write::{WriteError, Writer};
use kw_model::Action;
use kw_nc::{EventKind, Move, ReadContext, SpindleTurn, Toolpath};

/// What is on before a move, as the codes that switched it, in the order in which they came.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct MachineState {
    /// Indices into the dialect's codes.
    codes: Vec<u32>,
    mist: bool,
    flood: bool,
    length: Option<f64>,
}

impl MachineState {
    /// Follows all events up to and including those before a move.
    pub(super) fn before(path: &Toolpath, first_move: usize, context: &ReadContext<'_>) -> Self {
        let mut state = Self::default();
        let mut switched: Vec<(Switch, u32)> = Vec::new();
        for event in path.events.iter().filter(|e| e.before_move as usize <= first_move) {
            match &event.kind {
                EventKind::Mapped { action, code_index, .. } => {
                    if let Some(switch) = Switch::of(*action, *code_index, context) {
                        switched.retain(|(known, _)| *known != switch);
                        switched.push((switch, *code_index));
                    }
                }
                EventKind::Coolant(mist, flood) => (state.mist, state.flood) = (*mist, *flood),
                EventKind::LengthOffset(length) => state.length = *length,
                _ => {}
            }
        }
        state.codes = switched.into_iter().map(|(_, code)| code).collect();
        state
    }

    /// Names of the codes that are switched again.
    pub(super) fn in_words(&self, context: &ReadContext<'_>) -> Vec<String> {
        let name = |&code: &u32| context.dialect.code.get(code as usize).map(|c| c.name.clone());
        self.codes.iter().filter_map(name).collect()
    }

    /// Writes tool, head, length, switches, spindle for a move.
    pub(super) fn write(
        &self,
        writer: &mut Writer<'_>,
        context: &ReadContext<'_>,
        first: &Move<'_>,
    ) -> Result<(), WriteError> {
        for &code in &self.codes {
            writer.code(code);
        }
        // A tool fixed in its head comes with the head.
        let fixed = context.heads.get(usize::from(first.state.head)).and_then(|h| h.fixed_tool);
        if let Some(tool) = first.state.tool.filter(|&tool| fixed != Some(tool)) {
            writer.change_tool(tool);
        }
        if first.state.work_system != 1 {
            writer.work_system(first.state.work_system)?;
        }
        if let Some(length) = self.length {
            writer.length(Some(length), first.index as u32)?;
        }
        if first.state.spindle != SpindleTurn::Still {
            writer.spindle(first.state.spindle, first.state.spindle_rpm);
        }
        if self.mist || self.flood {
            writer.coolant(self.mist, self.flood);
        }
        Ok(())
    }
}

/// What a code switches: two codes of one switch undo each other.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Switch {
    Head,
    HeadHeight,
    Knife,
    Zone(String),
    Pump(String),
    Extraction,
    Pins,
    Mist,
    Air,
}

impl Switch {
    fn of(action: Action, code_index: u32, context: &ReadContext<'_>) -> Option<Self> {
        let mapped = context.dialect.code.get(code_index as usize);
        let target = || mapped.and_then(|c| c.target.clone()).unwrap_or_default();
        Some(match action {
            Action::SelectHead => Self::Head,
            Action::HeadDown | Action::HeadUp => Self::HeadHeight,
            Action::KnifeOn | Action::KnifeOff => Self::Knife,
            Action::ZoneOn | Action::ZoneOff => Self::Zone(target()),
            Action::PumpOn | Action::PumpOff => Self::Pump(target()),
            Action::ExtractionOn | Action::ExtractionOff => Self::Extraction,
            Action::PinsUp | Action::PinsDown => Self::Pins,
            Action::MistOn | Action::MistOff => Self::Mist,
            Action::AirOn | Action::AirOff => Self::Air,
            Action::Message | Action::Pause | Action::Nothing => return None,
        })
    }
}
