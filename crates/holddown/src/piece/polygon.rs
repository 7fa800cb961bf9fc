//! Footprint from outlines: exact clipping by grid and zones.

use super::shape::{Builder, MOST_CORNERS, PieceError, PieceShape, SLIVER, ShapeOptions};
use crate::plane::clip::{HalfPlane, clip, clip_to_triangle, fan};
use crate::plane::moments::Moments;
use kw_geometry::{Polygon, Vec2};

/// Grid cells looked at for one wanted: bounds the work on thin frames, whose cells get coarser.
const MOST_LOOKED_AT: f64 = 64.0;
const COORDINATE_LIMIT_MM: f64 = 1e6;

/// One outline in local coordinates, counterclockwise; holes subtract.
struct Loop {
    points: Vec<Vec2>,
    sign: f64,
}

pub(super) fn shape(
    outline: &Polygon,
    holes: &[Polygon],
    zones: &[Polygon],
    options: ShapeOptions,
) -> Result<PieceShape, PieceError> {
    check(outline, holes)?;
    let area_mm2 = outline.signed_area_mm2().abs()
        - holes.iter().map(|hole| hole.signed_area_mm2().abs()).sum::<f64>();
    let extent = outline.extent();
    let (Some((low, high)), true) = (extent, area_mm2 > 0.0) else {
        return Err(PieceError::NoArea { area_mm2 });
    };
    let origin = (low + high) * 0.5;
    let loops: Vec<Loop> = std::iter::once(local(outline, origin, 1.0))
        .chain(holes.iter().map(|hole| local(hole, origin, -1.0)))
        .collect();
    let zones: Vec<Zone> =
        zones.iter().enumerate().filter_map(|(i, z)| Zone::new(i, z, origin)).collect();
    let grid = Grid::new(high - low, area_mm2, options);
    let mut builder = Builder::new();
    for row in 0..grid.rows {
        let (y0, y1) = (grid.y(row), grid.y(row + 1));
        let in_row = |l: &Loop| clip(&clip(&l.points, HalfPlane::above(y0)), HalfPlane::below(y1));
        let strips: Vec<Loop> = cut(&loops, in_row);
        if strips.is_empty() {
            continue;
        }
        for column in 0..grid.columns {
            let (x0, x1) = (grid.x(column), grid.x(column + 1));
            let in_cell =
                |l: &Loop| clip(&clip(&l.points, HalfPlane::right_of(x0)), HalfPlane::left_of(x1));
            let pieces = cut(&strips, in_cell);
            if !pieces.is_empty() {
                add_cell(&mut builder, &pieces, &zones, [Vec2::new(x0, y0), Vec2::new(x1, y1)]);
            }
        }
    }
    let length = |polygon: &Polygon| polygon.edges().map(|(a, b)| a.distance(b)).sum::<f64>();
    let perimeter_mm = length(outline) + holes.iter().map(length).sum::<f64>();
    builder.finish(origin, perimeter_mm)
}

fn check(outline: &Polygon, holes: &[Polygon]) -> Result<(), PieceError> {
    let all = || std::iter::once(outline).chain(holes);
    let count = all().map(|polygon| polygon.points.len()).sum();
    if count > MOST_CORNERS {
        return Err(PieceError::TooLarge { count, most: MOST_CORNERS });
    }
    let coordinates = all().flat_map(|polygon| &polygon.points).flat_map(|p| [p.x, p.y]);
    match coordinates.into_iter().find(|c| !c.is_finite() || c.abs() > COORDINATE_LIMIT_MM) {
        Some(value) => Err(PieceError::BadCoordinate { value }),
        None => Ok(()),
    }
}

fn local(polygon: &Polygon, origin: Vec2, sign: f64) -> Loop {
    let mut points: Vec<Vec2> = polygon.points.iter().map(|&p| p - origin).collect();
    if polygon.signed_area_mm2() < 0.0 {
        points.reverse();
    }
    Loop { points, sign }
}

