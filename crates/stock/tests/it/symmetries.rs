//! The same work said differently gives the same sheet.

use crate::pencil::{BALL, FLAT, KNIFE, Pencil, THICK, VEE, sheet};
use kw_geometry::Vec3;
use kw_nc::toolpath::Toolpath;
use kw_stock::{
    CompareOptions, DepthMap, PieceOptions, Stock, SweepOptions, compare, pieces, sweep,
};

const WIDTH: f64 = 160.0;
const HEIGHT: f64 = 120.0;

/// A program with lines, arcs, ramps and several tools.
fn job() -> Pencil {
    let mut pencil = Pencil::with(FLAT);
    pencil.rectangle((31.37, 21.11), (101.93, 83.29), -9.0);
    pencil.rectangle((31.37, 21.11), (101.93, 83.29), -THICK - 0.3);
    pencil.plunge(61.7, 50.3, 0.0).arc((55.21, 50.3), 360.0, -5.0).arc((55.21, 50.3), 200.0, -5.0);
    pencil.line(88.13, 72.7, -2.0).retract();
    pencil.change(BALL).plunge(20.3, 95.7, -1.0).line(140.9, 101.3, -3.5).retract();
    pencil.change(VEE).plunge(120.21, 30.7, -2.0).line(140.83, 60.39, -4.0);
    pencil.arc((130.0, 60.0), -120.0, -4.0).retract();
    pencil.change(KNIFE).plunge(110.3, 90.1, -THICK).line(150.7, 80.3, -THICK).retract();
    pencil
}

fn run(path: &Toolpath, width: f64, height: f64) -> Stock {
    sweep(path, &sheet(width, height), &SweepOptions::default()).unwrap()
}

fn moved(path: &Toolpath, point: impl Fn(Vec3) -> Vec3, turns: f64) -> Toolpath {
    let mut path = path.clone();
    path.start_mm = point(path.start_mm);
    for end in &mut path.end_mm {
        *end = point(*end);
    }
    for arc in &mut path.arcs {
        let centre = point(Vec3::new(arc.centre_mm.x, arc.centre_mm.y, 0.0));
        arc.centre_mm = centre.xy();
        arc.sweep_rad *= turns;
    }
    path
}

/// Depth steps of all cells of a region by column and row.
fn depths(map: &DepthMap, columns: std::ops::RangeInclusive<u32>) -> Vec<Vec<i64>> {
    let step = map.depth_step_mm;
    let depth = |column, row| (map.cell(column, row).unwrap().depth_mm / step).round() as i64;
    (1..=240).map(|row| columns.clone().map(|column| depth(column, row)).collect()).collect()
}

#[track_caller]
fn nearly_equal(a: &[Vec<i64>], b: &[Vec<i64>]) {
    let pairs = a.iter().flatten().zip(b.iter().flatten());
    let worst = pairs.map(|(a, b)| (a - b).abs()).max().unwrap();
    assert!(worst <= 1, "{worst} depth steps");
}

#[test]
fn shifted_by_whole_cells() {
    let job = job().path;
    let here = run(&job, WIDTH, HEIGHT);
    let there = run(&moved(&job, |p| p + Vec3::new(77.5, 0.0, 0.0), 1.0), WIDTH + 77.5, HEIGHT);
    nearly_equal(&depths(&here.map, 1..=320), &depths(&there.map, 156..=475));
    for (a, b) in here.moves.volume_mm3.iter().zip(&there.moves.volume_mm3) {
        assert!((a - b).abs() <= 0.05, "{a} {b}");
    }
}

#[test]
fn mirrored() {
    let job = job().path;
    let here = run(&job, WIDTH, HEIGHT);
    let there = run(&moved(&job, |p| Vec3::new(WIDTH - p.x, p.y, p.z), -1.0), WIDTH, HEIGHT);
    let mut flipped = depths(&there.map, 1..=320);
    flipped.iter_mut().for_each(|row| row.reverse());
    nearly_equal(&depths(&here.map, 1..=320), &flipped);
    // Climb becomes conventional.
    for (a, b) in here.moves.climb.iter().zip(&there.moves.climb) {
        assert!((a + b).abs() < 0.02, "{a} {b}");
    }
}

#[test]
fn x_and_y_exchanged() {
    let job = job().path;
    let here = run(&job, WIDTH, HEIGHT);
    let there = run(&moved(&job, |p| Vec3::new(p.y, p.x, p.z), -1.0), HEIGHT, WIDTH);
    for row in 1..=240 {
        for column in 1..=320 {
            let a = here.map.cell(column, row).unwrap().depth_mm;
            let b = there.map.cell(row, column).unwrap().depth_mm;
            assert!((a - b).abs() < 1.5 * here.map.depth_step_mm, "{column} {row}: {a} {b}");
        }
    }
}

#[test]
fn run_backwards() {
    let job = job().path;
    let here = run(&job, WIDTH, HEIGHT);
    let mut back = Toolpath {
        start_mm: job.end_mm[job.len() - 1],
        states: job.states.clone(),
        ..Toolpath::default()
    };
    for index in (0..job.len()).rev() {
        let m = job.get(index);
        let arc = m.arc.map(|arc| kw_nc::toolpath::ArcData { sweep_rad: -arc.sweep_rad, ..arc });
        back.push(kw_nc::toolpath::NewMove {
            kind: m.kind,
            origin: m.origin,
            end_mm: m.from_mm,
            arc,
            rotary_deg: None,
            feed: m.feed,
            block_at: 0,
            state: m.state_index,
        });
    }
    let there = run(&back, WIDTH, HEIGHT);
    nearly_equal(&depths(&here.map, 1..=320), &depths(&there.map, 1..=320));
    let volume = |stock: &Stock| stock.moves.volume_mm3.iter().map(|&v| f64::from(v)).sum::<f64>();
    assert!((volume(&here) - volume(&there)).abs() < 1.0);
}

