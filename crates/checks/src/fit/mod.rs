//! Does it fit? Travel, table, stops, sheet, depth.

pub mod into_stop;
pub mod outside_sheet;
pub mod outside_table;
pub mod rapid_below_surface;
pub mod too_deep;
pub mod travel_exceeded;
