//! Habits of the trade that a dialect switches (common practice, no source, unless said).

use crate::support::{at, end, findings, names, near, read_in, read_text, totals};
use kw_base::Sources;
use kw_model::Dialect;
use kw_model::dialect::{
    ArcCentre, CodeAlias, DwellUnit, FeedUnit, LengthOffset, LetterAlias, RetractHeight, ToolCall,
    ToolWord,
};
use kw_nc::{EventKind, MoveKind, ReadContext, ReadRotary, ReadTool, read};
use std::sync::Arc;

fn clean(dialect: &Dialect, text: &str) -> kw_nc::Reading {
    let reading = read_in(dialect, text);
    assert_eq!(names(&reading), Vec::<&str>::new(), "{text}");
    reading
}

#[test]
fn lower_case_without_blanks_and_numbers_in_any_order() {
    let reading = clean(&Dialect::default(), "n20g0x1y2\nN10G1X3F100(c)Y4;Z9\nN20 M30\n");
    at(reading.end.axis_mm, [3.0, 4.0, 0.0]);
}

#[test]
fn comment_marks_follow_the_dialect() {
    let text = "G0 X1 ' X2\nG0 Y1 {Y5} Z3\nM2\n";
    let both = Dialect { apostrophe_comments: true, brace_comments: true, ..Dialect::default() };
    at(clean(&both, text).end.axis_mm, [1.0, 1.0, 3.0]);
    let none = read_text(text);
    assert!(names(&none).contains(&"character-unreadable"));
    let no_semicolon = Dialect { semicolon_comments: false, ..Dialect::default() };
    assert_eq!(names(&read_in(&no_semicolon, "G0 X1 ; c\nM2\n"))[0], "character-unreadable");
}

#[test]
fn a_comma_is_a_decimal_mark_where_the_dialect_says_so() {
    let comma = Dialect { decimal_comma: true, ..Dialect::default() };
    at(clean(&comma, "G0 X1,5 Y-,25 Z2.5\nM2\n").end.axis_mm, [1.5, -0.25, 2.5]);
    let point = read_text("G0 X1,5\nM2\n");
    assert_eq!(names(&point), ["character-unreadable"]);
}

#[test]
fn dwells_are_milliseconds_without_a_point_where_the_dialect_says_so() {
    let dialect = Dialect { dwell_unit: DwellUnit::MillisecondsWithoutPoint, ..Dialect::default() };
    let reading = clean(&dialect, "G4 P500\nG4 P2.\nG82 X1 Z-1 R1 P250 F100\nM2\n");
    let dwells: Vec<f64> = reading
        .toolpath
        .events
        .iter()
        .filter_map(|e| if let EventKind::Dwell(s) = e.kind { Some(s) } else { None })
        .collect();
    assert_eq!(dwells, [0.5, 2.0, 0.25]);
}

#[test]
fn feeds_may_be_in_metres_per_minute_or_millimetres_per_second() {
    for (unit, factor) in [(FeedUnit::MPerMin, 1000.0), (FeedUnit::MmPerS, 60.0)] {
        let dialect = Dialect { feed_unit: unit, ..Dialect::default() };
        let reading = clean(&dialect, "G1 X10 F6\nG20 F6 G1 X1\nM2\n");
        near(reading.toolpath.feed[0], 6.0 * factor, 1e-9);
        near(reading.toolpath.feed[1], 152.4, 1e-9);
    }
}

#[test]
fn feed_per_turn_follows_the_spindle_speed() {
    let reading = clean(&Dialect::default(), "S1000 M3\nG95 G1 X10 F0.5\nS2000\nX20\nM2\n");
    assert_eq!(reading.toolpath.feed, [500.0, 1000.0]);
}

#[test]
fn codes_may_be_read_as_others() {
    let alias = |code: &str, means: &[&str]| CodeAlias {
        code: code.to_owned(),
        means: means.iter().map(|&m| m.to_owned()).collect(),
    };
    let dialect = Dialect {
        alias: vec![alias("G70", &["G20"]), alias("G71", &["G21"]), alias("M13", &["M3", "M8"])],
        ..Dialect::default()
    };
    let reading = clean(&dialect, "G70 G0 X1\nS100 M13\nG71 G1 X2 F10\nM2\n");
    near(end(&reading, 0).x, 25.4, 1e-12);
    near(end(&reading, 1).x, 2.0, 0.0);
    let state = reading.toolpath.get(1).state;
    assert!(state.flood && state.spindle == kw_nc::SpindleTurn::Clockwise);
}

