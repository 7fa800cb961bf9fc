//! Pieces: the connected regions into which the sheet falls, when each comes free, and what it is.

use crate::crossing::Crossings;
use crate::fit::fit;
use crate::rig::Rig;
use crate::runs::{Run, Runs};
use crate::setup::StockSetup;
use crate::split::{Body, End, Extent, Split, split};
use crate::sweep::Stock;
use crate::touch::{Touch, touches};
use crate::trace::{Loop, trace};
use kw_geometry::{Polygon, Vec2};
use kw_nc::toolpath::Toolpath;
use std::collections::BTreeMap;
use std::ops::Range;

/// How pieces are found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PieceOptions {
    /// Smaller bits are counted but not listed, mm². Our choice: 2 mm × 2 mm.
    pub least_area_mm2: f64,
    /// How far a fitted outline may lie from the border found, mm.
    pub outline_tolerance_mm: f64,
}

impl Default for PieceOptions {
    fn default() -> Self {
        Self { least_area_mm2: 4.0, outline_tolerance_mm: 0.02 }
    }
}

/// All pieces of a program, and small bits left out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pieces {
    /// The pieces. Those that exist for a while only are listed too: the whole sheet, and what is
    /// parted or cut away later.
    pub all: Vec<Piece>,
    /// Bits that came free but are smaller than the least area.
    pub small_bits: u64,
    /// Moves taken together when looking for the one that frees a piece; the last of them is
    /// named. 1, so exact, unless a program cuts most of a sheet through in very short moves.
    pub moves_together: u32,
}

/// A connected region of the sheet from the move that sets it free to the one that ends it.
///
/// Cells count as joined where they share a side; tabs and onion skins join what they hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Move that set it free; `None` for what is there from the start.
    pub freed_by: Option<u32>,
    /// Move since which it, or a larger piece that it was part of, hangs on to nothing at the
    /// sheet's border; `None` if it always does.
    pub loose_since: Option<u32>,
    /// What becomes of it.
    pub end: PieceEnd,
    /// The piece that it came from, by index.
    pub parent: Option<u32>,
    /// The pieces into which it is parted, by index.
    pub children: Vec<u32>,
    /// Area when it came free, mm²: whole cells.
    pub freed_area_mm2: f64,
    /// Centroid when it came free, machine coordinates, mm.
    pub centroid_mm: Vec2,
    /// Box around it when it came free: least and greatest corner, machine coordinates, mm; to one
    /// cell.
    pub box_mm: [Vec2; 2],
    /// Whether it holds part of the sheet's border when it comes free.
    pub at_border: bool,
    /// What is left of it after the program; `None` unless it stays.
    pub rest: Option<Rest>,
}

/// What becomes of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PieceEnd {
    /// It stays to the end.
    Stays,
    /// This move parts it.
    PartedBy(u32),
    /// This move cuts away the last of it.
    CutAwayBy(u32),
}

/// A piece as the program leaves it.
#[derive(Clone, Debug, PartialEq)]
pub struct Rest {
    /// What it is taken for.
    pub class: PieceClass,
    /// Outline on the lower face, counterclockwise, machine coordinates.
    ///
    /// Between two cells the border is exact to a thousandth of a cell where flat tools, level
    /// contoured tools or knives cut; else within half a cell. Corners are fitted within the
    /// outline tolerance of that; sharp corners are restored where both sides are straight over
    /// three cells, else they are cut off by less than a cell.
    pub outline: Polygon,
    /// Its holes, clockwise.
    pub holes: Vec<Polygon>,
    /// Area inside the outline without holes, mm².
    pub area_mm2: f64,
    /// The piece in one of whose holes it lies, by index.
    pub inside_of: Option<u32>,
    /// Its cells by row.
    pub runs: Vec<CellRun>,
    /// Moves that touch it after it is loose.
    pub touches: Vec<Touch>,
}

/// Cells of one row, by column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CellRun {
    /// Row.
    pub row: u32,
    /// First column.
    pub start: u32,
    /// One past the last column.
    pub end: u32,
}

/// What a piece is taken for.
///
/// A program does not say what is wanted. The rule: what keeps part of the sheet's border is
/// skeleton (also an offcut, and also a part that uses the sheet's own edge); what lies in no hole
/// of another piece or in a hole of a skeleton or slug is a part; what lies in a hole of a part is
/// a slug. So a slug cut straight out of the skeleton is taken for a part, and a part nested in
/// the waste of another part for a slug.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PieceClass {
    /// Somebody wants it.
    Part,
    /// Waste from inside a part.
    Slug,
    /// What is left of the sheet around the parts.
    Skeleton,
}

