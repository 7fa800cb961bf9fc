//! How a plan is made, beyond the machine's limits.

/// How a plan is made, beyond the machine's limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlanOptions {
    /// Factor on every programmed feed, above 0; 1 is as programmed.
    pub feed_override: f64,
    /// Factor on the speed of rapids, above 0; 1 is the machine's full speed.
    pub rapid_override: f64,
    /// When motion waits for the spindle.
    pub spindle_wait: SpindleWait,
    /// Whether the program waits at optional stops.
    pub optional_stops: bool,
}

impl Default for PlanOptions {
    fn default() -> Self {
        Self {
            feed_override: 1.0,
            rapid_override: 1.0,
            spindle_wait: SpindleWait::default(),
            optional_stops: false,
        }
    }
}

/// When motion waits for a spindle or knife that gathers speed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum SpindleWait {
    /// Rapids and dwells run meanwhile; the first feed move waits.
    #[default]
    BeforeFeed,
    /// Everything waits at the code that starts it.
    AtCode,
}
