//! The time line of a run: spans by tool and tracks of quantities over time.

use kw_checks::Analysis;
use kw_model::Setup;
use kw_motion::PauseKind;
use kw_nc::MoveKind;
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

/// Most steps of a track. Our choice: more than any screen has columns.
pub const MAX_STEPS: usize = 20_000;

/// The time line of an analysis with about `steps` even steps.
pub fn timeline(analysis: &Analysis, setup: &Setup, steps: usize) -> TimelineOut {
    let duration_s = analysis.plan.total_s;
    let steps = steps.clamp(1, MAX_STEPS);
    let step_s = if duration_s > 0.0 { duration_s / steps as f64 } else { 1.0 };
    TimelineOut {
        duration_s,
        spans: spans(analysis, setup, duration_s),
        tracks: vec![feed_track(analysis, steps, step_s)],
    }
}

/// Stretches of work, with changes and waits in between.
fn spans(analysis: &Analysis, setup: &Setup, duration_s: f64) -> Vec<TimeSpanOut> {
    let mut spans = Vec::new();
    let mut from_s = 0.0;
    let starts = tool_starts(analysis);
    let work = |spans: &mut Vec<TimeSpanOut>, to_s: f64, from_s: f64| {
        let mut at_s = from_s;
        let mut tool = tool_at(&starts, from_s);
        for &(start_s, next) in starts.iter().filter(|s| s.0 > from_s && s.0 < to_s) {
            push_span(spans, span(setup, at_s, start_s, SpanKind::Tool, tool));
            (at_s, tool) = (start_s, next);
        }
        push_span(spans, span(setup, at_s, to_s, SpanKind::Tool, tool));
    };
    for pause in &analysis.plan.pauses {
        let kind = match pause.kind {
            PauseKind::ToolChange => SpanKind::Change,
            PauseKind::HandLoad => SpanKind::HandLoad,
            PauseKind::Stop => SpanKind::Wait,
            _ => continue,
        };
        work(&mut spans, pause.start_s, from_s);
        let next = tool_at(&starts, pause.end_s());
        push_span(&mut spans, span(setup, pause.start_s, pause.end_s(), kind, next));
        from_s = pause.end_s();
    }
    work(&mut spans, duration_s, from_s);
    spans
}

/// When each tool starts to work: at the start of the first move it is in for.
fn tool_starts(analysis: &Analysis) -> Vec<(f64, Option<u32>)> {
    let path = &analysis.reading.toolpath;
    let mut starts: Vec<(f64, Option<u32>)> = Vec::new();
    for m in path.moves() {
        if starts.last().is_none_or(|last| last.1 != m.state.tool) {
            starts.push((analysis.plan.start_s(m.index), m.state.tool));
        }
    }
    starts
}

/// The tool in work at a time, or the first one before it.
fn tool_at(starts: &[(f64, Option<u32>)], time_s: f64) -> Option<u32> {
    let after = starts.partition_point(|s| s.0 <= time_s + 1e-9);
    starts.get(after.saturating_sub(1)).and_then(|s| s.1)
}

fn push_span(spans: &mut Vec<TimeSpanOut>, span: TimeSpanOut) {
    if span.to_s > span.from_s || span.kind == SpanKind::Wait {
        spans.push(span);
    }
}

fn span(setup: &Setup, from_s: f64, to_s: f64, kind: SpanKind, tool: Option<u32>) -> TimeSpanOut {
    let name = tool.and_then(|n| setup.tool(n)).map(|t| t.kind.name.clone());
    let label = match (tool, name) {
        (Some(number), Some(name)) => format!("{number} · {name}"),
        (Some(number), None) => number.to_string(),
        (None, _) => String::new(),
    };
    TimeSpanOut { from_s, to_s, kind, tool, label }
}

/// Mean speed along the path of each move at feed, by time; 0 during rapids and pauses.
fn feed_track(analysis: &Analysis, steps: usize, step_s: f64) -> TrackOut {
    let mut low = vec![f64::INFINITY; steps];
    let mut high = vec![0.0_f64; steps];
    let mut busy_s = vec![0.0_f64; steps];
    for m in analysis.reading.toolpath.moves() {
        let took_s = analysis.plan.duration_s(m.index);
        if took_s <= 0.0 || m.kind == MoveKind::Rapid {
            continue;
        }
        let speed = m.length_mm() / took_s * 60.0;
        let end_s = analysis.plan.end_s[m.index];
        let first = step_of(end_s - took_s, step_s, steps);
        let last = step_of(end_s, step_s, steps);
        for i in first..=last {
            let from = (end_s - took_s).max(i as f64 * step_s);
            let to = end_s.min((i + 1) as f64 * step_s);
            busy_s[i] += (to - from).max(0.0);
            low[i] = low[i].min(speed);
            high[i] = high[i].max(speed);
        }
    }
    for i in 0..steps {
        if busy_s[i] < step_s * 0.999 {
            low[i] = 0.0;
        }
    }
    TrackOut { name: "feed".to_owned(), unit: "mm/min".to_owned(), step_s, low, high }
}

fn step_of(time_s: f64, step_s: f64, steps: usize) -> usize {
    ((time_s / step_s).max(0.0) as usize).min(steps - 1)
}
