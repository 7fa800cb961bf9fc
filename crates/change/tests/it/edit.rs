//! Edits on programs as people write them: what changes, what stays, what is refused.

use crate::demo::programs;
use kw_base::Sources;
use kw_change::diff::unified;
use kw_change::{Amount, Edit, EditError, EditRequest, FeedPart, History, Scope, Signature, edit};
use kw_geometry::Vec3;
use kw_model::Dialect;
use kw_model::dialect::FeedUnit;
use kw_nc::{MoveKind, ReadContext, ReadTool, Toolpath};
use proptest::prelude::*;

fn text_of(name: &str) -> Vec<u8> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/it/programs");
    std::fs::read(folder.join(name)).unwrap()
}

fn dialect_of(name: &str) -> Dialect {
    let lower = name == "dense-lower.nc";
    Dialect {
        decimal_comma: lower,
        feed_unit: if lower { FeedUnit::MPerMin } else { FeedUnit::MmPerMin },
        ..Dialect::default()
    }
}

fn apply(name: &str, text: &[u8], request: &EditRequest) -> Result<Vec<u8>, EditError> {
    let dialect = dialect_of(name);
    let mut context = ReadContext::plain(&dialect);
    for number in 1..=7 {
        context.tools.insert(number, ReadTool::measured(Some(40.0 + f64::from(number)), Some(6.0)));
    }
    context.origins_mm[1] = Some(Vec3::new(500.0, 20.0, 3.0));
    let sources = Sources::single(name, text.to_vec()).unwrap();
    edit(&sources, &context, request).map(|e| e.text)
}

fn diff(name: &str, edit: Edit, scope: Scope) -> String {
    let old = text_of(name);
    match apply(name, &old, &EditRequest { edit, scope }) {
        Ok(new) => unified(&old, &new),
        Err(error) => format!("refused: {error}"),
    }
}

fn cut(amount: Amount) -> Edit {
    Edit::Feed { part: FeedPart::Cut, amount }
}

fn plunge(amount: Amount) -> Edit {
    Edit::Feed { part: FeedPart::Plunge, amount }
}

#[test]
fn cut_feeds_change_and_plunges_keep_theirs() {
    insta::assert_snapshot!(diff("router.nc", cut(Amount::Factor(0.8)), Scope::All));
}

#[test]
fn plunge_feeds_change_cycles_included() {
    insta::assert_snapshot!(diff("router.nc", plunge(Amount::Value(1000.0)), Scope::All));
}

#[test]
fn a_range_of_lines_gets_its_feed_and_the_old_one_comes_back() {
    let scope = Scope::Lines { first: 9, last: 10 };
    insta::assert_snapshot!(diff("router.nc", cut(Amount::Factor(0.5)), scope));
}

#[test]
fn the_style_of_numbers_and_words_is_kept() {
    let scope = Scope::Moves { first: 3, last: 3 };
    insta::assert_snapshot!(diff("dense-lower.nc", cut(Amount::Value(2000.0)), scope));
    insta::assert_snapshot!(diff("dense-lower.nc", plunge(Amount::Factor(0.5)), Scope::All));
}

#[test]
fn the_speed_of_one_tool_changes() {
    let speed = Edit::Speed(Amount::Value(7500.0));
    insta::assert_snapshot!(diff("router.nc", speed, Scope::Tool(3)));
}

#[test]
fn a_tool_is_swapped_with_its_length() {
    let swap = Edit::SwapTool { from: 3, to: 7 };
    insta::assert_snapshot!(diff("router.nc", swap, Scope::All));
}

#[test]
fn a_depth_changes_for_cuts_and_for_holes() {
    insta::assert_snapshot!(diff(
        "router.nc",
        Edit::Depth { from: -6.0, to: -6.3 },
        Scope::Tool(1)
    ));
    insta::assert_snapshot!(diff("router.nc", Edit::Depth { from: -12.0, to: -12.25 }, Scope::All));
}

#[test]
fn a_depth_that_would_spread_is_refused() {
    let scope = Scope::Lines { first: 20, last: 20 };
    let edit = Edit::Depth { from: -12.0, to: -13.0 };
    insta::assert_snapshot!(diff("router.nc", edit, scope));
}

#[test]
fn pauses_come_and_go() {
    insta::assert_snapshot!(diff("router.nc", Edit::InsertPause { before_line: 20 }, Scope::All));
    insta::assert_snapshot!(diff("router.nc", Edit::RemovePause { line: 15 }, Scope::All));
    insta::assert_snapshot!(diff("router.nc", Edit::RemovePause { line: 24 }, Scope::All));
    insta::assert_snapshot!(diff(
        "dense-lower.nc",
        Edit::InsertPause { before_line: 5 },
        Scope::All
    ));
    insta::assert_snapshot!(diff("router.nc", Edit::RemovePause { line: 16 }, Scope::All));
    insta::assert_snapshot!(diff("router.nc", Edit::InsertPause { before_line: 1 }, Scope::All));
    insta::assert_snapshot!(diff(
        "subprogram.nc",
        Edit::InsertPause { before_line: 15 },
        Scope::All
    ));
}

