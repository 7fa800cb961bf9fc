//! The feasible window of spindle speed and feed for one cut, proposals inside it, and what an
//! override of the feed does.
//!
//! Every limit is held against the unsafe end of the model's band, so the window is the one in
//! which a cut is safe as far as the figures are believed.

mod case;
mod feed_override;
mod limit;
mod proposal;
mod window;

pub use case::{Assessment, Margin, SpeedCase};
pub use feed_override::{OVERRIDE_SHARES, OverrideRange, OverrideStep};
pub use limit::{LimitKind, SpeedLimits};
pub use proposal::{Proposal, WearCosts, WearModel};
pub use window::{Column, Extents, SpeedWindow, WINDOW_COLUMNS};