#[test]
fn moves_split_in_parts() {
    let job = job().path;
    let here = run(&job, WIDTH, HEIGHT);
    let mut parts =
        Toolpath { start_mm: job.start_mm, states: job.states.clone(), ..Toolpath::default() };
    for m in job.moves() {
        for part in 1..=3 {
            let share = f64::from(part) / 3.0;
            let arc =
                m.arc.map(|arc| kw_nc::toolpath::ArcData { sweep_rad: arc.sweep_rad / 3.0, ..arc });
            let end_mm = match m.axis_arc() {
                Some(arc) => arc.point_at(share),
                None if part == 3 => m.to_mm,
                None => m.from_mm.lerp(m.to_mm, share),
            };
            parts.push(kw_nc::toolpath::NewMove {
                kind: m.kind,
                origin: m.origin,
                end_mm,
                arc,
                rotary_deg: None,
                feed: m.feed,
                block_at: 0,
                state: m.state_index,
            });
        }
    }
    let there = run(&parts, WIDTH, HEIGHT);
    nearly_equal(&depths(&here.map, 1..=320), &depths(&there.map, 1..=320));
    for index in 0..job.len() {
        let split: f32 = there.moves.volume_mm3[3 * index..3 * index + 3].iter().sum();
        let whole = here.moves.volume_mm3[index];
        assert!((split - whole).abs() <= 0.2 + 2e-3 * whole, "move {index}: {split} {whole}");
    }
}

#[test]
fn told_in_inches() {
    let job = job().path;
    let here = run(&job, WIDTH, HEIGHT);
    // Inches with six decimals: the rounding of a control that reads them.
    let rounded = |v: f64| (v / 25.4 * 1e6).round() / 1e6 * 25.4;
    let inches = moved(&job, |p| Vec3::new(rounded(p.x), rounded(p.y), rounded(p.z)), 1.0);
    let there = run(&inches, WIDTH, HEIGHT);
    let found = compare(&here.map, &there.map, &CompareOptions::default()).unwrap();
    assert!(found.is_none(), "{found:?}");
}

#[test]
fn any_number_of_threads() {
    let job = job();
    let setup = sheet(WIDTH, HEIGHT);
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| {
            let stock = run(&job.path, WIDTH, HEIGHT);
            let pieces = pieces(&stock, &job.path, &setup, &PieceOptions::default());
            (stock, pieces)
        })
    };
    let one = with(1);
    assert_eq!(one, with(2));
    assert_eq!(one, with(5));
}

#[test]
fn long_moves_across_many_tiles_in_any_order() {
    // Each move crosses about a dozen tiles, so that lists of moves overflow and are split.
    let setup = sheet(1500.0, 900.0);
    let corner = |index: u32| {
        let share = f64::from(index.wrapping_mul(2_654_435_761) >> 8) / f64::from(1_u32 << 24);
        if index.is_multiple_of(2) { (share * 1500.0, 3.0) } else { (share * 1500.0, 897.0) }
    };
    let draw = |order: Vec<u32>| {
        let mut pencil = Pencil::with(FLAT);
        let (x, y) = corner(order[0]);
        pencil.plunge(x, y, -4.0);
        for &index in &order[1..] {
            let (x, y) = corner(index);
            pencil.line(x, y, -4.0);
        }
        pencil.path
    };
    let forth = draw((0..1800).collect());
    let back = draw((0..1800).rev().collect());
    let options = SweepOptions { step_mm: 1.0, ..SweepOptions::default() };
    let forth = sweep(&forth, &setup, &options).unwrap();
    let back = sweep(&back, &setup, &options).unwrap();
    let volume = |stock: &Stock| stock.moves.volume_mm3.iter().map(|&v| f64::from(v)).sum::<f64>();
    assert!((volume(&forth) / forth.map.removed_volume_mm3() - 1.0).abs() < 1e-5);
    assert!((volume(&back) / volume(&forth) - 1.0).abs() < 1e-5);
    let none = compare(&forth.map, &back.map, &CompareOptions { cells: 0, depth_mm: 0.0 });
    assert!(none.unwrap().is_none());
}

#[test]
fn an_end_move_gives_the_sheet_at_that_moment() {
    let job = job().path;
    for end in [0, 9, 20, job.len()] {
        let options = SweepOptions { end_move: Some(end as u32), ..SweepOptions::default() };
        let stopped = sweep(&job, &sheet(WIDTH, HEIGHT), &options).unwrap();
        let mut cut_off = job.clone();
        for column in [&mut cut_off.state, &mut cut_off.block_at, &mut cut_off.arc_index] {
            column.truncate(end);
        }
        cut_off.kind.truncate(end);
        cut_off.origin.truncate(end);
        cut_off.end_mm.truncate(end);
        cut_off.feed.truncate(end);
        assert_eq!(stopped.map, run(&cut_off, WIDTH, HEIGHT).map);
    }
}