/// Finds the pieces that a swept toolpath makes. `path` and `setup` must be those of the sweep.
pub fn pieces(
    stock: &Stock,
    path: &Toolpath,
    setup: &StockSetup,
    options: &PieceOptions,
) -> Pieces {
    let map = &stock.map;
    let runs = Runs::of(map);
    let least_cells = (options.least_area_mm2 / map.grid.cell_area_mm2()).ceil().max(1.0) as u64;
    let rig = Rig::new(path, setup, map, stock.options.chord_tolerance_mm);
    let (split, crossings) = rayon::join(
        || split(&runs, least_cells),
        || Crossings::of(path, &rig, map, stock.end_move(path)),
    );
    let loops = trace(map, &runs, &crossings, &setup.outline);
    let mut all: Vec<Piece> = {
        let maker = Maker { stock, bodies: &split.bodies, last_move: stock.end_move(path) as u32 };
        split.bodies.iter().map(|body| maker.piece(body)).collect()
    };
    let owned = owned_runs(&split);
    add_rests(&mut all, Found { stock, runs: &runs, owned: &owned, loops }, options);
    classify(&mut all);
    touches(&mut all, &runs, &owned, path, &rig, stock);
    Pieces { all, small_bits: split.dust, moves_together: runs.lot() }
}

/// Runs that stay with the piece that each belongs to, in order of runs; none for small bits.
fn owned_runs(split: &Split) -> Vec<(u32, u32)> {
    let stands_for = |(index, body): (u32, &Body)| body.stands_for.map(|root| (root, index));
    let pieces: BTreeMap<u32, u32> = (0..).zip(&split.bodies).filter_map(stands_for).collect();
    let owner = |&(run, root): &(u32, u32)| pieces.get(&root).map(|&piece| (run, piece));
    split.stays.iter().filter_map(owner).collect()
}

/// What was found of the borders.
struct Found<'a> {
    stock: &'a Stock,
    runs: &'a Runs,
    owned: &'a [(u32, u32)],
    loops: Vec<Loop>,
}

fn add_rests(pieces: &mut [Piece], found: Found<'_>, options: &PieceOptions) {
    let grid = found.stock.map.grid;
    let tolerance = (options.outline_tolerance_mm / grid.step_mm).max(1e-3);
    for border in found.loops {
        let Ok(owned) = found.owned.binary_search_by_key(&border.run, |(run, _)| *run) else {
            continue;
        };
        let mut polygon = fit(&border.points, tolerance);
        for point in &mut polygon.points {
            *point = grid.to_mm(*point);
        }
        let piece = found.owned[owned].1 as usize;
        let rest = pieces[piece].rest.get_or_insert_with(Rest::empty);
        let area = polygon.signed_area_mm2();
        rest.area_mm2 += area;
        // Of a piece's borders exactly one runs counterclockwise: the outer one.
        if area > 0.0 { rest.outline = polygon } else { rest.holes.push(polygon) }
    }
    for &(run, piece) in found.owned {
        if let Some(rest) = &mut pieces[piece as usize].rest {
            let Run { row, start, end, .. } = found.runs.all[run as usize];
            rest.runs.push(CellRun { row, start, end });
        }
    }
}

struct Maker<'a> {
    stock: &'a Stock,
    bodies: &'a [Body],
    last_move: u32,
}

impl Maker<'_> {
    /// The move of a mark.
    fn move_of(&self, mark: u32) -> u32 {
        mark.min(self.last_move).saturating_sub(1)
    }

    fn piece(&self, body: &Body) -> Piece {
        let grid = self.stock.map.grid;
        let Extent { cells, low, high, at_border, .. } = body.extent;
        let corner = |[column, row]: [u32; 2], out: f64| {
            grid.to_mm(Vec2::new(f64::from(column) + out, f64::from(row) + out))
        };
        Piece {
            freed_by: (body.born > 0).then(|| self.move_of(body.born)),
            loose_since: self.loose_since(body),
            end: match body.end {
                End::Stays => PieceEnd::Stays,
                End::SplitBy(mark) => PieceEnd::PartedBy(self.move_of(mark)),
                End::CutAwayBy(mark) => PieceEnd::CutAwayBy(self.move_of(mark)),
            },
            parent: body.parent,
            children: body.children.clone(),
            freed_area_mm2: cells as f64 * grid.cell_area_mm2(),
            centroid_mm: grid.to_mm(body.extent.centroid().into()),
            box_mm: [corner(low, -0.5), corner(high, 0.5)],
            at_border,
            rest: None,
        }
    }

    fn loose_since(&self, body: &Body) -> Option<u32> {
        let mut loose = None;
        let mut at = Some(body);
        while let Some(body) = at.filter(|body| !body.extent.at_border) {
            loose = (body.born > 0).then(|| self.move_of(body.born));
            at = body.parent.and_then(|parent| self.bodies.get(parent as usize));
        }
        loose
    }
}

