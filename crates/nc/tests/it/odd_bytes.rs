//! Bytes that no program should hold, and sizes that none should have: findings, no panic.

use crate::support::{at, names, read_in, read_strictly, read_text, source};
use kw_base::math::TAU;
use kw_base::{Severity, Span};
use kw_model::Dialect;
use kw_nc::{ReadContext, block_span, read, word_span};
use proptest::prelude::*;

fn read_bytes(bytes: Vec<u8>) -> kw_nc::Reading {
    let dialect = Dialect::default();
    read(&source(bytes), &ReadContext::plain(&dialect))
}

#[test]
fn empty_texts_give_nothing() {
    for text in ["", "\n", "\r\n\r\r\n", "%", " \t "] {
        let reading = read_text(text);
        assert!(reading.toolpath.is_empty());
        assert_eq!(reading.blocks, 0);
    }
}

#[test]
fn no_file_at_all_gives_nothing() {
    let dialect = Dialect::default();
    let reading = read(&kw_base::Sources::default(), &ReadContext::plain(&dialect));
    assert!(reading.toolpath.is_empty());
}

#[test]
fn lines_end_in_any_of_three_ways() {
    for end in ["\n", "\r", "\r\n"] {
        let reading = read_text(&["G0 X1", "Y2 (c)", "", "Z3", "M2"].join(end));
        assert_eq!(names(&reading), Vec::<&str>::new());
        at(reading.end.axis_mm, [1.0, 2.0, 3.0]);
        assert_eq!(reading.blocks, 4);
    }
}

#[test]
fn comments_of_other_encodings_pass() {
    let mut bytes =
        b"\xef\xbb\xbf(Nut fr\xe4sen)\nG0 X1 ; 18 mm \xd8 5\n(MSG, W\xe4nde)\nM2\n".to_vec();
    let reading = read_bytes(bytes.clone());
    assert_eq!(names(&reading), Vec::<&str>::new());
    assert_eq!(reading.toolpath.len(), 1);
    bytes.extend(b"\xe4");
    assert_eq!(read_bytes(bytes).toolpath.len(), 1);
}

#[test]
fn binary_files_give_bounded_findings() {
    let bytes: Vec<u8> =
        (0..200_000_u32).map(|i| (i.wrapping_mul(2_654_435_761) >> 13) as u8).collect();
    let reading = read_bytes(bytes);
    assert!(reading.findings.count(Severity::Stop) > 200);
    assert!(reading.findings.findings().len() < 200 * 100);
}

#[test]
fn a_line_of_a_million_characters_is_read() {
    let mut text = "G0 X1".to_owned();
    text.push_str(&" ".repeat(500_000));
    text.push('(');
    text.push_str(&"long ".repeat(100_000));
    text.push_str(") Y2\nM2\n");
    let reading = read_text(&text);
    assert_eq!(names(&reading), Vec::<&str>::new());
    at(reading.end.axis_mm, [1.0, 2.0, 0.0]);
    assert_eq!(names(&read_strictly(&text)), ["line-too-long"]);
    for hostile in ["[", "#", "(", "X", "-", "X[", "1", "X1", "X[1?", "(a(b)", "#1", "U1 ", "X1]"] {
        let text = format!("G0 X{}\nG0 X7\nM2\n", hostile.repeat(1_000_000 / hostile.len()));
        let reading = read_text(&text);
        at(reading.end.axis_mm, [7.0, 0.0, 0.0]);
    }
}

#[test]
fn what_looks_like_no_number_is_none() {
    for value in ["NaN", "inf", "-Infinity", "1e5", "0x10", "1_000", "１"] {
        let reading = read_text(&format!("G0 X{value}\nM2\n"));
        assert!(!names(&reading).is_empty(), "{value}");
        assert!(reading.toolpath.end_mm.iter().all(|p| p.is_finite()));
    }
}

#[test]
fn repeats_are_bounded() {
    let dialect = Dialect { max_blocks_run: 10_000, ..Dialect::default() };
    for text in [
        "M98 P1 L4000000000\nM2\nO1\nM98 P2 L4000000000\nM99\nO2\nG0 X1\nM99\n",
        "G91 G81 X1 Z-1 R1 L4000000000 F100\nM2\n",
        "G91 G83 X1 Z-99 R100 Q0.02 L4000000000 F100\nM2\n",
        "O1\nM98 P1\nM98 P1\nM99\n",
    ] {
        let reading = read_in(&dialect, text);
        let last = *names(&reading).last().unwrap();
        assert!(["run-too-long", "return-without-call"].contains(&last), "{text}: {last}");
        assert!(reading.toolpath.len() < 50_000);
    }
}

