//! Writes a deterministic NC program of about the given number of blocks to standard output:
//! pockets, curves in short lines, spirals of arcs, drilling and tool changes on a sheet of
//! 2440 × 1220 mm. Input for benches, here and in other crates.
//!
//! `cargo run --release -p bench-data --bin make_program -- BLOCKS > FILE`

use std::io::{self, BufWriter, Write};
use std::process::ExitCode;

fn main() -> ExitCode {
    let Some(blocks) = std::env::args().nth(1).and_then(|a| a.replace('_', "").parse().ok()) else {
        let _ = writeln!(io::stderr(), "usage: make_program BLOCKS > FILE");
        return ExitCode::from(2);
    };
    let out = BufWriter::with_capacity(1 << 20, io::stdout().lock());
    match bench_data::write_program(out, blocks) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            let _ = writeln!(io::stderr(), "cannot write: {error}");
            ExitCode::from(2)
        }
    }
}