#[test]
fn a_datum_changes() {
    insta::assert_snapshot!(diff("router.nc", Edit::Datum { from: 1, to: 2 }, Scope::All));
    insta::assert_snapshot!(diff("router.nc", Edit::Datum { from: 3, to: 2 }, Scope::All));
}

#[test]
fn subprograms_take_the_feed_of_their_caller() {
    insta::assert_snapshot!(diff("subprogram.nc", cut(Amount::Factor(0.5)), Scope::Tool(1)));
}

#[test]
fn blocks_that_would_have_to_differ_from_run_to_run_are_refused() {
    let scope = Scope::Moves { first: 2, last: 3 };
    insta::assert_snapshot!(diff("subprogram.nc", cut(Amount::Factor(0.5)), scope));
}

#[test]
fn expressions_are_refused() {
    insta::assert_snapshot!(diff("subprogram.nc", cut(Amount::Factor(0.5)), Scope::Tool(2)));
}

#[test]
fn feeds_that_are_no_length_per_minute_take_factors_only() {
    let text = b"G21 G90 G93\nG1 X10 F2\nX20 F4\nM30\n";
    let request = |amount| EditRequest { edit: cut(amount), scope: Scope::All };
    let error = apply("inverse.nc", text, &request(Amount::Value(500.0))).unwrap_err();
    insta::assert_snapshot!(error.to_string());
    let new = apply("inverse.nc", text, &request(Amount::Factor(0.5))).unwrap();
    assert_eq!(new, b"G21 G90 G93\nG1 X10 F1\nX20 F2\nM30\n");
}

#[test]
fn a_feed_that_was_never_given_can_be_given() {
    let text = b"G21 G90 G0 Z5\nG1 X10\nM30\n";
    let request = EditRequest { edit: cut(Amount::Value(500.0)), scope: Scope::All };
    assert_eq!(apply("none.nc", text, &request).unwrap(), b"G21 G90 G0 Z5\nG1 X10 F500\nM30\n");
}

#[test]
fn figures_that_make_no_sense_are_refused() {
    for edit in [
        cut(Amount::Factor(0.0)),
        cut(Amount::Value(f64::NAN)),
        Edit::Depth { from: 1.0, to: 1.0 },
        Edit::SwapTool { from: 1, to: 1 },
        Edit::Datum { from: 1, to: 12 },
    ] {
        let refused = diff("router.nc", edit, Scope::All);
        assert!(refused.starts_with("refused"), "{edit:?}: {refused}");
    }
}

fn positions(path: &Toolpath) -> (&[Vec3], &[MoveKind]) {
    (&path.end_mm, &path.kind)
}

#[test]
fn feeds_of_every_tool_of_the_demo_shop_read_back_as_wished() {
    let (mut edits, mut refused) = (0, Vec::new());
    for (name, sources, setup) in programs() {
        let context = ReadContext::from_setup(&setup);
        let old = kw_nc::read(&sources, &context).toolpath;
        let mut tools: Vec<u32> = old.moves().filter_map(|m| m.state.tool).collect();
        tools.sort_unstable();
        tools.dedup();
        for tool in tools {
            for part in [FeedPart::Cut, FeedPart::Plunge] {
                let request = EditRequest {
                    edit: Edit::Feed { part, amount: Amount::Factor(0.75) },
                    scope: Scope::Tool(tool),
                };
                let new = match edit(&sources, &context, &request) {
                    Ok(edited) => edited,
                    Err(EditError::NothingToChange) => continue,
                    Err(error) => {
                        refused.push(format!("{name}, tool {tool}, {part:?}: {error}"));
                        continue;
                    }
                };
                edits += 1;
                let text = Sources::single(&name, new.text).unwrap();
                let path = kw_nc::read(&text, &context).toolpath;
                assert_eq!(positions(&path), positions(&old), "{name}");
                for (a, b) in old.moves().zip(path.moves()) {
                    let descends = a.tip_to_mm().z < a.tip_from_mm().z - 1e-6
                        || a.origin == kw_nc::toolpath::Origin::Cycle;
                    let meant = a.state.tool == Some(tool)
                        && matches!(a.kind, MoveKind::Line | MoveKind::Arc)
                        && descends == (part == FeedPart::Plunge);
                    let wanted = if meant { a.feed * 0.75 } else { a.feed };
                    let gap = (b.feed - wanted).abs();
                    assert!(gap <= 0.005 * wanted, "{name}, tool {tool}, move {}", a.index);
                }
            }
        }
    }
    insta::assert_snapshot!(format!("{edits} edits\n{}", refused.join("\n")));
}

