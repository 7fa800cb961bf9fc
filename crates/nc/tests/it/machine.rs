//! Heads, machine-specific codes, datums and tool lengths of a machine.

use crate::support::{at, end, names, near, source};
use kw_geometry::Vec3;
use kw_model::Dialect;
use kw_model::dialect::{Action, MappedCode};
use kw_nc::context::ReadHead;
use kw_nc::{EventKind, ReadContext, ReadTool, read};

fn code(code: &str, action: Action, target: Option<&str>, after_motion: bool) -> MappedCode {
    MappedCode {
        code: code.to_owned(),
        action,
        target: target.map(str::to_owned),
        name: code.to_owned(),
        duration_s: 1.5,
        after_motion,
    }
}

fn dialect() -> Dialect {
    Dialect {
        code: vec![
            code("M40", Action::SelectHead, Some("spindle"), false),
            code("M41", Action::SelectHead, Some("knife"), false),
            code("M45", Action::KnifeOn, None, false),
            code("M46", Action::KnifeOff, None, true),
            code("M47", Action::HeadDown, None, false),
            code("M7", Action::ZoneOn, Some("left"), false),
            code("G5", Action::Nothing, None, false),
        ],
        ..Dialect::default()
    }
}

fn context(dialect: &Dialect) -> ReadContext<'_> {
    let head =
        |id: &str, offset_mm, fixed_tool| ReadHead { id: id.to_owned(), offset_mm, fixed_tool };
    let mut context = ReadContext::plain(dialect);
    context.heads = vec![
        head("spindle", Vec3::ZERO, None),
        head("knife", Vec3::new(120.0, -3.0, 10.0), Some(21)),
    ];
    context.tools.insert(1, ReadTool::measured(Some(50.0), Some(6.0)));
    let knife = ReadTool { head: 1, ..ReadTool::measured(Some(80.0), None) };
    context.tools.insert(21, knife);
    context.tools.insert(2, ReadTool { table_length_mm: Some(49.0), ..context.tools[&1] });
    context.origins_mm = [None; 9];
    context.origins_mm[0] = Some(Vec3::new(100.0, 200.0, 30.0));
    context
}

#[test]
fn the_tip_is_where_the_program_says() {
    let dialect = dialect();
    let text = "T1 M6\nG43 H1\nG0 X10 Y20 Z5\nM41 G43 H21\nG0 X10 Y20 Z5\nM40 G43\nX0\nM2\n";
    let reading = read(&source(text), &context(&dialect));
    assert_eq!(names(&reading), Vec::<&str>::new());
    let tip = |index: usize| reading.toolpath.get(index).tip_to_mm();
    at(end(&reading, 0), [110.0, 220.0, 85.0]);
    at(tip(0), [110.0, 220.0, 35.0]);
    at(end(&reading, 1), [-10.0, 223.0, 105.0]);
    at(tip(1), [110.0, 220.0, 35.0]);
    assert_eq!(reading.toolpath.get(1).state.tool, Some(21));
    assert_eq!(reading.toolpath.get(2).state.tool, Some(1));
    at(tip(2), [100.0, 223.0 - 0.0, 105.0 - 50.0]);
}

#[test]
fn measured_and_applied_length_may_differ() {
    let dialect = dialect();
    let reading = read(&source("T2 M6\nG43 H2\nG0 Z0\nM2\n"), &context(&dialect));
    near(end(&reading, 0).z, 79.0, 0.0);
    near(reading.toolpath.get(0).tip_to_mm().z, 29.0, 0.0);
    near(reading.toolpath.get(0).state.applied_length_mm, 49.0, 0.0);
}

#[test]
fn machine_codes_act_before_or_after_the_motion() {
    let dialect = dialect();
    let text = "M41\nM45 M47 G1 X1 F100\nM46 X2\nX3\nM7\nM2\n";
    let reading = read(&source(text), &context(&dialect));
    assert_eq!(names(&reading), Vec::<&str>::new());
    let knife: Vec<bool> = reading.toolpath.moves().map(|m| m.state.knife_on).collect();
    assert_eq!(knife, [true, true, false]);
    assert!(reading.toolpath.get(0).state.head_down);
    let mapped: Vec<(u32, Action)> = reading
        .toolpath
        .events
        .iter()
        .filter_map(|e| match e.kind {
            EventKind::Mapped { action, .. } => Some((e.before_move, action)),
            _ => None,
        })
        .collect();
    use Action::{HeadDown, KnifeOff, KnifeOn, SelectHead, ZoneOn};
    // The machine's own meaning of M7 goes before that of the language.
    assert_eq!(mapped, [(0, SelectHead), (0, KnifeOn), (0, HeadDown), (2, KnifeOff), (3, ZoneOn)]);
    assert!(!reading.toolpath.states.iter().any(|s| s.mist));
}

#[test]
fn a_tool_change_may_select_the_head() {
    let dialect = Dialect { tool_selects_head: true, ..dialect() };
    let reading = read(&source("T21 M6\nG0 X0\nT1 M6\nX1\nM2\n"), &context(&dialect));
    let heads: Vec<u16> = reading.toolpath.moves().map(|m| m.state.head).collect();
    assert_eq!(heads, [1, 0]);
}

#[test]
fn an_undescribed_datum_is_told_once() {
    let dialect = dialect();
    let text = "G55 G0 X1\nX2\nG91 X3\nG90 G10 L2 P3 X5 Y0 Z0\nG56 X1\nG57 X1\nM2\n";
    let reading = read(&source(text), &context(&dialect));
    assert_eq!(names(&reading), ["work-offset-unknown"; 2]);
    near(end(&reading, 3).x, 6.0, 0.0);
}

#[test]
fn states_are_kept_once_each() {
    let dialect = dialect();
    let text = "M3 S100\nG1 X1 F9\nM5\nX2\nM3\nX3\nM5\nX4\nM2\n";
    let reading = read(&source(text), &context(&dialect));
    assert_eq!(reading.toolpath.states.len(), 2);
    assert_eq!(reading.toolpath.state, [0, 1, 0, 1]);
}

#[test]
fn events_come_in_the_order_of_the_block() {
    let dialect = dialect();
    let reading = read(&source("S500 M3\nT1 M6 G4 P1 M8 M0 G0 X1\nM2\n"), &context(&dialect));
    let kinds: Vec<&EventKind> = reading.toolpath.events.iter().map(|e| &e.kind).collect();
    use kw_nc::SpindleTurn::{Clockwise, Still};
    let expected = [
        EventKind::Spindle { turn: Clockwise, speed_rpm: 500.0 },
        EventKind::ToolSelected(1),
        EventKind::Spindle { turn: Still, speed_rpm: 500.0 },
        EventKind::ToolChange { from: None, to: Some(1) },
        EventKind::Coolant(false, true),
        EventKind::Dwell(1.0),
        EventKind::Stop { optional: false },
        EventKind::End,
    ];
    assert_eq!(kinds, expected.iter().collect::<Vec<_>>());
}
