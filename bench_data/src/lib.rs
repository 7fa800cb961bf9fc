//! A large NC program, the same every time: shapes in cells of 200 × 200 mm on a sheet of 2440 × 1220 mm,
//! pass after pass, until enough blocks are written. Input of benches and of measurements by hand.

use kw_base::math::{TAU, sincos};
use std::io::{self, Write};

/// Columns and rows of cells on the sheet.
const CELLS: (u64, u64) = (12, 6);
/// Pitch of cells, mm.
const PITCH_MM: f64 = 200.0;
/// Sheet thickness, mm.
const THICKNESS_MM: f64 = 18.0;
/// Depth of one pass, mm.
const PASS_MM: f64 = 3.0;

/// Writes words and counts blocks.
struct Program<W> {
    out: W,
    blocks: u64,
    wanted: u64,
}

impl<W: Write> Program<W> {
    fn block(&mut self, words: std::fmt::Arguments<'_>) -> io::Result<()> {
        self.out.write_fmt(words)?;
        self.out.write_all(b"\n")?;
        self.blocks += 1;
        Ok(())
    }

    /// Whether two blocks are left for the end.
    fn full(&self) -> bool {
        self.blocks + 2 >= self.wanted
    }

    fn change_tool(&mut self, tool: u32, speed: u32) -> io::Result<()> {
        self.block(format_args!("G0 Z40."))?;
        self.block(format_args!("T{tool} M6"))?;
        self.block(format_args!("G43 H{tool}"))?;
        self.block(format_args!("S{speed} M3"))
    }
}

/// Writes a program of `wanted` blocks (at least 20) that ends with M30.
pub fn write_program(out: impl Write, wanted: u64) -> io::Result<()> {
    let mut program = Program { out, blocks: 0, wanted: wanted.max(20) };
    program.block(format_args!("(deterministic program for benches, no real part)"))?;
    program.block(format_args!("G21 G90 G17 G94 G54"))?;
    let mut round = 0;
    while !program.full() {
        let shape = round % 4;
        let (tool, speed) = [(1, 18_000), (2, 16_000), (1, 18_000), (3, 6_000)][shape as usize];
        program.change_tool(tool, speed)?;
        for cell in 0..CELLS.0 * CELLS.1 {
            let x = (cell % CELLS.0) as f64 * PITCH_MM + 20.0;
            let y = (cell / CELLS.0) as f64 * PITCH_MM + 10.0;
            match shape {
                0 => pocket(&mut program, x, y)?,
                1 => curve(&mut program, x, y, 3.0 + (cell % 7) as f64)?,
                2 => spiral(&mut program, x + 90.0, y + 90.0)?,
                _ => holes(&mut program, x, y)?,
            }
            if program.full() {
                break;
            }
        }
        round += 1;
    }
    program.block(format_args!("G0 Z40. M5"))?;
    program.block(format_args!("M30"))?;
    program.out.flush()
}

fn passes() -> impl Iterator<Item = f64> {
    (1..=(THICKNESS_MM / PASS_MM) as u32).map(|pass| -PASS_MM * f64::from(pass))
}

/// Rounded rectangles one inside the other, from the inside out.
fn pocket(program: &mut Program<impl Write>, x: f64, y: f64) -> io::Result<()> {
    for z in passes() {
        program.block(format_args!("G0 X{:.3} Y{:.3} Z5.", x + 90.0, y + 90.0))?;
        program.block(format_args!("G1 Z{z:.3} F1200"))?;
        for ring in 1..=20 {
            if program.full() {
                return Ok(());
            }
            rounded_rectangle(program, (x + 90.0, y + 90.0), f64::from(ring) * 4.0)?;
        }
    }
    program.block(format_args!("G0 Z5."))
}

fn rounded_rectangle(
    program: &mut Program<impl Write>,
    (x, y): (f64, f64),
    half: f64,
) -> io::Result<()> {
    let r = half / 2.0;
    let (left, right, low, high) = (x - half, x + half, y - half, y + half);
    program.block(format_args!("G1 X{:.3} Y{low:.3} F6000", left + r))?;
    program.block(format_args!("X{:.3}", right - r))?;
    program.block(format_args!("G3 X{right:.3} Y{:.3} I0. J{r:.3}", low + r))?;
    program.block(format_args!("G1 Y{:.3}", high - r))?;
    program.block(format_args!("G3 X{:.3} Y{high:.3} I-{r:.3} J0.", right - r))?;
    program.block(format_args!("G1 X{:.3}", left + r))?;
    program.block(format_args!("G3 X{left:.3} Y{:.3} I0. J-{r:.3}", high - r))?;
    program.block(format_args!("G1 Y{:.3}", low + r))?;
    program.block(format_args!("G3 X{:.3} Y{low:.3} I{r:.3} J0.", left + r))
}

/// A closed wavy curve in lines of about a millimetre.
fn curve(program: &mut Program<impl Write>, x: f64, y: f64, waves: f64) -> io::Result<()> {
    const CHORDS: u32 = 600;
    let point = |step: u32| {
        let angle = TAU * f64::from(step) / f64::from(CHORDS);
        let radius = 70.0 + 15.0 * sincos(waves * angle).0;
        let (sin, cos) = sincos(angle);
        (x + 90.0 + radius * cos, y + 90.0 + radius * sin)
    };
    for z in passes() {
        let start = point(0);
        program.block(format_args!("G0 X{:.3} Y{:.3} Z5.", start.0, start.1))?;
        program.block(format_args!("G1 Z{z:.3} F900"))?;
        program.block(format_args!("F5500"))?;
        for step in 1..=CHORDS {
            if program.full() {
                return Ok(());
            }
            let (px, py) = point(step);
            program.block(format_args!("X{px:.3} Y{py:.3}"))?;
        }
    }
    program.block(format_args!("G0 Z5."))
}

/// A spiral of half circles of growing radius, after a helix down.
fn spiral(program: &mut Program<impl Write>, x: f64, y: f64) -> io::Result<()> {
    program.block(format_args!("G0 X{:.3} Y{y:.3} Z1.", x + 2.0))?;
    program.block(format_args!("F3000"))?;
    for turn in 0..12 {
        let z = 1.0 - 1.5 * f64::from(turn + 1);
        program.block(format_args!("G2 X{:.3} Y{y:.3} Z{z:.3} I-2. J0.", x + 2.0))?;
    }
    let (mut at, mut radius) = (x + 2.0, 2.0);
    while radius < 85.0 && !program.full() {
        radius += 0.5;
        let side = if at > x { -1.0 } else { 1.0 };
        at += side * 2.0 * radius;
        program.block(format_args!("X{at:.3} Y{y:.3} I{:.3} J0. F7000", side * radius))?;
    }
    program.block(format_args!("G0 Z5."))
}

/// A field of holes 32 mm apart, shallow ones in one go and deep ones in pecks.
fn holes(program: &mut Program<impl Write>, x: f64, y: f64) -> io::Result<()> {
    program.block(format_args!("G0 X{x:.3} Y{y:.3} Z5."))?;
    for row in 0..5 {
        let py = y + 20.0 + 32.0 * f64::from(row);
        let px = x + 20.0;
        if row % 2 == 0 {
            program.block(format_args!("G99 G81 X{px:.3} Y{py:.3} Z-12. R2. F1500"))?;
        } else {
            program.block(format_args!("G99 G83 X{px:.3} Y{py:.3} Z-20. R2. Q6. F1500"))?;
        }
        for column in 1..5 {
            program.block(format_args!("X{:.3}", x + 20.0 + 32.0 * f64::from(column)))?;
        }
    }
    program.block(format_args!("G80"))
}
