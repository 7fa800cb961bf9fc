//! The whole way from text to findings, and its stages, on the large generated program; run with
//! `cargo bench -p kw-checks`. Blocks by `KERFWRIGHT_BENCH_BLOCKS` (default 100000).
#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a bench reads its input and may fail loudly"
)]

use kw_base::Sources;
use kw_checks::{Material, ToolWork};
use kw_model::shop::SetupChoice;
use kw_model::{Setup, Shop, ShopFile};
use kw_motion::{Limits, PlanOptions};
use kw_nc::ReadContext;
use std::path::Path;

fn main() {
    divan::main();
}

fn program() -> Sources {
    let blocks = std::env::var("KERFWRIGHT_BENCH_BLOCKS").ok().and_then(|b| b.parse().ok());
    let mut text = Vec::new();
    bench_data::write_program(&mut text, blocks.unwrap_or(100_000)).unwrap();
    Sources::single("large.nc", text).unwrap()
}

fn setup() -> Setup {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/shop");
    let names =
        ["shop.toml", "tools.toml", "materials.toml", "sheets.toml", "machines/long-table.toml"];
    let read = |name: &str| std::fs::read_to_string(folder.join(name)).unwrap();
    let files: Vec<ShopFile> =
        names.iter().map(|n| ShopFile { name: (*n).to_owned(), text: read(n) }).collect();
    Shop::read(&files).unwrap().setup(SetupChoice::default()).unwrap()
}

#[divan::bench(sample_count = 3)]
fn read(bencher: divan::Bencher<'_, '_>) {
    let (sources, setup) = (program(), setup());
    bencher.bench_local(|| kw_nc::read(&sources, &ReadContext::from_setup(&setup)));
}

#[divan::bench(sample_count = 3)]
fn plan(bencher: divan::Bencher<'_, '_>) {
    let (sources, setup) = (program(), setup());
    let reading = kw_nc::read(&sources, &ReadContext::from_setup(&setup));
    let limits = Limits::from_setup(&setup).unwrap();
    bencher.bench_local(|| kw_motion::plan(&reading.toolpath, &limits, &PlanOptions::default()));
}

#[divan::bench(sample_count = 3)]
fn material(bencher: divan::Bencher<'_, '_>) {
    let (sources, setup) = (program(), setup());
    let reading = kw_nc::read(&sources, &ReadContext::from_setup(&setup));
    bencher.bench_local(|| Material::of(&reading.toolpath, &setup, 0.5));
}

#[divan::bench(sample_count = 3)]
fn loads_and_wear(bencher: divan::Bencher<'_, '_>) {
    let (sources, setup) = (program(), setup());
    let path = kw_nc::read(&sources, &ReadContext::from_setup(&setup)).toolpath;
    let limits = Limits::from_setup(&setup).unwrap();
    let plan = kw_motion::plan(&path, &limits, &PlanOptions::default());
    let material = Material::of(&path, &setup, 0.5).unwrap();
    bencher.bench_local(|| ToolWork::of(&path, &plan, &material, &setup));
}

#[divan::bench(sample_count = 3)]
fn whole_check(bencher: divan::Bencher<'_, '_>) {
    let (sources, setup) = (program(), setup());
    bencher.bench_local(|| kw_checks::analyse(&sources, &setup).unwrap());
}
