//! From blocks to motions: modal state, order of execution, geometry of each motion.

mod arc;
mod compensation;
mod cycles;
mod emit;
mod execute;
mod flow;
mod frame;
mod home;
mod listing;
pub(crate) mod modal;
mod motion;
mod offsets;
mod tools;

use crate::context::ReadContext;
use crate::explain::StateAfter;
use crate::lex::{LexRules, LineReader};
use crate::log::Log;
use crate::parameters::Parameters;
use crate::reading::{EndState, Reading, Stated};
use crate::toolpath::{MoveState, Toolpath};
use compensation::Compensation;
use cycles::Sticky;
use emit::StateTable;
use flow::Flow;
use frame::Frame;
use kw_base::Sources;
use kw_geometry::Vec3;
use modal::Modal;
use offsets::Offsets;
pub(crate) use offsets::system_name;
use tools::Tools;

/// Runs a program over the text.
pub(crate) struct Interpreter<'a> {
    sources: &'a Sources,
    context: &'a ReadContext<'a>,
    rules: LexRules,
    lines: LineReader<'a>,
    parameters: Parameters,
    log: Log,
    path: Toolpath,
    stated: Stated,
    blocks: u64,
    modal: Modal,
    offsets: Offsets,
    tools: Tools,
    frame: Frame,
    compensation: Compensation,
    sticky: Sticky,
    flow: Flow,
    state: MoveState,
    states: StateTable,
    /// Axis position, mm.
    axis: Vec3,
    /// Axis position that the program asked for: without cutter compensation, mm.
    programmed: Vec3,
    /// Rotary position, degrees.
    rotary_deg: f64,
}

impl<'a> Interpreter<'a> {
    /// An interpreter at the start of the main program.
    pub(crate) fn new(sources: &'a Sources, context: &'a ReadContext<'a>) -> Self {
        let rules = LexRules::new(context.dialect);
        let (text, base): (&[u8], u32) =
            sources.files().first().map_or((&[], 0), |f| (f.bytes(), f.base));
        let path = Toolpath {
            start_mm: context.start_mm,
            start_rotary_deg: context.start_rotary_deg,
            ..Toolpath::default()
        };
        let mut interpreter = Self {
            sources,
            context,
            lines: LineReader::new(text, base),
            parameters: Parameters::default(),
            log: Log::new(rules.strict),
            rules,
            path,
            stated: Stated::default(),
            blocks: 0,
            modal: Modal::new(context.dialect),
            offsets: Offsets::default(),
            tools: Tools::new(context),
            frame: Frame::default(),
            compensation: Compensation::default(),
            sticky: Sticky::default(),
            flow: Flow::default(),
            state: MoveState::default(),
            states: StateTable::default(),
            axis: context.start_mm,
            programmed: context.start_mm,
            rotary_deg: context.start_rotary_deg,
        };
        interpreter.prepare();
        interpreter
    }

    fn prepare(&mut self) {
        self.load_kept_parameters();
        self.state.tool = self.tools.in_head(0);
        self.select_work_system(1);
        self.update_tip();
        self.apply_start_codes();
    }

    /// What stays in force, for a person to read.
    pub(crate) fn state_after(&self) -> StateAfter {
        StateAfter {
            program_mm: self.program_position(),
            rotary_deg: self.rotary_deg - self.offsets.shift_deg,
            tool: self.state.tool,
            spindle: self.state.spindle,
            spindle_rpm: self.state.spindle_rpm,
            feed: self.modal.feed,
            feed_unit: self.feed_unit(),
            feed_mode: self.modal.feed_mode,
            motion: self.modal.motion,
            plane: self.modal.plane,
            absolute: self.modal.absolute,
            inch: self.modal.inch,
            work_system: self.offsets.system,
            compensation: self.state.compensation,
        }
    }

    /// Number of moves so far.
    pub(crate) fn move_count(&self) -> usize {
        self.path.len()
    }

    /// What codes mean.
    pub(crate) fn rules(&self) -> &LexRules {
        &self.rules
    }

    /// What the program is read against.
    pub(crate) fn context(&self) -> &'a ReadContext<'a> {
        self.context
    }

    /// The results.
    pub(crate) fn finish(mut self) -> Reading {
        self.path.blocks_run = self.flow.blocks_run;
        let end = EndState {
            axis_mm: self.axis,
            program_mm: self.program_position(),
            rotary_deg: self.rotary_deg,
            inch: self.modal.inch,
            absolute: self.modal.absolute,
            plane: self.modal.plane,
            work_system: self.offsets.system,
        };
        Reading {
            toolpath: self.path,
            findings: self.log.into_findings(),
            stated: self.stated,
            blocks: self.blocks,
            parameters: self.parameters,
            end,
        }
    }
}
