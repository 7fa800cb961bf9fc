//! Speed of the sweep beside a plain memory fill, with one and two threads, and with ten times
//! the moves. Items are cells: cells filled, or cells visited by the sweep.

#![allow(clippy::expect_used, reason = "a bench may fail by panic")]

use divan::Bencher;
use divan::counter::ItemsCount;
use kw_base::math;
use kw_geometry::{Polygon, Vec2, Vec3};
use kw_nc::toolpath::{MoveKind, MoveState, NewMove, Origin, SpindleTurn, Toolpath};
use kw_stock::{
    CompareOptions, Cutter, PieceOptions, Profile, Shape, Stock, StockSetup, StockTool,
    SweepOptions, compare, cuts, pieces, sweep,
};

fn main() {
    divan::main();
}

const SHEET_MM: [f64; 2] = [2440.0, 1220.0];

fn setup() -> StockSetup {
    let tool = |number, radius_mm, shape| StockTool {
        number,
        cutter: Ok(Cutter::Turning(Profile { radius_mm, shape })),
        body: Vec::new(),
    };
    StockSetup {
        outline: Polygon::rectangle(Vec2::default(), SHEET_MM.into()),
        top_z_mm: 0.0,
        thickness_mm: 18.0,
        cut_into_spoilboard_mm: 1.0,
        tools: vec![
            tool(1, 3.0, Shape::Flat),
            tool(2, 6.0, Shape::Flat),
            tool(3, 3.0, Shape::Round { core_mm: 0.0, round_mm: 3.0 }),
        ],
        dog_leg_speed_mm_min: None,
    }
}

struct Pencil(Toolpath);

impl Pencil {
    fn with(tool: u32) -> Self {
        let state = MoveState {
            tool: Some(tool),
            spindle: SpindleTurn::Clockwise,
            spindle_rpm: 18_000.0,
            ..MoveState::default()
        };
        let start_mm = Vec3::new(0.0, 0.0, 20.0);
        Self(Toolpath { start_mm, states: vec![state], ..Toolpath::default() })
    }

    fn to(&mut self, kind: MoveKind, x: f64, y: f64, z: f64) {
        self.0.push(NewMove {
            kind,
            origin: Origin::Written,
            end_mm: Vec3::new(x, y, z),
            arc: None,
            rotary_deg: None,
            feed: 3000.0,
            block_at: 0,
            state: 0,
        });
    }
}

/// Pockets cleared with a 12 mm tool and 45 % overlap in four depths over the whole sheet: long
/// straight moves.
fn clearing() -> Toolpath {
    let mut pencil = Pencil::with(2);
    for depth in [4.0, 8.0, 12.0, 16.0] {
        pencil.to(MoveKind::Rapid, 10.0, 10.0, 20.0);
        pencil.to(MoveKind::Line, 10.0, 10.0, -depth);
        let rows = ((SHEET_MM[1] - 20.0) / 6.6) as usize;
        for row in 0..rows {
            let y = 10.0 + row as f64 * 6.6;
            let (from, to) = if row % 2 == 0 { (10.0, 2430.0) } else { (2430.0, 10.0) };
            pencil.to(MoveKind::Line, from, y, -depth);
            pencil.to(MoveKind::Line, to, y, -depth);
        }
        pencil.to(MoveKind::Rapid, 10.0, 10.0, 20.0);
    }
    pencil.0
}

/// Wavy closed outlines over the whole sheet in short chords with a flat 6 mm tool, three passes,
/// the last one through.
fn outlines(blocks: usize) -> Toolpath {
    let mut pencil = Pencil::with(1);
    let (columns, rows) = (12, 6);
    let per_pass = blocks / (columns * rows * 3);
    for part in 0..columns * rows {
        let centre = Vec2::new(
            105.0 + 200.0 * (part % columns) as f64,
            105.0 + 200.0 * (part / columns) as f64,
        );
        for depth in [6.0, 12.0, 18.2] {
            for index in 0..per_pass {
                let angle = math::PI * 2.0 * index as f64 / (per_pass - 3) as f64;
                let radius = 80.0 + 8.0 * math::sin(angle * 9.0);
                let (sin, cos) = math::sincos(angle);
                let (x, y) = (centre.x + radius * cos, centre.y + radius * sin);
                match index {
                    0 => pencil.to(MoveKind::Rapid, x, y, 20.0),
                    1 => pencil.to(MoveKind::Line, x, y, -depth),
                    _ if index == per_pass - 1 => pencil.to(MoveKind::Rapid, x, y, 20.0),
                    _ => pencil.to(MoveKind::Line, x, y, -depth),
                }
            }
        }
    }
    pencil.0
}

