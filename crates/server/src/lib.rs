//! The page and the HTTP API: routes, the store behind them, the built page inside.
//!
//! Holds no formula and no SQL. Listens on this computer only unless told otherwise.

mod assets;
mod desk;
mod error;
mod guard;
mod routes;
mod serve;
mod views;

pub use desk::Desk;
pub use routes::{openapi_json, router};
pub use serve::{ServeError, ServeOptions, serve};
