//! Lexer and interpreter: any bytes, under several dialects.
//!
//! `cargo fuzz run -s none read -- -max_total_time=60` works on a stable compiler.

#![no_main]

use kw_base::Sources;
use kw_model::Dialect;
use kw_model::dialect::{ArcCentre, IntegerRule, LengthOffset, ToolCall, ToolWord};
use kw_nc::{ReadContext, ReadTool, Reading, block_span, explain, read, word_span};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let (choice, text) = bytes.split_first().map_or((0, bytes), |(first, rest)| (*first, rest));
    let Ok(sources) = Sources::single("fuzz.nc", text.to_vec()) else { return };
    let dialect = dialect(choice);
    let mut context = ReadContext::plain(&dialect);
    context.tools.insert(1, ReadTool::measured(Some(50.0), Some(6.0)));
    context.start_tool = Some(1);
    context.block_delete = choice & 0x40 != 0;
    let reading = read(&sources, &context);
    check(&reading, text.len());
    if let Some(&at) = reading.toolpath.block_at.last() {
        let _ = (block_span(&sources, at), word_span(&sources, at, 'X'));
    }
    if choice & 0x80 != 0 {
        explain(&sources, &context, |block| assert!(block.span.end as usize <= text.len()));
    }
});

fn dialect(choice: u8) -> Dialect {
    let base = if choice & 1 != 0 { Dialect::published() } else { Dialect::default() };
    let odd = choice & 2 != 0;
    Dialect {
        max_blocks_run: 2000,
        decimal_comma: odd,
        apostrophe_comments: odd,
        brace_comments: odd,
        integers: if choice & 4 != 0 { IntegerRule::Thousandths } else { IntegerRule::Plain },
        arc_centre: if choice & 8 != 0 { ArcCentre::Absolute } else { ArcCentre::Incremental },
        tool_call: if choice & 16 != 0 { ToolCall::ToolWord } else { ToolCall::WithChangeCode },
        tool_word: if choice & 16 != 0 { ToolWord::NumberAndOffset } else { ToolWord::Number },
        length_offset: if choice & 32 != 0 { LengthOffset::WithTool } else { LengthOffset::OnCode },
        ..base
    }
}

/// What must hold of every reading.
fn check(reading: &Reading, length: usize) {
    let path = &reading.toolpath;
    assert!(path.end_mm.iter().all(|p| p.is_finite()));
    assert!(path.feed.iter().all(|f| f.is_finite() && *f >= 0.0));
    assert!(path.rotary_deg.iter().all(|r| r.is_finite()));
    assert!(path.len() <= 20 * 2000 + 20 * length);
    for arc in &path.arcs {
        assert!(arc.sweep_rad != 0.0 && arc.sweep_rad.abs() <= 6.283_186);
        assert!(arc.centre_mm.x.is_finite() && arc.centre_mm.y.is_finite());
    }
    for finding in reading.findings.findings() {
        if let kw_base::Place::Text(span) = finding.place {
            assert!(span.start <= span.end && span.end as usize <= length + 1);
        }
    }
}
