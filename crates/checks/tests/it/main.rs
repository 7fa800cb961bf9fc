//! Every check on its own fixtures, and what holds of the analysis as a whole.
#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "tests read fixtures from files and may fail loudly"
)]

mod fixtures;
mod whole;
