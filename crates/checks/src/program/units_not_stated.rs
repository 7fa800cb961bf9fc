#![doc = include_str!("units_not_stated.md")]

use crate::Context;
use crate::registry::check_info;
use kw_base::{FindingLog, Place};

check_info!("units-not-stated", Stop, "the program never states its units", "units_not_stated.md");

/// Tells the first block that relies on it.
pub fn check(ctx: &Context<'_>, log: &mut FindingLog) {
    let stated = &ctx.reading.stated;
    if stated.units.is_some() || stated.units_by_dialect {
        return;
    }
    let Some(block_at) = stated.first_move else { return };
    if INFO.wanted(log) {
        let place = Place::Text(kw_nc::block_span(ctx.sources, block_at));
        log.push_wanted(
            INFO.finding(
                place,
                "the program never says whether it counts in millimetres or inches",
            )
            .with_label("first motion; the control uses what the last program left")
            .with_help("add G21 for millimetres or G20 for inches at the start"),
        );
    }
}
