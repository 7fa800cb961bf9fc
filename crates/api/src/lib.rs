//! Wire types: the report that `kerfwright check --json` prints and the page shows, its published
//! JSON Schema, and the rest of what the HTTP API sends. Field names are a contract: later
//! versions add fields and never rename one.

pub mod convert;
pub mod drawing;
pub mod loads;
pub mod read_report;
pub mod report;
pub mod schema;
pub mod shop_view;
pub mod speeds;
pub mod timeline;

pub use drawing::drawing;
pub use read_report::ReadReport;
pub use report::Report;
pub use shop_view::ShopView;
pub use speeds::SpeedsReport;
pub use timeline::{TimelineOut, timeline};
