//! What the page is sent of the large generated program; run with `cargo bench -p kw-api`.
//! Blocks by `KERFWRIGHT_BENCH_BLOCKS` (default 100000).
#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a bench reads its input and may fail loudly"
)]

use kw_api::{Report, drawing, timeline};
use kw_base::Sources;
use kw_checks::{Analysis, analyse};
use kw_model::shop::SetupChoice;
use kw_model::{Setup, Shop, ShopFile};
use std::path::Path;
use std::sync::LazyLock;

fn main() {
    divan::main();
}

static ANALYSED: LazyLock<(Sources, Setup, Analysis)> = LazyLock::new(|| {
    let blocks = std::env::var("KERFWRIGHT_BENCH_BLOCKS").ok().and_then(|b| b.parse().ok());
    let mut text = Vec::new();
    bench_data::write_program(&mut text, blocks.unwrap_or(100_000)).unwrap();
    let sources = Sources::single("large.nc", text).unwrap();
    let setup = setup();
    let analysis = analyse(&sources, &setup).unwrap();
    (sources, setup, analysis)
});

fn setup() -> Setup {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/shop");
    let names =
        ["shop.toml", "tools.toml", "materials.toml", "sheets.toml", "machines/long-table.toml"];
    let read = |name: &str| std::fs::read_to_string(folder.join(name)).unwrap();
    let files: Vec<ShopFile> =
        names.iter().map(|n| ShopFile { name: (*n).to_owned(), text: read(n) }).collect();
    Shop::read(&files).unwrap().setup(SetupChoice::default()).unwrap()
}

#[divan::bench(args = [5000, 150_000, 2_000_000], sample_count = 5)]
fn drawing_of(bencher: divan::Bencher<'_, '_>, budget: usize) {
    let (sources, setup, analysis) = &*ANALYSED;
    bencher.bench_local(|| drawing(analysis, sources, setup, budget));
}

#[divan::bench(sample_count = 5)]
fn timeline_of(bencher: divan::Bencher<'_, '_>) {
    let (_, setup, analysis) = &*ANALYSED;
    bencher.bench_local(|| timeline(analysis, setup, 1200));
}

#[divan::bench(sample_count = 5)]
fn report_of(bencher: divan::Bencher<'_, '_>) {
    let (sources, setup, analysis) = &*ANALYSED;
    bencher.bench_local(|| Report::of(analysis, sources, setup));
}