#[test]
fn undo_gives_back_the_exact_bytes() {
    for (name, sources, setup) in programs() {
        let context = ReadContext::from_setup(&setup);
        let received = sources.files()[0].bytes().to_vec();
        let request = EditRequest { edit: Edit::Speed(Amount::Factor(0.9)), scope: Scope::All };
        let Ok(edited) = edit(&sources, &context, &request) else { continue };
        let mut history = History::new(&received);
        let signature = Signature { author: "A".to_owned(), ..Signature::default() };
        history.push(edited.clone(), vec![request], signature);
        assert_eq!(history.text(), edited.text, "{name}");
        assert_ne!(history.text(), received, "{name}");
        assert!(history.undo());
        assert_eq!(history.text(), received, "{name}");
        assert_eq!(history.received(), received, "{name}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_factor_and_its_inverse_give_the_feeds_back(
        factor in 0.2..5.0_f64,
        which in 0_usize..8,
        plunges: bool,
    ) {
        let (name, sources, setup) = programs().swap_remove(which);
        let context = ReadContext::from_setup(&setup);
        let part = if plunges { FeedPart::Plunge } else { FeedPart::Cut };
        let request = |factor| EditRequest {
            edit: Edit::Feed { part, amount: Amount::Factor(factor) },
            scope: Scope::All,
        };
        let old = kw_nc::read(&sources, &context).toolpath;
        let Ok(there) = edit(&sources, &context, &request(factor)) else { return Ok(()) };
        let there = Sources::single(&name, there.text).unwrap();
        let back = edit(&there, &context, &request(1.0 / factor)).unwrap();
        let back = Sources::single(&name, back.text).unwrap();
        let path = kw_nc::read(&back, &context).toolpath;
        prop_assert_eq!(positions(&path), positions(&old), "{}", name);
        for (a, b) in old.moves().zip(path.moves()) {
            // Two roundings of the number style, each within half a percent.
            prop_assert!((a.feed - b.feed).abs() <= 0.011 * a.feed, "{name}: {} {}", a.feed, b.feed);
        }
    }
}

/// Pieces of programs, put together at random.
fn piece() -> impl Strategy<Value = &'static str> {
    proptest::sample::select(vec![
        "G1",
        "G0",
        "G2 X5 I2",
        "X10",
        "Y-3.",
        "Z-12",
        "F400",
        "F[2*3]",
        "F#1",
        "S9000",
        "M3",
        "M0",
        "M1",
        "T1 M6",
        "T2",
        "G43 H1",
        "G54",
        "G55",
        "G91",
        "G90",
        "G81 R2 Z-12",
        "G80",
        "G93",
        "G20",
        "G41 D1",
        "G40",
        "M98 P1",
        "O1",
        "M99",
        "M30",
        "%",
        "/",
        "(c",
        ")",
        ";",
        "'",
        "\n",
        "\r\n",
        "\r",
        " ",
        "N5",
        "#1=5",
        "\u{e4}",
        "G53",
        "G28 Z0",
        "G68 R30",
        "G51 P2",
    ])
}

fn any_request() -> impl Strategy<Value = EditRequest> {
    let edit = prop_oneof![
        (any::<bool>(), 0.01..9.0_f64).prop_map(|(p, f)| {
            let part = if p { FeedPart::Plunge } else { FeedPart::Cut };
            Edit::Feed { part, amount: Amount::Factor(f) }
        }),
        (0.01..9000.0_f64).prop_map(|v| cut(Amount::Value(v))),
        (0.01..9.0_f64).prop_map(|f| Edit::Speed(Amount::Factor(f))),
        Just(Edit::Depth { from: -12.0, to: -12.5 }),
        Just(Edit::SwapTool { from: 1, to: 2 }),
        Just(Edit::Datum { from: 1, to: 2 }),
        (1_u32..20).prop_map(|before_line| Edit::InsertPause { before_line }),
        (1_u32..20).prop_map(|line| Edit::RemovePause { line }),
    ];
    let scope = prop_oneof![
        Just(Scope::All),
        Just(Scope::Tool(1)),
        (0_u32..10, 0_u32..10).prop_map(|(a, b)| Scope::Moves { first: a, last: a + b }),
        (1_u32..10, 0_u32..10).prop_map(|(a, b)| Scope::Lines { first: a, last: a + b }),
    ];
    (edit, scope).prop_map(|(edit, scope)| EditRequest { edit, scope })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_gives_a_program_or_a_refusal(
        pieces in proptest::collection::vec(piece(), 0..60),
        request in any_request(),
    ) {
        let text = pieces.join(" ");
        let _ = apply("any.nc", text.as_bytes(), &request);
    }
}
