//! Speed of reading: bytes per second of a program of short lines and arcs, beside a plain count of
//! words over the same bytes, and whether ten times the blocks take ten times as long.

use divan::counter::BytesCount;
use divan::{Bencher, black_box};
use kw_base::Sources;
use kw_model::Dialect;
use kw_nc::{ReadContext, read};

fn main() {
    divan::main();
}

fn program(blocks: u64) -> Vec<u8> {
    let mut text = Vec::new();
    let _ = bench_data::write_program(&mut text, blocks);
    text
}

fn read_all(bencher: Bencher<'_, '_>, text: Vec<u8>) {
    let size = text.len();
    let Ok(sources) = Sources::single("bench.nc", text) else { return };
    let dialect = Dialect::default();
    let context = ReadContext::plain(&dialect);
    bencher.counter(BytesCount::new(size)).bench(|| read(black_box(&sources), &context));
}

/// Short lines, arcs, holes; cost per byte must not grow with the number of blocks.
#[divan::bench(args = [10_000, 100_000, 1_000_000], sample_count = 10)]
fn short_lines_and_arcs(bencher: Bencher<'_, '_>, blocks: u64) {
    read_all(bencher, program(blocks));
}

/// The yardstick: a count of words over the same bytes.
#[divan::bench(args = [1_000_000], sample_count = 10)]
fn count_words_only(bencher: Bencher<'_, '_>, blocks: u64) {
    let text = program(blocks);
    bencher.counter(BytesCount::new(text.len())).bench(|| {
        let mut inside = false;
        let mut words = 0_u64;
        for &b in black_box(&text) {
            let blank = matches!(b, b' ' | b'\n' | b'\t' | b'\r');
            words += u64::from(inside && blank);
            inside = !blank;
        }
        words
    });
}

/// Every value an expression.
#[divan::bench(args = [10_000, 100_000], sample_count = 10)]
fn expressions(bencher: Bencher<'_, '_>, blocks: usize) {
    let line = "G1 X[#1 + 2 * SIN[30]] Y[[#1 - 5] / [2 ** 2]] F[100 * 10]\n";
    read_all(bencher, format!("#1=2\n{}M30\n", line.repeat(blocks)).into_bytes());
}

/// A fault on every block: the log must stay bounded and the cost linear.
#[divan::bench(args = [10_000, 100_000], sample_count = 10)]
fn a_fault_on_every_block(bencher: Bencher<'_, '_>, blocks: usize) {
    read_all(bencher, "G1 X1 U2 M77 Q5\n".repeat(blocks).into_bytes());
}

/// Subprogram of ten blocks, run many times.
#[divan::bench(args = [1_000, 10_000], sample_count = 10)]
fn repeats_of_a_subprogram(bencher: Bencher<'_, '_>, repeats: usize) {
    let body = "X1 Y1\n".repeat(10);
    let text = format!("G91 G1 F100\nM98 P5 L{repeats}\nM30\nO5\n{body}M99\n");
    read_all(bencher, text.into_bytes());
}
