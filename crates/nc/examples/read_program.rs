//! Reads a program without a machine and says how long that took and how much memory it needs.
//!
//! `cargo run --release -p kw-nc --example read_program -- FILE [REPEATS]`

use kw_base::Sources;
use kw_model::Dialect;
use kw_nc::{ReadContext, read};
use std::io::Write;
use std::process::ExitCode;
use std::time::Instant;

#[allow(clippy::disallowed_methods, reason = "a measuring program reads files and the clock")]
fn main() -> ExitCode {
    let mut out = std::io::stdout().lock();
    let mut args = std::env::args().skip(1);
    let Some(name) = args.next() else { return ExitCode::from(2) };
    let repeats: u32 = args.next().and_then(|a| a.parse().ok()).unwrap_or(5);
    let Ok(text) = std::fs::read(&name) else { return ExitCode::from(2) };
    let size = text.len();
    let Ok(sources) = Sources::single(&name, text) else { return ExitCode::from(2) };
    let dialect = Dialect::default();
    let mut times = Vec::new();
    for _ in 0..repeats {
        let start = Instant::now();
        let reading = read(&sources, &ReadContext::plain(&dialect));
        times.push(start.elapsed().as_secs_f64());
        if times.len() == 1 {
            let path = &reading.toolpath;
            let findings = reading.findings.findings();
            let _ = writeln!(
                out,
                "{size} bytes, {} blocks, {} moves, {} arcs, {} states, {} events, {} findings",
                reading.blocks,
                path.len(),
                path.arcs.len(),
                path.states.len(),
                path.events.len(),
                findings.len()
            );
            for finding in findings.iter().take(10) {
                let _ = writeln!(out, "{} {:?}: {}", finding.check, finding.place, finding.message);
            }
        }
    }
    times.sort_by(f64::total_cmp);
    let _ = writeln!(out, "median {:.3} s of {repeats}", times[times.len() / 2]);
    ExitCode::SUCCESS
}
