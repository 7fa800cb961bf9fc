//! What a program is read against: the dialect, heads, tools, datums and start of the machine.

use kw_geometry::Vec3;
use kw_model::machine::AxisLetter;
use kw_model::setup::SetupTool;
use kw_model::{Dialect, Machine, SettingIndex, Setup, ToolPlace};
use std::collections::BTreeMap;

/// What a program is read against.
#[derive(Clone, Debug)]
pub struct ReadContext<'a> {
    /// What the control understands.
    pub dialect: &'a Dialect,
    /// Heads; the first is the reference head and active at the start.
    pub heads: Vec<ReadHead>,
    /// Tools by number.
    pub tools: BTreeMap<u32, ReadTool>,
    /// Tool in the first head at the start.
    pub start_tool: Option<u32>,
    /// Whether `tools` is the whole table, so that a number not in it is a fault; otherwise such a
    /// tool has length and radius zero.
    pub tools_are_complete: bool,
    /// Highest tool and offset number of the control, if it is to be held.
    pub highest_slot: Option<u32>,
    /// Origins of work systems 1 to 9, machine coordinates, mm; `None` where it is not known.
    pub origins_mm: [Option<Vec3>; 9],
    /// Axis position at the start, mm.
    pub start_mm: Vec3,
    /// Rotary position at the start, degrees.
    pub start_rotary_deg: f64,
    /// Goal of G28, axis position, mm.
    pub home_mm: Vec3,
    /// Goal of G30, axis position, mm.
    pub second_home_mm: Vec3,
    /// The rotary axis that is followed.
    pub rotary: Option<ReadRotary>,
    /// Whether F on a helix applies to its projection in the plane.
    pub feed_on_projected_circle: bool,
    /// Lines of the machine's file, to say where a limit is set.
    pub settings: Option<&'a SettingIndex>,
    /// Whether checks of the toolpath follow that report a missing feed and a missing end
    /// themselves; if not, reading reports them.
    pub checks_follow: bool,
    /// Whether blocks that begin with `/` are skipped.
    pub block_delete: bool,
    /// Whether M1 waits.
    pub optional_stop: bool,
}

/// A head as reading needs it.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadHead {
    /// Name used in the dialect.
    pub id: String,
    /// Its tool axis relative to the reference head, mm.
    pub offset_mm: Vec3,
    /// The tool fixed in it, if there is just one.
    pub fixed_tool: Option<u32>,
}

/// A tool as reading needs it.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct ReadTool {
    /// Measured length from gauge line to tip, mm.
    pub length_mm: Option<f64>,
    /// Length in the control's table, mm.
    pub table_length_mm: Option<f64>,
    /// Diameter in the control's table, mm; may be negative for programs of the tool's nominal path.
    pub diameter_mm: Option<f64>,
    /// Index of the head that it belongs to.
    pub head: u16,
}

impl ReadTool {
    /// A tool whose measured length is also the one in the control's table, mm.
    pub fn measured(length_mm: Option<f64>, diameter_mm: Option<f64>) -> Self {
        Self { length_mm, table_length_mm: length_mm, diameter_mm, head: 0 }
    }
}

/// The rotary axis as reading needs it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ReadRotary {
    /// Its letter: `A`, `B` or `C`.
    pub letter: char,
    /// Whether the control takes the shorter way round to an absolute angle.
    pub shortest_way: bool,
}

impl<'a> ReadContext<'a> {
    /// No machine: all origins, offsets and tool lengths zero, start at zero, rotary axis C.
    pub fn plain(dialect: &'a Dialect) -> Self {
        Self {
            dialect,
            heads: vec![ReadHead { id: String::new(), offset_mm: Vec3::ZERO, fixed_tool: None }],
            tools: BTreeMap::new(),
            start_tool: None,
            tools_are_complete: false,
            highest_slot: None,
            origins_mm: [Some(Vec3::ZERO); 9],
            start_mm: Vec3::ZERO,
            start_rotary_deg: 0.0,
            home_mm: Vec3::ZERO,
            second_home_mm: Vec3::ZERO,
            rotary: Some(ReadRotary { letter: 'C', shortest_way: false }),
            feed_on_projected_circle: false,
            settings: None,
            checks_follow: false,
            block_delete: false,
            optional_stop: false,
        }
    }

    /// The machine, tools and datums of a setup.
    pub fn from_setup(setup: &'a Setup) -> Self {
        let machine = &setup.machine;
        let home_mm = home(machine);
        let rotary = machine.rotary.as_ref();
        Self {
            heads: heads(setup),
            tools: setup.tools.iter().map(|t| (t.tool.number, tool(machine, t))).collect(),
            tools_are_complete: true,
            origins_mm: std::array::from_fn(|index| setup.datum_origin_mm(index as u8 + 1)),
            start_mm: home_mm,
            home_mm,
            second_home_mm: machine.second_home_mm.map_or(home_mm, Vec3::from),
            rotary: rotary.map(|r| ReadRotary {
                letter: r.letter.to_ascii_uppercase(),
                shortest_way: r.shortest_way,
            }),
            settings: Some(&setup.settings.machine),
            checks_follow: true,
            feed_on_projected_circle: machine.path.feed_on_projected_circle,
            ..Self::plain(&machine.dialect)
        }
    }
}

fn home(machine: &Machine) -> Vec3 {
    if let Some(home) = machine.home_mm {
        return home.into();
    }
    let near_zero =
        |letter| machine.axis(letter).map_or(0.0, |axis| 0.0_f64.max(axis.min_mm).min(axis.max_mm));
    let top = machine.axis(AxisLetter::Z).map_or(0.0, |axis| axis.max_mm);
    Vec3::new(near_zero(AxisLetter::X), near_zero(AxisLetter::Y), top)
}

fn heads(setup: &Setup) -> Vec<ReadHead> {
    let machine = &setup.machine;
    let fixed_in = |index: u16| {
        let mut fixed = setup
            .tools
            .iter()
            .filter(|t| t.tool.place == ToolPlace::InHead)
            .filter(|t| head_of(machine, t) == index);
        let first = fixed.next()?;
        fixed.next().is_none().then_some(first.tool.number)
    };
    machine
        .head
        .iter()
        .enumerate()
        .map(|(index, head)| ReadHead {
            id: head.id.clone(),
            offset_mm: head.offset(),
            fixed_tool: fixed_in(index as u16),
        })
        .collect()
}

fn head_of(machine: &Machine, tool: &SetupTool) -> u16 {
    let id = tool.tool.head.as_deref();
    id.and_then(|id| machine.head_index(id)).unwrap_or(0) as u16
}

fn tool(machine: &Machine, tool: &SetupTool) -> ReadTool {
    let diameter_mm = tool.tool.diameter_mm.or(tool.kind.dc_mm);
    ReadTool {
        head: head_of(machine, tool),
        ..ReadTool::measured(tool.tool.length_mm, diameter_mm)
    }
}
