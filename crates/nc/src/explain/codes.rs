//! What each code does, in plain words.

use crate::lex::Code;

/// What a code of the language does.
pub(super) fn code(code: Code) -> &'static str {
    match code {
        Code::G0 => "move as fast as the machine can, not cutting",
        Code::G1 => "move straight at feed",
        Code::G2 => "move along an arc at feed, clockwise",
        Code::G3 => "move along an arc at feed, counterclockwise",
        Code::G4 => "wait",
        Code::G10 => "set the origin of a work system",
        Code::G17 => "arcs and cycles use the XY plane",
        Code::G18 => "arcs and cycles use the ZX plane",
        Code::G19 => "arcs and cycles use the YZ plane",
        Code::G20 => "lengths are in inches",
        Code::G21 => "lengths are in millimetres",
        Code::G28 => "move to the stored home position",
        Code::G30 => "move to the second stored position",
        Code::G38_2 => "move straight at feed until the probe touches",
        Code::G40 => "cutter compensation off",
        Code::G41 => "cutter compensation on, tool left of the contour",
        Code::G42 => "cutter compensation on, tool right of the contour",
        Code::G43 => "apply a tool length from the table",
        Code::G49 => "no tool length is applied",
        Code::G50 => "scaling off",
        Code::G51 => "scaling on",
        Code::G52 => "shift all work systems",
        Code::G53 => "this block is in machine coordinates",
        Code::WorkSystem(_) => "use this work system's origin",
        Code::G61 => "follow the path exactly",
        Code::G61_1 => "stop at the end of each move",
        Code::G64 => "run through corners without stopping",
        Code::G68 => "rotation on",
        Code::G69 => "rotation off",
        Code::G80 => "end of canned cycles",
        Code::G90 => "positions are absolute",
        Code::G90_1 => "arc centres are absolute",
        Code::G91 => "positions are steps from where the tool is",
        Code::G91_1 => "arc centres are steps from the start of the arc",
        Code::G92 => "call the present position by these coordinates",
        Code::G92_1 => "forget the G92 offsets",
        Code::G92_2 => "suspend the G92 offsets",
        Code::G92_3 => "take up the G92 offsets again",
        Code::G93 => "F is one over the minutes that the block takes",
        Code::G94 => "F is length per minute",
        Code::G95 => "F is length per turn of the spindle",
        Code::G98 => "cycles retract to the height before them",
        Code::G99 => "cycles retract to R",
        _ => cycle(code).unwrap_or_else(|| machine_code(code)),
    }
}

fn cycle(code: Code) -> Option<&'static str> {
    Some(match code {
        Code::G73 => "drill in pecks, breaking the chip",
        Code::G81 => "drill",
        Code::G82 => "drill and wait at the bottom",
        Code::G83 => "drill in pecks, clearing the hole",
        Code::G84 => "tap a thread",
        Code::G85 => "bore, out at feed",
        Code::G86 => "bore, spindle stopped on the way out",
        Code::G87 => "bore from behind",
        Code::G88 => "bore, taken out by hand",
        Code::G89 => "bore, wait at the bottom, out at feed",
        _ => return None,
    })
}

fn machine_code(code: Code) -> &'static str {
    match code {
        Code::M0 => "stop until the operator goes on",
        Code::M1 => "stop if optional stops are switched on",
        Code::M2 => "end of the program",
        Code::M3 => "spindle on, clockwise",
        Code::M4 => "spindle on, counterclockwise",
        Code::M5 => "spindle off",
        Code::M6 => "change the tool",
        Code::M7 => "mist on",
        Code::M8 => "flood on",
        Code::M9 => "mist and flood off",
        Code::M30 => "end of the program, back to its start",
        Code::M48 => "feed and speed may be overridden",
        Code::M49 => "feed and speed may not be overridden",
        Code::M60 => "stop and change the pallet",
        Code::M98 => "run a subprogram",
        Code::M99 => "end of the subprogram",
        _ => "",
    }
}

/// Name of the motion that coordinates without a motion code run.
pub(super) fn motion_in_force(code: Code) -> &'static str {
    match code {
        Code::G0 => "rapid",
        Code::G1 => "straight at feed",
        Code::G2 => "clockwise arc",
        Code::G3 => "counterclockwise arc",
        Code::G38_2 => "probing",
        Code::G80 => "no motion",
        _ => "canned cycle",
    }
}
