//! The page and the HTTP API: routes, the store behind them, the built page inside.
//!
//! Holds no formula and no SQL. Listens on this computer only unless told otherwise.

mod assets;
mod desk;
mod error;
mod extract;
mod guard;
mod hosts;
mod limits;
mod listen;
mod receive;
mod recent;
mod routes;
mod serve;
mod views;

pub use desk::Desk;
pub use hosts::Hosts;
pub use limits::Limits;
pub use routes::{openapi_json, router};
pub use serve::{ServeError, ServeOptions, serve, serve_until};