#[test]
fn far_away_positions_stay_finite() {
    let text = "G91 G0 X999999999999\n".repeat(50)
        + "G51 X0 Y0 P999999999999\nX999999999999\n"
        + &"G51 X0 Y0 P999999999999\nG68 X1 Y2 R77\nX999999999999\n".repeat(40);
    let reading = read_text(&text);
    assert!(reading.toolpath.end_mm.iter().all(|p| p.is_finite()));
}

fn soup() -> impl Strategy<Value = String> {
    let words = prop::sample::select(vec![
        "G0",
        "G1",
        "G2",
        "G3",
        "G17",
        "G18",
        "G19",
        "G20",
        "G21",
        "G28",
        "G38.2",
        "G40",
        "G41",
        "G42",
        "G43",
        "G49",
        "G50",
        "G51",
        "G52",
        "G53",
        "G54",
        "G59.3",
        "G68",
        "G69",
        "G73",
        "G80",
        "G81",
        "G83",
        "G84",
        "G87",
        "G90",
        "G91",
        "G92",
        "G92.1",
        "G93",
        "G94",
        "G95",
        "G98",
        "G99",
        "G10 L2 P1",
        "M3",
        "M6",
        "M98 P1",
        "M98 P20001",
        "M99",
        "M30",
        "O1",
        "O2",
        "T1",
        "H1",
        "D1",
        "S100",
        "F100",
        "P1",
        "P-1",
        "Q1",
        "L2",
        "R5",
        "R-5",
        "X1",
        "X-2.5",
        "Y10",
        "Z-3",
        "I5",
        "J-5",
        "K2",
        "C90",
        "A1",
        "#1=5",
        "X#1",
        "X[1+2*3]",
        "YATAN[1]/[2]",
        "(c)",
        "(MSG, m)",
        "/",
        "%",
        ";",
        "\n",
        "\n",
        "\n",
        "\r\n",
        "[",
        "]",
        "#",
        "=",
        "\u{e4}",
        "\0",
        "N10",
        "X9e9",
    ]);
    prop::collection::vec(words, 0..60).prop_map(|words| words.join(" "))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_give_finite_motion(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let reading = read_bytes(bytes);
        prop_assert!(reading.toolpath.end_mm.iter().all(|p| p.is_finite()));
    }

    #[test]
    fn any_words_give_a_sound_toolpath(text in soup()) {
        let dialect = Dialect { max_blocks_run: 500, ..Dialect::default() };
        for dialect in [dialect, Dialect::published()] {
            let sources = source(text.as_str());
            let reading = read(&sources, &ReadContext::plain(&dialect));
            check_sound(&reading, &sources)?;
        }
    }

    #[test]
    fn places_are_found_in_any_bytes(
        bytes in prop::collection::vec(any::<u8>(), 0..200),
        at in 0_u32..220,
        letter in prop::char::range('A', 'Z'),
    ) {
        let length = bytes.len() as u32;
        let sources = source(bytes);
        let inside = |span: Span| span.start <= span.end && span.end <= length.max(at);
        prop_assert!(inside(block_span(&sources, at)));
        prop_assert!(word_span(&sources, at, letter).is_none_or(inside));
    }
}

/// Columns fit together, numbers are finite, places lie inside the text.
fn check_sound(reading: &kw_nc::Reading, sources: &kw_base::Sources) -> Result<(), TestCaseError> {
    let path = &reading.toolpath;
    let length = sources.files()[0].bytes().len() as u32;
    let columns = [path.origin.len(), path.end_mm.len(), path.feed.len(), path.block_at.len()];
    prop_assert!(columns.iter().all(|&n| n == path.len()));
    prop_assert!(path.rotary_deg.is_empty() || path.rotary_deg.len() == path.len());
    for step in path.moves() {
        prop_assert!(step.to_mm.is_finite() && step.feed.is_finite() && step.feed >= 0.0);
        prop_assert!(step.block_at < length);
        if let Some(arc) = step.arc {
            prop_assert!(arc.sweep_rad != 0.0 && arc.sweep_rad.abs() <= TAU);
            prop_assert!(arc.centre_mm.x.is_finite() && arc.centre_mm.y.is_finite());
        }
    }
    prop_assert!(path.events.is_sorted_by_key(|e| e.before_move));
    for finding in reading.findings.findings() {
        if let kw_base::Place::Text(span) = finding.place {
            prop_assert!(span.start <= span.end && span.end <= length + 1, "{}", finding.check);
        }
    }
    Ok(())
}
