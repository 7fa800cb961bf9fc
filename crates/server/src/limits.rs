//! Every limit of the server in one place, so that tests can set small ones.

use std::time::Duration;

/// What the server takes at most. The default values are our choice for a small workshop computer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Largest program taken, bytes.
    pub program_bytes: u64,
    /// Bytes of programs that are being received at the same time; others wait for their turn.
    pub receiving_bytes: u64,
    /// Longest silence of whoever sends a program.
    pub receive_silence: Duration,
    /// Longest time to receive a program.
    pub receive: Duration,
    /// Longest time until an answer begins; the check itself goes on and is kept.
    pub answer: Duration,
    /// Longest time for a request's head, and longest silence of a connection between requests.
    pub head: Duration,
    /// Connections at the same time; others wait to be taken.
    pub connections: usize,
    /// How long open requests may go on once the server is asked to stop.
    pub farewell: Duration,
    /// Memory for texts; those used longest ago leave it first.
    pub kept_text_bytes: u64,
    /// Memory for analyses, as estimated from text and sheet.
    pub kept_analysis_bytes: u64,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            program_bytes: 500_000_000,
            receiving_bytes: 1_000_000_000,
            receive_silence: Duration::from_secs(30),
            receive: Duration::from_secs(900),
            answer: Duration::from_secs(120),
            head: Duration::from_secs(60),
            connections: 256,
            farewell: Duration::from_secs(10),
            kept_text_bytes: 300_000_000,
            kept_analysis_bytes: 600_000_000,
        }
    }
}