/// A relief over the whole sheet with a 6 mm ball in short chords.
fn relief(blocks: usize) -> Toolpath {
    let mut pencil = Pencil::with(3);
    let rows = ((blocks as f64 / 2.0).sqrt()) as usize;
    let columns = blocks / rows;
    pencil.to(MoveKind::Rapid, 10.0, 10.0, 20.0);
    for row in 0..rows {
        let y = 10.0 + 1200.0 * row as f64 / rows as f64;
        for column in 0..columns {
            let share = column as f64 / (columns - 1) as f64;
            let x = 10.0 + 2420.0 * if row % 2 == 0 { share } else { 1.0 - share };
            let z = -3.0 + 2.5 * math::sin(x * 0.02) * math::cos(y * 0.03);
            pencil.to(MoveKind::Line, x, y, z);
        }
    }
    pencil.0
}

fn run(path: &Toolpath) -> Stock {
    sweep(path, &setup(), &SweepOptions::default()).expect("the sheet fits")
}

fn pool(threads: usize) -> rayon::ThreadPool {
    rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("a pool")
}

fn bench_sweep(bencher: Bencher<'_, '_>, path: &Toolpath, threads: usize) {
    let pool = pool(threads);
    let cells = pool.install(|| run(path)).cells_visited;
    bencher
        .counter(ItemsCount::new(cells))
        .bench_local(|| pool.install(|| run(divan::black_box(path))));
}

/// The same number of cells as the clearing visits, in lots as large as the map.
#[divan::bench(sample_count = 9)]
fn fill_2_byte_cells(bencher: Bencher<'_, '_>) {
    fill::<1>(bencher);
}

/// As many bytes as an open cell of the map holds: depth, first move, through move.
#[divan::bench(sample_count = 9)]
fn fill_10_byte_cells(bencher: Bencher<'_, '_>) {
    fill::<5>(bencher);
}

fn fill<const WORDS: usize>(bencher: Bencher<'_, '_>) {
    let cells = run(&clearing()).cells_visited as usize;
    let mut map: Vec<[i16; WORDS]> = vec![[0; WORDS]; 4880 * 2440];
    let mut value = 0;
    bencher.counter(ItemsCount::new(cells)).bench_local(|| {
        let mut left = cells;
        while left > 0 {
            let lot = left.min(map.len());
            value += 1;
            divan::black_box(&mut map[..lot]).fill([value; WORDS]);
            left -= lot;
        }
    });
}

/// Long straight moves: the rate at which cells are visited.
#[divan::bench(args = [1, 2], sample_count = 9)]
fn clearing_long_lines(bencher: Bencher<'_, '_>, threads: usize) {
    bench_sweep(bencher, &clearing(), threads);
}

#[divan::bench(args = [1, 2], sample_count = 9)]
fn outlines_1m_blocks(bencher: Bencher<'_, '_>, threads: usize) {
    bench_sweep(bencher, &outlines(1_000_000), threads);
}

/// Ten times the moves.
#[divan::bench(args = [100_000, 1_000_000], sample_count = 9)]
fn outlines_by_blocks(bencher: Bencher<'_, '_>, blocks: usize) {
    bench_sweep(bencher, &outlines(blocks), 1);
}

#[divan::bench(args = [1, 2], sample_count = 5)]
fn relief_1m_blocks(bencher: Bencher<'_, '_>, threads: usize) {
    bench_sweep(bencher, &relief(1_000_000), threads);
}

/// Sweep, cuts and pieces with outlines of 72 parts.
#[divan::bench(args = [1, 2], sample_count = 5)]
fn outlines_1m_blocks_with_pieces(bencher: Bencher<'_, '_>, threads: usize) {
    let (pool, path, setup) = (pool(threads), outlines(1_000_000), setup());
    bencher.bench_local(|| {
        pool.install(|| {
            let stock = run(divan::black_box(&path));
            let pieces = pieces(&stock, &path, &setup, &PieceOptions::default());
            (cuts(&path, &stock).len(), pieces.all.len())
        })
    });
}

/// The proof: two sheets of 12 million cells compared.
#[divan::bench(args = [1, 2], sample_count = 9)]
fn compare_two_sheets(bencher: Bencher<'_, '_>, threads: usize) {
    let pool = pool(threads);
    let path = outlines(100_000);
    let mut shifted = path.clone();
    shifted.end_mm.iter_mut().for_each(|end| end.x += 0.3);
    let (first, second) = (run(&path).map, run(&shifted).map);
    let options = CompareOptions::default();
    bencher.bench_local(|| pool.install(|| compare(&first, &second, &options)));
}
