#![doc = include_str!("sheet_not_mapped.md")]

use crate::Context;
use crate::registry::check_info;
use kw_base::{FindingLog, Place};
use kw_stock::MapError;

check_info!(
    "sheet-not-mapped",
    Stop,
    "the material cannot be followed on this sheet",
    "sheet_not_mapped.md"
);

/// Tells why the sheet could not be mapped.
pub fn tell(ctx: &Context<'_>, error: &MapError, log: &mut FindingLog) {
    if INFO.wanted(log) {
        let path = format!("sheet.{}.size_mm", ctx.setup.sheet.id);
        let setting = ctx.setup.settings.sheets.find(&path);
        log.push_wanted(
            INFO.finding(
                Place::Setting(setting.clone()),
                format!("the material stage cannot follow this sheet: {error}"),
            )
            .with_limit_source(setting)
            .with_help("correct the sheet's size and thickness, or take a larger step"),
        );
    }
}