impl Rest {
    fn empty() -> Self {
        Self {
            class: PieceClass::Part,
            outline: Polygon::default(),
            holes: Vec::new(),
            area_mm2: 0.0,
            inside_of: None,
            runs: Vec::new(),
            touches: Vec::new(),
        }
    }
}

/// Finds which piece lies in which hole, and from that what each is.
fn classify(pieces: &mut [Piece]) {
    let inside: Vec<Option<u32>> = pieces.iter().map(|piece| holder_of(piece, pieces)).collect();
    let skeleton: Vec<bool> = pieces.iter().map(|piece| piece.at_border).collect();
    for (index, piece) in pieces.iter_mut().enumerate() {
        let Some(rest) = &mut piece.rest else { continue };
        rest.inside_of = inside[index];
        rest.class = class_of(index, &inside, &skeleton);
    }
}

fn class_of(index: usize, inside: &[Option<u32>], skeleton: &[bool]) -> PieceClass {
    if skeleton[index] {
        return PieceClass::Skeleton;
    }
    let mut levels = 1;
    let mut at = inside[index];
    while let Some(holder) = at.filter(|&holder| !skeleton[holder as usize]) {
        levels += 1;
        at = inside[holder as usize];
    }
    if levels % 2 == 1 { PieceClass::Part } else { PieceClass::Slug }
}

/// The piece with the smallest hole around a piece.
fn holder_of(piece: &Piece, pieces: &[Piece]) -> Option<u32> {
    let rest = piece.rest.as_ref()?;
    let place = *rest.outline.points.first()?;
    let mut best: Option<(f64, u32)> = None;
    for (index, other) in (0..).zip(pieces) {
        let Some(other) = other.rest.as_ref().filter(|other| !std::ptr::eq(*other, rest)) else {
            continue;
        };
        for hole in other.holes.iter().filter(|hole| hole.contains(place)) {
            let area = hole.signed_area_mm2().abs();
            if area > rest.area_mm2 && best.is_none_or(|(least, _)| area < least) {
                best = Some((area, index));
            }
        }
    }
    best.map(|(_, index)| index)
}

impl Pieces {
    /// Indexes of the pieces that exist right after a move; before the first with `None`.
    pub fn after(&self, move_index: Option<u32>) -> impl Iterator<Item = usize> + '_ {
        let now = move_index.map_or(0, |index| u64::from(index) + 1);
        self.all.iter().enumerate().filter_map(move |(index, piece)| {
            let end = match piece.end {
                PieceEnd::Stays => u64::MAX,
                PieceEnd::PartedBy(m) | PieceEnd::CutAwayBy(m) => u64::from(m) + 1,
            };
            let born = piece.freed_by.map_or(0, |m| u64::from(m) + 1);
            (born..end).contains(&now).then_some(index)
        })
    }
}

impl Rest {
    /// Area that lies in a rectangle, mm²: whole cells by their centres. For zones of a table.
    pub fn area_within_mm2(&self, grid: &crate::Grid, x_mm: [f64; 2], y_mm: [f64; 2]) -> f64 {
        let low = grid.to_cells(Vec2::new(x_mm[0], y_mm[0]));
        let high = grid.to_cells(Vec2::new(x_mm[1], y_mm[1]));
        let within = |low: f64, high: f64, range: Range<u32>| {
            let start = f64::from(range.start).max(low.ceil());
            let end = f64::from(range.end).min(high.ceil());
            (end - start).max(0.0)
        };
        let cells: f64 = self
            .runs
            .iter()
            .filter(|run| (low.y..high.y).contains(&f64::from(run.row)))
            .map(|run| within(low.x, high.x, run.start..run.end))
            .sum();
        cells * grid.cell_area_mm2()
    }
}
