//! Tools, heads, spindle, coolant and machine-specific codes.

use super::Interpreter;
use super::modal::FeedMode;
use crate::context::{ReadContext, ReadTool};
use crate::faults;
use crate::faults::FaultInfo;
use crate::lex::block::Letter;
use crate::lex::{Block, Code, Group};
use crate::toolpath::{EventKind, SpindleTurn};
use kw_geometry::Vec3;
use kw_model::Action;
use kw_model::dialect::{LengthOffset, ToolCall, ToolWord};

/// Tools in the heads and the one selected for the next change.
#[derive(Clone, Debug)]
pub(crate) struct Tools {
    /// Selected for the next change, with the length offset that comes with it.
    selected: Option<(u32, Option<u32>)>,
    /// Tool in each head.
    in_head: Vec<Option<u32>>,
    /// Head of each `SelectHead` target name in the dialect's list of codes.
    select: Vec<Option<u16>>,
}

impl Tools {
    /// The tools at program start.
    pub(crate) fn new(context: &ReadContext<'_>) -> Self {
        let head_named = |id: &str| context.heads.iter().position(|h| h.id == id);
        let mut in_head: Vec<Option<u32>> = context.heads.iter().map(|h| h.fixed_tool).collect();
        if let Some(first) = in_head.first_mut() {
            *first = context.start_tool.or(*first);
        }
        Self {
            selected: None,
            in_head,
            select: context
                .dialect
                .code
                .iter()
                .map(|c| c.target.as_deref().and_then(head_named).map(|i| i as u16))
                .collect(),
        }
    }

    /// The tool in a head.
    pub(crate) fn in_head(&self, head: u16) -> Option<u32> {
        self.in_head.get(usize::from(head)).copied().flatten()
    }

    /// Offset of a head, mm.
    pub(crate) fn head_offset(&self, context: &ReadContext<'_>, head: u16) -> Vec3 {
        context.heads.get(usize::from(head)).map_or(Vec3::ZERO, |h| h.offset_mm)
    }
}

