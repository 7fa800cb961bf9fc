#![doc = include_str!("plane_not_stated.md")]

use crate::Context;
use crate::registry::check_info;
use kw_base::{FindingLog, Place};

check_info!(
    "plane-not-stated",
    Care,
    "an arc or cycle runs without a stated plane",
    "plane_not_stated.md"
);

/// Tells the first block that relies on it.
pub fn check(ctx: &Context<'_>, log: &mut FindingLog) {
    let stated = &ctx.reading.stated;
    if stated.plane.is_some() || stated.plane_by_dialect {
        return;
    }
    let Some(block_at) = stated.first_in_plane else { return };
    if INFO.wanted(log) {
        let place = Place::Text(kw_nc::block_span(ctx.sources, block_at));
        log.push_wanted(
            INFO.finding(place, "an arc or cycle runs though the program never stated its plane")
                .with_label("the control uses what the last program left")
                .with_help("add G17 at the start"),
        );
    }
}