fn cut(loops: &[Loop], by: impl Fn(&Loop) -> Vec<Vec2>) -> Vec<Loop> {
    loops
        .iter()
        .map(|of| Loop { points: by(of), sign: of.sign })
        .filter(|part| part.points.len() >= 3)
        .collect()
}

/// A zone in local coordinates with its box.
struct Zone {
    index: usize,
    points: Vec<Vec2>,
    low: Vec2,
    high: Vec2,
}

impl Zone {
    fn new(index: usize, polygon: &Polygon, origin: Vec2) -> Option<Self> {
        let (low, high) = polygon.extent()?;
        let finite = [low.x, low.y, high.x, high.y].iter().all(|c| c.is_finite());
        let Loop { points, .. } = local(polygon, origin, 1.0);
        finite.then_some(Self { index, points, low: low - origin, high: high - origin })
    }

    /// The zone inside a box; `None` if there is nothing.
    fn within(&self, low: Vec2, high: Vec2) -> Option<Vec<Vec2>> {
        if self.low.x >= high.x
            || self.high.x <= low.x
            || self.low.y >= high.y
            || self.high.y <= low.y
        {
            return None;
        }
        let mut part = clip(&self.points, HalfPlane::right_of(low.x));
        part = clip(&part, HalfPlane::left_of(high.x));
        part = clip(&part, HalfPlane::above(low.y));
        part = clip(&part, HalfPlane::below(high.y));
        (part.len() >= 3).then_some(part)
    }
}

/// Splits what fills one grid cell among the zones under it.
fn add_cell(builder: &mut Builder, loops: &[Loop], zones: &[Zone], [low, high]: [Vec2; 2]) {
    let cell_area = (high.x - low.x) * (high.y - low.y);
    let least = SLIVER * cell_area;
    let mut rest = signed_sum(loops.iter().map(|of| (&of.points[..], of.sign)));
    if rest.area <= least {
        return;
    }
    let corners =
        || loops.iter().filter(|of| of.sign > 0.0).flat_map(|of| of.points.iter().copied());
    for zone in zones {
        let Some(part) = zone.within(low, high) else { continue };
        let covered = Moments::of_polygon(&part).area;
        if covered >= cell_area - least {
            builder.add(Some(zone.index), rest, corners());
            return;
        }
        let mut inside = Moments::default();
        let mut rim = Vec::new();
        for (triangle, sign) in fan(&part) {
            for of in loops {
                let overlap = clip_to_triangle(&of.points, triangle);
                inside += Moments::of_polygon(&overlap) * (sign * of.sign);
                if of.sign > 0.0 && sign > 0.0 {
                    rim.extend(overlap);
                }
            }
        }
        if inside.area > least {
            builder.add(Some(zone.index), inside, rim);
            rest = rest - inside;
        }
    }
    if rest.area > least {
        builder.add(None, rest, corners());
    }
}

fn signed_sum<'a>(loops: impl Iterator<Item = (&'a [Vec2], f64)>) -> Moments {
    loops.fold(Moments::default(), |sum, (points, sign)| sum + Moments::of_polygon(points) * sign)
}

/// A grid of squares over the box of the footprint, centred on the local origin.
struct Grid {
    columns: usize,
    rows: usize,
    size: Vec2,
}

impl Grid {
    fn new(size: Vec2, area_mm2: f64, options: ShapeOptions) -> Self {
        let wanted = options.cells as f64;
        let step = (area_mm2 / wanted).max(size.x * size.y / (wanted * MOST_LOOKED_AT)).sqrt();
        // Each count is at least 1 and at most what a strip one step wide needs.
        let count = |length: f64| ((length / step).round() as usize).clamp(1, 64 * options.cells);
        Self { columns: count(size.x), rows: count(size.y), size }
    }

    fn x(&self, column: usize) -> f64 {
        self.size.x * (column as f64 / self.columns as f64 - 0.5)
    }

