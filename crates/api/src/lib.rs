//! Wire types: the report that `kerfwright check --json` prints and the page shows, its published
//! JSON Schema, and the rest of what the HTTP API sends. Field names are a contract: later
//! versions add fields and never rename one.

pub mod drawing;
pub mod report;
pub mod shop_view;
pub mod timeline;