#[test]
fn codes_that_the_control_lacks_are_findings() {
    let dialect = Dialect { missing_codes: vec!["G83".to_owned()], ..Dialect::default() };
    assert_eq!(names(&read_in(&dialect, "G83 X1 Z-1 R1 Q1 F10\nM2\n")), ["code-unknown"]);
}

#[test]
fn start_codes_set_the_state_and_wrong_ones_are_findings() {
    let with = |codes: &[&str]| Dialect {
        start_codes: codes.iter().map(|&c| c.to_owned()).collect(),
        ..Dialect::default()
    };
    let reading = clean(&with(&["G20", "G91", "G18", "G0", "G61"]), "X1\nX1\nM2\n");
    near(end(&reading, 1).x, 50.8, 1e-12);
    assert_eq!(reading.toolpath.kind[0], MoveKind::Rapid);
    assert!(reading.stated.units_by_dialect && reading.stated.plane_by_dialect);
    assert_eq!(reading.stated.units, None);
    let wrong = read_in(&with(&["G21", "G123", "M3", "hello"]), "M2\n");
    assert_eq!(names(&wrong), ["start-code-unknown"; 3]);
}

#[test]
fn arc_centres_may_be_absolute() {
    let dialect = Dialect { arc_centre: ArcCentre::Absolute, ..Dialect::default() };
    let text = "G10 L2 P1 X100 Y0\nG0 X10 Y0\nG3 X0 Y10 I0 J0 F100\nG91.1 G3 X-10 Y0 J-10\nM2\n";
    let reading = clean(&dialect, text);
    for arc in &reading.toolpath.arcs {
        near(arc.centre_mm.x, 100.0, 1e-9);
        near(arc.centre_mm.y, 0.0, 1e-9);
        near(arc.sweep_rad.to_degrees(), 90.0, 1e-9);
    }
}

#[test]
fn tools_change_by_word_or_by_code() {
    let changes = |dialect: &Dialect, text: &str| -> Vec<Option<u32>> {
        let reading = clean(dialect, text);
        let events = reading.toolpath.events.iter();
        events
            .filter_map(|e| match e.kind {
                EventKind::ToolChange { to, .. } => Some(to),
                _ => None,
            })
            .collect()
    };
    let by_code = Dialect::default();
    assert_eq!(changes(&by_code, "T3 M6\nM6 T4\nT5\nM6\nM2\n"), [Some(3), Some(4), Some(5)]);
    assert_eq!(changes(&by_code, "T3 M6 T7\nM6\nT0 M6\nM2\n"), [Some(3), Some(7), None]);
    let by_word = Dialect { tool_call: ToolCall::ToolWord, ..Dialect::default() };
    assert_eq!(changes(&by_word, "T3\nG0 X1\nT4\nM2\n"), [Some(3), Some(4)]);
    let packed = Dialect {
        tool_call: ToolCall::ToolWord,
        tool_word: ToolWord::NumberAndOffset,
        ..Dialect::default()
    };
    assert_eq!(changes(&packed, "T0303\nM2\n"), [Some(3)]);
}

#[test]
fn a_tool_word_may_bring_its_length_offset() {
    let dialect = Dialect {
        tool_call: ToolCall::ToolWord,
        tool_word: ToolWord::NumberAndOffset,
        ..Dialect::default()
    };
    let mut context = ReadContext::plain(&dialect);
    context.tools.insert(3, ReadTool::measured(Some(50.0), None));
    context.tools.insert(13, ReadTool::measured(Some(70.0), None));
    let sources = crate::support::source("T0313\nG0 Z0\nT0300\nG0 Z0\nM2\n");
    let reading = read(&sources, &context);
    let heights: Vec<f64> = reading.toolpath.end_mm.iter().map(|p| p.z).collect();
    assert_eq!(heights, [70.0, 0.0]);
    near(reading.toolpath.get(0).state.tip_offset_mm.z, -50.0, 0.0);
}

#[test]
fn length_may_come_with_the_tool() {
    let dialect = Dialect { length_offset: LengthOffset::WithTool, ..Dialect::default() };
    let mut context = ReadContext::plain(&dialect);
    context.tools.insert(3, ReadTool::measured(Some(50.0), None));
    let reading = read(&crate::support::source("T3 M6\nG0 Z10\nM2\n"), &context);
    near(end(&reading, 0).z, 60.0, 0.0);
    near(reading.toolpath.get(0).tip_to_mm().z, 10.0, 0.0);
}