    fn y(&self, row: usize) -> f64 {
        self.size.y * (row as f64 / self.rows as f64 - 0.5)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rectangle(x: f64, y: f64, w: f64, h: f64) -> Polygon {
        Polygon::rectangle(Vec2::new(x, y), Vec2::new(x + w, y + h))
    }

    #[test]
    fn zones_share_out_the_whole_area() {
        let zones = [rectangle(0.0, 0.0, 70.0, 200.0), rectangle(70.0, 0.0, 50.0, 30.0)];
        let outline = rectangle(10.0, 10.0, 100.0, 50.0);
        let hole = rectangle(20.0, 20.0, 20.0, 20.0);
        let shape = shape(&outline, &[hole], &zones, ShapeOptions::default()).unwrap();
        assert!((shape.area_mm2 - 4600.0).abs() < 1e-6);
        let area = |zone| {
            shape.parts.iter().filter(|p| p.zone == zone).map(|p| p.moments.area).sum::<f64>()
        };
        assert!((area(Some(0)) - 2600.0).abs() < 1e-6);
        assert!((area(Some(1)) - 800.0).abs() < 1e-6);
        assert!((area(None) - 1200.0).abs() < 1e-6);
        assert!((shape.perimeter_mm - 380.0).abs() < 1e-9);
    }

    #[test]
    fn a_bent_zone_and_a_bent_piece_overlap_exactly() {
        let l = |points: &[(f64, f64)]| Polygon {
            points: points.iter().map(|&(x, y)| Vec2::new(x, y)).collect(),
        };
        let piece =
            l(&[(0.0, 0.0), (90.0, 0.0), (90.0, 30.0), (30.0, 30.0), (30.0, 90.0), (0.0, 90.0)]);
        let zone = l(&[
            (15.0, 15.0),
            (15.0, 200.0),
            (-50.0, 200.0),
            (-50.0, -50.0),
            (200.0, -50.0),
            (200.0, 15.0),
        ]);
        for cells in [16, 64, 777] {
            let shape =
                shape(&piece, &[], std::slice::from_ref(&zone), ShapeOptions { cells }).unwrap();
            // Two arms of 15 mm: 90 · 15 + 75 · 15.
            let inside: f64 =
                shape.parts.iter().filter(|p| p.zone.is_some()).map(|p| p.moments.area).sum();
            assert!((inside - 2475.0).abs() < 1e-6, "{cells}: {inside}");
        }
    }

    #[test]
    fn direction_and_start_of_the_outline_do_not_matter() {
        let mut outline = rectangle(5.0, 5.0, 80.0, 40.0);
        let first = shape(&outline, &[], &[], ShapeOptions::default()).unwrap();
        outline.points.rotate_left(1);
        outline.points.reverse();
        let second = shape(&outline, &[], &[], ShapeOptions::default()).unwrap();
        assert!((first.area_mm2 - second.area_mm2).abs() < 1e-9);
        assert!(first.centre().distance(second.centre()) < 1e-9);
    }

    #[test]
    fn bad_outlines_are_refused() {
        let flat = rectangle(0.0, 0.0, 10.0, 0.0);
        assert!(matches!(
            shape(&flat, &[], &[], ShapeOptions::default()),
            Err(PieceError::NoArea { .. })
        ));
        assert!(shape(&Polygon::default(), &[], &[], ShapeOptions::default()).is_err());
        let nan = rectangle(0.0, f64::NAN, 10.0, 10.0);
        let error = shape(&nan, &[], &[], ShapeOptions::default());
        assert!(matches!(error, Err(PieceError::BadCoordinate { .. })));
        let hole = rectangle(0.0, 0.0, 20.0, 20.0);
        let gone = shape(&rectangle(0.0, 0.0, 10.0, 10.0), &[hole], &[], ShapeOptions::default());
        assert!(matches!(gone, Err(PieceError::NoArea { area_mm2 }) if area_mm2 == -300.0));
    }

    #[test]
    fn a_thin_frame_stays_cheap() {
        let hole = rectangle(1.0, 1.0, 1998.0, 998.0);
        let shape =
            shape(&rectangle(0.0, 0.0, 2000.0, 1000.0), &[hole], &[], ShapeOptions::default());
        let shape = shape.unwrap();
        assert!((shape.area_mm2 / 5996.0 - 1.0).abs() < 1e-9);
        assert!(shape.cell_count() < 64 * 64);
    }
}
