//! The time line of a run: spans by tool and tracks of quantities over time.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// The time line of one program in its setup.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct TimelineOut {
    /// Total time, s.
    pub duration_s: f64,
    /// What fills the time, in order, without gaps.
    pub spans: Vec<TimeSpanOut>,
    /// Quantities over time.
    pub tracks: Vec<TrackOut>,
}

/// A stretch of time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct TimeSpanOut {
    /// From, s.
    pub from_s: f64,
    /// To, s.
    pub to_s: f64,
    /// What fills it.
    pub kind: SpanKind,
    /// Tool in work.
    pub tool: Option<u32>,
    /// Words for people.
    pub label: String,
}

/// What fills a stretch of time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SpanKind {
    /// A tool works.
    Tool,
    /// A tool is changed by the machine.
    Change,
    /// A person loads a tool.
    HandLoad,
    /// The program waits for a person.
    Wait,
}

/// A quantity over time, as even steps: value `i` holds from `i·step_s` to `(i+1)·step_s`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct TrackOut {
    /// Name: `feed`, later also `power`, `vacuum`, `margin`.
    pub name: String,
    /// Unit.
    pub unit: String,
    /// Length of a step, s.
    pub step_s: f64,
    /// Lowest value in each step.
    pub low: Vec<f64>,
    /// Highest value in each step.
    pub high: Vec<f64>,
}