#[test]
fn rotary_axes_may_take_the_shorter_way() {
    let dialect = Dialect::default();
    let mut context = ReadContext::plain(&dialect);
    context.rotary = Some(ReadRotary { letter: 'C', shortest_way: true });
    let text = "G1 C90 F3600\nC180\nC-90\nC10\nC370\nC190\nM2\n";
    let reading = read(&crate::support::source(text), &context);
    assert_eq!(reading.toolpath.rotary_deg, [90.0, 180.0, 270.0, 370.0, 370.0, 550.0]);
    let plain = clean(&dialect, "G91 G1 C90 F3600\nC300\nG90 C-90\nG92 C0\nC45\nM2\n");
    assert_eq!(plain.toolpath.rotary_deg, [90.0, 390.0, -90.0, -45.0]);
}

#[test]
fn home_may_concern_only_the_axes_named() {
    let all = clean(&Dialect::default(), "G0 X5 Y6 Z7\nG91 G28 Z0\nM2\n");
    at(all.end.axis_mm, [0.0, 0.0, 0.0]);
    let dialect = Dialect { home_named_axes_only: true, ..Dialect::default() };
    let named = clean(&dialect, "G0 X5 Y6 Z7\nG91 G28 Z0\nG30\nM2\n");
    at(end(&named, 2), [5.0, 6.0, 0.0]);
    at(named.end.axis_mm, [0.0, 0.0, 0.0]);
}

#[test]
fn home_is_reached_by_way_of_the_point_named() {
    let dialect = Dialect::default();
    let mut context = ReadContext::plain(&dialect);
    context.home_mm = [0.0, 0.0, 100.0].into();
    context.second_home_mm = [900.0, 0.0, 100.0].into();
    let text = "G10 L2 P1 X50\nG0 X1 Y2 Z3\nG28 X10 Z40\nG30\nM2\n";
    let reading = read(&crate::support::source(text), &context);
    at(end(&reading, 1), [60.0, 2.0, 40.0]);
    at(end(&reading, 2), [0.0, 0.0, 100.0]);
    at(end(&reading, 3), [900.0, 0.0, 100.0]);
    near(reading.parameters.get(5181), 900.0, 0.0);
}

#[test]
fn retract_height_may_be_that_before_the_row_of_cycles() {
    let text = "G0 Z20\nG98 G81 X1 Z-1 R2 F100\nG99 X2\nG98 X3\nG80\nM2\n";
    let heights = |dialect: &Dialect| -> Vec<f64> {
        let reading = clean(dialect, text);
        let tops = reading.toolpath.moves().filter(|m| m.from_mm.z < 0.0).map(|m| m.to_mm.z);
        tops.collect()
    };
    assert_eq!(heights(&Dialect::default()), [20.0, 2.0, 2.0]);
    let chain = Dialect { retract_height: RetractHeight::BeforeChain, ..Dialect::default() };
    assert_eq!(heights(&chain), [20.0, 2.0, 20.0]);
}

#[test]
fn block_delete_and_optional_stop_are_switches() {
    let dialect = Dialect::default();
    let mut context = ReadContext::plain(&dialect);
    let sources = crate::support::source("/G0 X5\nN20 /G0 X6 #1=2\nM1\n / G0 X7\nM2\n");
    let run = read(&sources, &context);
    assert_eq!(names(&run), Vec::<&str>::new());
    assert_eq!((run.toolpath.len(), run.parameters.get(1)), (3, 2.0));
    let waits = |r: &kw_nc::Reading| {
        r.toolpath.events.iter().find_map(|e| match e.kind {
            EventKind::Stop { optional } => Some(!optional),
            _ => None,
        })
    };
    assert_eq!(waits(&run), Some(false));
    (context.block_delete, context.optional_stop) = (true, true);
    let skipped = read(&sources, &context);
    assert_eq!((skipped.toolpath.len(), skipped.parameters.get(1)), (0, 0.0));
    assert_eq!(waits(&skipped), Some(true));
    assert_eq!(skipped.blocks, run.blocks);
}

