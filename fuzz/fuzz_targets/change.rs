//! Edits, transforms and restarts of any bytes: a refusal or a program, never a panic; an edit that
//! is not refused changes no byte outside of its patches.
//!
//! `cargo fuzz run -s none change -- -max_total_time=60` works on a stable compiler.

#![no_main]

use kw_base::Sources;
use kw_change::{
    Amount, Edit, EditRequest, FeedPart, RestartOptions, Scope, Transform, WriteOptions, edit,
    restart, transform, write,
};
use kw_geometry::{Vec2, Vec3};
use kw_model::Dialect;
use kw_model::dialect::{IntegerRule, ToolWord};
use kw_nc::{ReadContext, ReadTool, read};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let Some((choice, text)) = bytes.split_at_checked(6) else { return };
    let Ok(sources) = Sources::single("fuzz.nc", text.to_vec()) else { return };
    let odd = choice[0] & 1 != 0;
    let dialect = Dialect {
        max_blocks_run: 2000,
        decimal_comma: odd,
        apostrophe_comments: odd,
        integers: if choice[0] & 2 != 0 { IntegerRule::Thousandths } else { IntegerRule::Plain },
        tool_word: if choice[0] & 4 != 0 { ToolWord::NumberAndOffset } else { ToolWord::Number },
        ..Dialect::default()
    };
    let mut context = ReadContext::plain(&dialect);
    context.tools.insert(1, ReadTool::measured(Some(50.0), Some(6.0)));
    context.start_tool = Some(1);
    edited(&sources, &context, choice);
    placed(&sources, &context, choice);
});

fn edited(sources: &Sources, context: &ReadContext<'_>, choice: &[u8]) {
    let figure = f64::from(choice[3]) / 16.0;
    let amount = if choice[1] & 0x80 != 0 { Amount::Value(figure) } else { Amount::Factor(figure) };
    let (low, high) = (u32::from(choice[3] & 15), u32::from(choice[3] >> 4));
    let edit_wanted = match choice[1] & 7 {
        0 => Edit::Feed { part: FeedPart::Cut, amount },
        1 => Edit::Feed { part: FeedPart::Plunge, amount },
        2 => Edit::Speed(amount),
        3 => Edit::SwapTool { from: low, to: high },
        4 => Edit::Depth { from: -f64::from(low), to: -figure },
        5 => Edit::InsertPause { before_line: low },
        6 => Edit::RemovePause { line: low },
        _ => Edit::Datum { from: low as u8, to: high as u8 },
    };
    let (first, last) = (u32::from(choice[4]), u32::from(choice[5]));
    let scope = match choice[2] & 3 {
        0 => Scope::All,
        1 => Scope::Tool(low),
        2 => Scope::Moves { first, last },
        _ => Scope::Lines { first, last },
    };
    let request = EditRequest { edit: edit_wanted, scope };
    let Ok(done) = edit(sources, context, &request) else { return };
    let old = sources.files()[0].bytes();
    let kept: usize = done.patches.iter().map(|p| (p.span.end - p.span.start) as usize).sum();
    let added: usize = done.patches.iter().map(|p| p.text.len()).sum();
    assert_eq!(done.text.len(), old.len() - kept + added);
}

fn placed(sources: &Sources, context: &ReadContext<'_>, choice: &[u8]) {
    let path = read(sources, context).toolpath;
    let wanted = Transform {
        about_mm: Vec2::new(f64::from(choice[1]), f64::from(choice[2])),
        mirror_x: choice[3] & 1 != 0,
        turn_rad: f64::from(choice[4]) / 40.0,
        shift_mm: Vec3::new(f64::from(choice[5]), 0.0, 0.0),
        ..Transform::default()
    };
    if let Ok(done) = transform(&path, &wanted) {
        let options = WriteOptions { inch: choice[3] & 2 != 0, ..WriteOptions::default() };
        let _ = write(&done.toolpath, context, &options);
    }
    let options = RestartOptions {
        back_mm: f64::from(choice[1]),
        clear_z_mm: f64::from(choice[2]) - 100.0,
        surface_z_mm: 0.0,
        top_axis_z_mm: 200.0,
    };
    let _ = restart(&path, context, usize::from(choice[4]), &options);
}