impl Interpreter<'_> {
    /// Computes tip offset anew after tool, head or applied length changed.
    pub(crate) fn update_tip(&mut self) {
        let applied = self.state.applied_length_mm;
        let measured = self.state.tool.and_then(|t| self.context.tools.get(&t)?.length_mm);
        let mut tip = self.tools.head_offset(self.context, self.state.head);
        tip.z -= measured.unwrap_or(applied);
        self.state.tip_offset_mm = tip;
        self.state_changed();
    }

    /// A whole number of 0 or more from a word; `None`, reported, if it is not.
    pub(crate) fn count_word(&mut self, block: &Block, letter: u8, value: f64) -> Option<u32> {
        let nearest = value.round();
        let name = letter as char;
        if value < 0.0 {
            let message = || format!("{name}{value} is negative");
            self.log.say(faults::VALUE_NEGATIVE, self.word(block, name), message);
            return None;
        }
        if (value - nearest).abs() > 1e-4 {
            let message = || format!("{name}{value} is not a whole number");
            self.log.say(faults::NUMBER_NOT_WHOLE, self.word(block, name), message);
        }
        (nearest <= f64::from(u32::MAX)).then_some(nearest as u32)
    }

    /// Holds a slot number against the control's highest.
    pub(crate) fn slot_exists(
        &mut self,
        block: &Block,
        letter: u8,
        slot: u32,
        info: &'static FaultInfo,
    ) -> bool {
        let Some(highest) = self.context.highest_slot.filter(|&highest| slot > highest) else {
            return true;
        };
        let name = letter as char;
        let span = self.word(block, name);
        self.log.say_with(
            info,
            span,
            || format!("{name}{slot} is beyond the highest slot, {highest}"),
            |finding| finding.with_value(f64::from(slot), "").with_limit(f64::from(highest), None),
        );
        false
    }

    /// T words and M6.
    pub(crate) fn tool_words(&mut self, block: &Block) {
        let at_once = !self.rules.strict && self.context.dialect.tool_call == ToolCall::ToolWord;
        let changes = block.groups & Group::ToolChange.bit() != 0;
        let words = &block.tools[..usize::from(block.tool_count)];
        let mut changed = !changes;
        for (index, word) in words.iter().enumerate() {
            let later = word.after_change && index > 0;
            if later && !changed {
                self.change_tool(block);
                changed = true;
            }
            self.select_tool(block, word.number);
            if at_once && !changes {
                self.change_tool(block);
            }
        }
        if !changed {
            self.change_tool(block);
        }
    }

    fn select_tool(&mut self, block: &Block, value: f64) {
        let Some(number) = self.count_word(block, b'T', value) else { return };
        let with_offset =
            !self.rules.strict && self.context.dialect.tool_word == ToolWord::NumberAndOffset;
        let (tool, offset) =
            if with_offset { (number / 100, Some(number % 100)) } else { (number, None) };
        if self.slot_exists(block, b'T', tool, faults::TOOL_NUMBER_TOO_HIGH) {
            self.tools.selected = Some((tool, offset));
            self.event(block.at, EventKind::ToolSelected(tool));
        }
    }

    /// M6, or a tool word that acts at once. Tool 0 empties the spindle.
    fn change_tool(&mut self, block: &Block) {
        let Some((number, offset)) = self.tools.selected else {
            if block.tool_count > 0 {
                return;
            }
            let message = || "a tool change without a tool selected by T".to_owned();
            return self.log.say(faults::WORD_MISSING, block.span(), message);
        };
        let tool = (number != 0).then_some(number);
        let selects_head = !self.rules.strict && self.context.dialect.tool_selects_head;
        if selects_head && let Some(known) = self.tool_entry(number) {
            self.select_head(known.head);
        }
        let from = self.state.tool;
        self.stop_spindle_for_change(block);
        self.event(block.at, EventKind::ToolChange { from, to: tool });
        self.state.tool = tool;
        if let Some(slot) = self.tools.in_head.get_mut(usize::from(self.state.head)) {
            *slot = tool;
        }
        self.warn_of_change_in_compensation(block);
        let with_tool =
            !self.rules.strict && self.context.dialect.length_offset == LengthOffset::WithTool;
        match offset {
            Some(0) => self.apply_length(block, None),
            Some(slot) => self.apply_table_length(block, slot),
            None if with_tool && tool.is_some() => self.apply_table_length(block, number),
            None if with_tool => self.apply_length(block, None),
            None => self.update_tip(),
        }
    }

    fn stop_spindle_for_change(&mut self, block: &Block) {
        if self.state.spindle != SpindleTurn::Still {
            self.state.spindle = SpindleTurn::Still;
            let speed_rpm = self.state.spindle_rpm;
            self.event(block.at, EventKind::Spindle { turn: SpindleTurn::Still, speed_rpm });
        }
    }

    pub(crate) fn tool_entry(&self, number: u32) -> Option<ReadTool> {
        self.context.tools.get(&number).copied()
    }

    /// G43 H, G49.
    pub(crate) fn length_code(&mut self, block: &Block, code: Code, used: &mut u32) {
        if code == Code::G49 {
            return self.apply_length(block, None);
        }
        *used |= Letter::of(b'H').bit();
        let slot = match block.get(b'H') {
            Some(value) => self.count_word(block, b'H', value),
            None if self.rules.strict => {
                let message = || "G43 without H".to_owned();
                self.log.say(faults::WORD_MISSING, block.span(), message);
                None
            }
            None => Some(self.state.tool.unwrap_or(0)),
        };
        if let Some(slot) = slot
            && self.slot_exists(block, b'H', slot, faults::OFFSET_NUMBER_TOO_HIGH)
        {
            self.apply_table_length(block, slot);
        }
    }

    /// Applies the length of a table slot; slot 0 is length 0.
    fn apply_table_length(&mut self, block: &Block, slot: u32) {
        if slot == 0 {
            return self.apply_length(block, Some(0.0));
        }
        let length = self.tool_entry(slot).and_then(|t| t.table_length_mm);
        if length.is_none() && self.context.tools_are_complete {
            let message = || format!("no length is known for tool {slot}");
            self.log.say(faults::LENGTH_OFFSET_UNKNOWN, self.word(block, 'H'), message);
        }
        self.apply_length(block, Some(length.unwrap_or(0.0)));
    }

    /// Brings a length into force; the axes stay, program coordinates change.
    fn apply_length(&mut self, block: &Block, length_mm: Option<f64>) {
        let before = self.state.length_applied.then_some(self.state.applied_length_mm);
        if before != length_mm {
            self.event(block.at, EventKind::LengthOffset(length_mm));
        }
        self.state.length_applied = length_mm.is_some();
        self.state.applied_length_mm = length_mm.unwrap_or(0.0);
        self.update_tip();
        self.update_shift();
    }

    /// S.
    pub(crate) fn speed_word(&mut self, block: &Block) {
        let speed = block.value(b'S');
        if speed < 0.0 {
            let message = || format!("S{speed} is negative");
            return self.log.say(faults::VALUE_NEGATIVE, self.word(block, 'S'), message);
        }
        let Some(speed) = self.spindle_speed(block, speed) else { return };
        self.stated.speed.get_or_insert(block.at);
        if speed != self.state.spindle_rpm {
            self.state.spindle_rpm = speed;
            self.state_changed();
            if self.modal.feed_mode == FeedMode::PerTurn {
                self.update_rate();
            }
            let turn = self.state.spindle;
            if turn != SpindleTurn::Still && block.groups & Group::Spindle.bit() == 0 {
                self.event(block.at, EventKind::Spindle { turn, speed_rpm: speed });
            }
        }
    }

    /// Speed of an S word, 1/min; `None`, reported, for a step that the spindle does not have.
    fn spindle_speed(&mut self, block: &Block, value: f64) -> Option<f64> {
        let steps = &self.context.dialect.spindle_steps_rpm;
        if self.rules.strict || steps.is_empty() || value == 0.0 {
            return Some(value);
        }
        let step = self.count_word(block, b'S', value)? as usize;
        let speed = step.checked_sub(1).and_then(|index| steps.get(index)).copied();
        if speed.is_none() {
            let source = self.dialect_setting("spindle_steps_rpm");
            let span = self.word(block, 'S');
            self.log.say_with(
                faults::SPINDLE_STEP_UNKNOWN,
                span,
                || format!("the spindle has {} speed steps; S{step} is none of them", steps.len()),
                |finding| {
                    finding.with_value(step as f64, "").with_limit(steps.len() as f64, source)
                },
            );
        }
        speed
    }

    /// M3, M4, M5.
    pub(crate) fn spindle_code(&mut self, block: &Block, code: Code) {
        let turn = match code {
            Code::M3 => SpindleTurn::Clockwise,
            Code::M4 => SpindleTurn::Counterclockwise,
            _ => SpindleTurn::Still,
        };
        let speed_rpm = self.state.spindle_rpm;
        self.event(block.at, EventKind::Spindle { turn, speed_rpm });
        self.state.spindle = turn;
        self.state_changed();
    }

    /// M7, M8, M9.
    pub(crate) fn coolant_code(&mut self, block: &Block, code: Code) {
        let (mist, flood) = match code {
            Code::M7 => (true, self.state.flood),
            Code::M8 => (self.state.mist, true),
            _ => (false, false),
        };
        self.set_coolant(mist, flood);
        self.event(block.at, EventKind::Coolant(mist, flood));
    }

    pub(crate) fn set_coolant(&mut self, mist: bool, flood: bool) {
        if (self.state.mist, self.state.flood) != (mist, flood) {
            (self.state.mist, self.state.flood) = (mist, flood);
            self.state_changed();
        }
    }

    /// Machine-specific codes that act before or after the motion.
    pub(crate) fn mapped_codes(&mut self, block: &Block, after_motion: bool) {
        for &index in &block.mapped[..usize::from(block.mapped_count)] {
            let Some(mapped) = self.context.dialect.code.get(usize::from(index)) else { continue };
            if mapped.after_motion == after_motion {
                let kind = EventKind::Mapped {
                    action: mapped.action,
                    code_index: u32::from(index),
                    duration_s: mapped.duration_s,
                };
                self.event(block.at, kind);
                self.act(block, mapped.action, index);
            }
        }
    }

    fn act(&mut self, block: &Block, action: Action, index: u16) {
        match action {
            Action::SelectHead => {
                if let Some(&Some(head)) = self.tools.select.get(usize::from(index)) {
                    self.select_head(head);
                    self.apply_length_of_head(block);
                }
            }
            Action::HeadDown => self.state.head_down = true,
            Action::HeadUp => self.state.head_down = false,
            Action::KnifeOn => self.state.knife_on = true,
            Action::KnifeOff => self.state.knife_on = false,
            Action::MistOn => self.state.mist = true,
            Action::MistOff => self.state.mist = false,
            _ => return,
        }
        self.state_changed();
    }

    /// After a head was selected by code: its tool's length, where length comes with the tool.
    fn apply_length_of_head(&mut self, block: &Block) {
        let with_tool =
            !self.rules.strict && self.context.dialect.length_offset == LengthOffset::WithTool;
        if let Some(tool) = self.state.tool.filter(|_| with_tool) {
            self.apply_table_length(block, tool);
        }
    }

    /// Makes a head the active one, with the tool in it and its offset.
    fn select_head(&mut self, head: u16) {
        if self.state.head != head {
            self.state.head = head;
            self.state.head_down = false;
            self.state.tool = self.tools.in_head(head);
            self.update_tip();
            self.update_shift();
        }
    }
}