#[test]
fn subprograms_may_stand_in_other_files_and_pack_their_repeats() {
    let mut sources =
        Sources::single("main.nc", b"M98 P0030200\nM98 P7 L2\nM98 P8\nM30\n".to_vec()).unwrap();
    sources.add("subs.nc", Arc::new(b"%\nO200 (STEP)\nG91 G1 X1 F100\nM99\n%\n".to_vec())).unwrap();
    sources.add("O0007.nc", Arc::new(b"G91 G1 Y1\nM99\n".to_vec())).unwrap();
    sources.add("more.nc", Arc::new(b":8\nG91 G1 Z1\nM98 P200\nM99\n".to_vec())).unwrap();
    let dialect = Dialect::default();
    let reading = read(&sources, &ReadContext::plain(&dialect));
    assert_eq!(names(&reading), Vec::<&str>::new());
    at(reading.end.axis_mm, [4.0, 2.0, 1.0]);
    assert_eq!((reading.blocks, reading.toolpath.blocks_run), (13, 24));
    let in_file = sources.file_of(reading.toolpath.block_at[0]).unwrap();
    assert_eq!(in_file.name, "subs.nc");
}

#[test]
fn state_is_not_restored_after_a_subprogram() {
    let text = "G0 X5\nM98 P1\nX1\nM30\nO1\nG91\nM99\n";
    near(clean(&Dialect::default(), text).end.axis_mm.x, 6.0, 0.0);
}

#[test]
fn messages_are_events() {
    let reading =
        clean(&Dialect::default(), "(msg, turn the sheet) (remark)\n; MSG, and now\nM2\n");
    let spans: Vec<_> = reading
        .toolpath
        .events
        .iter()
        .filter_map(|e| if let EventKind::Message(span) = e.kind { Some(span) } else { None })
        .collect();
    let sources = crate::support::source("(msg, turn the sheet) (remark)\n; MSG, and now\nM2\n");
    let texts: Vec<&[u8]> = spans.iter().map(|&s| sources.files()[0].slice(s)).collect();
    assert_eq!(texts, [b" turn the sheet".as_slice(), b" and now".as_slice()]);
}

#[test]
fn unknown_codes_take_no_axis_words_but_the_rest_goes_on() {
    let text = "G0 X1\nG5.1 X9 Y9\nX2\nM77 X3\nM2\n";
    let reading = read_text(text);
    assert_eq!(findings(text, &reading), ["code-unknown `G5.1`", "code-unknown `M77`"]);
    let xs: Vec<f64> = reading.toolpath.end_mm.iter().map(|p| p.x).collect();
    assert_eq!(xs, [1.0, 2.0, 3.0]);
}

#[test]
fn feed_on_the_projected_circle_is_faster_along_the_helix() {
    let dialect = Dialect::default();
    let mut context = ReadContext::plain(&dialect);
    context.feed_on_projected_circle = true;
    let sources = crate::support::source("G0 X10\nG3 X10 Z-20 I-10 F600\nM2\n");
    let reading = read(&sources, &context);
    // One turn of radius 10 mm at 600 mm/min along the circle.
    near(totals(&reading).feed_s, std::f64::consts::TAU * 10.0 / 10.0, 1e-9);
}

#[test]
fn letters_may_be_read_as_others() {
    let dialect = Dialect {
        letter_alias: vec![
            LetterAlias { letter: 'U', means: 'R' },
            LetterAlias { letter: 'w', means: 'Z' },
            LetterAlias { letter: 'X', means: 'Y' },
        ],
        ..Dialect::default()
    };
    let reading = clean(&dialect, "G2 X10 Y10 U10 F100\nG0 W5\nM2\n");
    near(reading.toolpath.get(0).axis_arc().unwrap().radius_mm(), 10.0, 1e-9);
    at(reading.end.axis_mm, [10.0, 10.0, 5.0]);
    assert_eq!(names(&read_in(&dialect, "G0 Z1 W5 V3\nM2\n")), ["word-repeated", "letter-unknown"]);
}

#[test]
fn spindle_speeds_may_be_steps() {
    let steps = vec![6000.0, 12_000.0];
    let dialect = Dialect { spindle_steps_rpm: steps, ..Dialect::default() };
    let reading = clean(&dialect, "S2 M3\nG1 X1 F100\nM5 S0\nM2\n");
    near(reading.toolpath.get(0).state.spindle_rpm, 12_000.0, 0.0);
    assert_eq!(names(&read_in(&dialect, "S3 M3\nM2\n")), ["spindle-step-unknown"]);
}

#[test]
fn a_number_of_one_feed_mode_is_not_taken_over_by_another() {
    let reading = read_text("G93 G1 X10 F2\nG94 X20\nX30 F300\nG94 X40\nM2\n");
    assert_eq!(names(&reading), ["feed-missing"]);
    assert_eq!(reading.toolpath.feed, [20.0, 0.0, 300.0, 300.0]);
}
