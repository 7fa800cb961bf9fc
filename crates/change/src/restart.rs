//! Starting a stopped program again in the middle.

mod entry;
mod machine_state;

use crate::write::{WriteError, WriteOptions, Writer};
use entry::{Entry, find_entry};
use kw_geometry::Vec3;
use kw_nc::{Move, ReadContext, Toolpath};
use machine_state::MachineState;

/// How the new start is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RestartOptions {
    /// How far before the stop, along the path already cut, the tool enters, mm.
    pub back_mm: f64,
    /// Z of the tool tip above which nothing stands, machine coordinates, mm.
    pub clear_z_mm: f64,
    /// Z of the sheet's upper face, machine coordinates, mm.
    pub surface_z_mm: f64,
    /// Axis position to which Z is taken before anything else, mm: the machine's upper end.
    pub top_axis_z_mm: f64,
}

/// A program that starts again at a move.
#[derive(Clone, Debug, PartialEq)]
pub struct Restart {
    /// Its text.
    pub text: String,
    /// First move of the old program that runs again, whole or in part.
    pub first_move: usize,
    /// Where the tool tip enters, machine coordinates, mm.
    pub entry_tip_mm: Vec3,
    /// What is switched on before the start, in words.
    pub restored: Vec<String>,
}

/// Why a program cannot be started again at a move.
#[derive(Clone, Debug, PartialEq)]
pub enum Refusal {
    /// There is no such move.
    NoSuchMove {
        /// The move asked for.
        asked: usize,
        /// Number of moves.
        moves: usize,
    },
    /// No tool is in work there, so nothing can be restored.
    NoTool,
    /// The clearance height is not above the sheet.
    ClearanceTooLow {
        /// Clearance height, machine coordinates, mm.
        clear_z_mm: f64,
        /// Upper face of the sheet, mm.
        surface_z_mm: f64,
    },
    /// A knife stands in the material: it cannot be set down into a kerf at an angle it left.
    KnifeInMaterial,
    /// The program cannot be written for this machine.
    Write(WriteError),
}

impl std::fmt::Display for Refusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NoSuchMove { asked, moves } => {
                write!(
                    f,
                    "there is no move {asked}: the program has {moves}; choose an earlier one"
                )
            }
            Self::NoTool => write!(
                f,
                "no tool is in work at that move; start at a move after the first tool change"
            ),
            Self::ClearanceTooLow { clear_z_mm, surface_z_mm } => write!(
                f,
                "clearance height {clear_z_mm:.3} mm is not above the sheet's face at \
                 {surface_z_mm:.3} mm; give a greater one"
            ),
            Self::KnifeInMaterial => write!(
                f,
                "the knife stands in the material there; start at the beginning of that cut instead"
            ),
            Self::Write(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for Refusal {}

impl From<WriteError> for Refusal {
    fn from(error: WriteError) -> Self {
        Self::Write(error)
    }
}

/// Writes a program that restores everything before a move and goes on from there.
///
/// The tool goes up, over, and down: at rapid to the clearance height, then at the cut's own plunge
/// feed into the kerf already cut, `back_mm` before the move along the path; from there the old
/// path runs on. A move in a ramp or drilling cycle starts again at the beginning of that ramp or
/// hole. Refuses where no safe entry exists; see [`Refusal`].
pub fn restart(
    path: &Toolpath,
    context: &ReadContext<'_>,
    at_move: usize,
    options: &RestartOptions,
) -> Result<Restart, Refusal> {
    if at_move >= path.len() {
        return Err(Refusal::NoSuchMove { asked: at_move, moves: path.len() });
    }
    if options.clear_z_mm <= options.surface_z_mm {
        return Err(Refusal::ClearanceTooLow {
            clear_z_mm: options.clear_z_mm,
            surface_z_mm: options.surface_z_mm,
        });
    }
    let entry = find_entry(path, at_move, options);
    let first = path.get(entry.first_move);
    if first.state.tool.is_none() {
        return Err(Refusal::NoTool);
    }
    let in_material = entry.tip_mm.z < options.surface_z_mm;
    let is_knife = context.rotary.is_some() && !path.rotary_deg.is_empty() && first.state.head > 0;
    if in_material && is_knife {
        return Err(Refusal::KnifeInMaterial);
    }
    let state = MachineState::before(path, entry.first_move, context);
    let restored = state.in_words(context);
    let text = write_restart(path, context, &entry, &state, options)?;
    Ok(Restart { text, first_move: entry.first_move, entry_tip_mm: entry.tip_mm, restored })
}

fn write_restart(
    path: &Toolpath,
    context: &ReadContext<'_>,
    entry: &Entry,
    state: &MachineState,
    options: &RestartOptions,
) -> Result<String, Refusal> {
    let write_options = WriteOptions { first_move: entry.first_move, ..WriteOptions::default() };
    let mut writer = Writer::new(path, context, &write_options);
    let first = path.get(entry.first_move);
    writer.line("(start again in the middle of the program; check the sheet has not moved)");
    writer.opening()?;
    writer.go_to_axis_z(options.top_axis_z_mm)?;
    state.write(&mut writer, context, &first)?;
    let axis = entry.tip_mm - first.state.tip_offset_mm;
    let clear_axis_z = options.clear_z_mm - first.state.tip_offset_mm.z;
    writer.go_over(axis, clear_axis_z, first.rotary_deg.0, first.state)?;
    writer.go_down(axis, entry.plunge_feed, first.state)?;
    let mut next_event =
        path.events.partition_point(|e| (e.before_move as usize) <= entry.first_move);
    for m in path.moves().skip(entry.first_move) {
        while path.events.get(next_event).is_some_and(|e| e.before_move as usize <= m.index) {
            writer.event(&path.events[next_event])?;
            next_event += 1;
        }
        let m = if m.index == entry.first_move { cut_short(m, axis, entry) } else { m };
        writer.step(&m)?;
    }
    for event in path.events.iter().skip(next_event) {
        writer.event(event)?;
    }
    Ok(writer.text)
}

/// The first move from its entry point on.
fn cut_short<'a>(m: Move<'a>, axis_from: Vec3, entry: &Entry) -> Move<'a> {
    let arc = m.arc.map(|arc| kw_nc::toolpath::ArcData {
        sweep_rad: arc.sweep_rad * (1.0 - entry.fraction),
        ..arc
    });
    Move { from_mm: axis_from, arc, ..m }
}
