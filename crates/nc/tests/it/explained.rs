//! Programs told in words.

use crate::support::fixture;
use kw_base::Sources;
use kw_model::Dialect;
use kw_model::dialect::{Action, MappedCode};
use kw_nc::{ReadContext, ReadTool, explain};
use std::fmt::Write;

#[test]
fn each_block_is_told_in_words_with_the_state_after_it() {
    let sources = Sources::single("panel.nc", fixture("explained/panel.nc")).unwrap();
    let zone = MappedCode {
        code: "M71".to_owned(),
        action: Action::ZoneOn,
        target: Some("left".to_owned()),
        name: "zone left on".to_owned(),
        duration_s: 0.2,
        after_motion: false,
    };
    let dialect = Dialect { code: vec![zone], ..Dialect::default() };
    let mut context = ReadContext::plain(&dialect);
    context.tools.insert(3, ReadTool::measured(Some(50.0), Some(6.0)));
    let mut text = String::new();
    explain(&sources, &context, |block| {
        let file = &sources.files()[0];
        let part = |span| String::from_utf8_lossy(file.slice(span)).into_owned();
        let _ = writeln!(text, "{}{}", "  ".repeat(block.depth), part(block.span));
        for word in &block.words {
            let _ = writeln!(text, "      {}: {}", part(word.span), word.meaning);
        }
        let _ = writeln!(text, "    = {} ({} moves)", block.after, block.moves);
    });
    insta::assert_snapshot!(text);
}
