//! The finished plan: when each move ends, how fast it runs, and every pause.

use crate::pause::{Pause, PauseKind};

/// Times and speeds of a whole program.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TimePlan {
    /// Time at the end of each move from the start of the program, s. A move starts at the end
    /// of the move before it or of the last pause between the two.
    pub end_s: Vec<f64>,
    /// Speed at the end of each move, mm/s along the path (degrees/s for turns).
    pub exit_speed: Vec<f32>,
    /// Highest speed reached in each move, mm/s along the path (degrees/s for turns).
    pub peak_speed: Vec<f32>,
    /// All pauses, in order of time.
    pub pauses: Vec<Pause>,
    /// Time of the whole program, s; waiting for persons counts as zero.
    pub total_s: f64,
    /// Feed moves whose feed is not stated: they are planned at the axes' own limits, so the
    /// total is too short.
    pub moves_without_feed: u64,
    /// Moves in which nothing moves; they take no time.
    pub empty_moves: u64,
}

impl TimePlan {
    /// Number of moves.
    pub fn len(&self) -> usize {
        self.end_s.len()
    }

    /// Whether there is no move.
    pub fn is_empty(&self) -> bool {
        self.end_s.is_empty()
    }

    /// Time at the start of a move, s; panics if there is none of that index.
    pub fn start_s(&self, index: usize) -> f64 {
        let after_move = if index == 0 { 0.0 } else { self.end_s[index - 1] };
        let upto = self.pauses.partition_point(|p| p.before_move as usize <= index);
        match upto.checked_sub(1).map(|last| &self.pauses[last]) {
            Some(pause) if pause.before_move as usize == index => pause.end_s(),
            _ => after_move,
        }
    }

    /// Time that a move takes, s.
    pub fn duration_s(&self, index: usize) -> f64 {
        self.end_s[index] - self.start_s(index)
    }

    /// Speed at the start of a move, mm/s along the path (degrees/s for turns).
    pub fn entry_speed(&self, index: usize) -> f32 {
        if index == 0 { 0.0 } else { self.exit_speed[index - 1] }
    }

    /// Start and duration of each move in order, s.
    pub fn times(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        let mut pauses = self.pauses.iter().peekable();
        let mut now_s = 0.0;
        self.end_s.iter().enumerate().map(move |(index, &end_s)| {
            while let Some(pause) = pauses.next_if(|p| p.before_move as usize <= index) {
                now_s = pause.end_s();
            }
            let start_s = now_s;
            now_s = end_s;
            (start_s, end_s - start_s)
        })
    }

    /// Time of all pauses of one kind, s.
    pub fn paused_s(&self, kind: PauseKind) -> f64 {
        self.pauses.iter().filter(|p| p.kind == kind).map(|p| p.duration_s).sum()
    }

    /// How often the program waits for a person (stops and tools loaded by hand).
    pub fn person_waits(&self) -> u64 {
        self.pauses.iter().filter(|p| p.kind.waits_for_person()).count() as u64
    }
}
