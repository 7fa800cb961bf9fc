//! Comparing sheets, drawing them, and what is left uncut.

use crate::pencil::{FLAT, Pencil, THICK, sheet};
use kw_geometry::Vec2;
use kw_stock::{CompareOptions, DepthMap, Shading, SweepOptions, compare, sweep};

fn map_of(pencil: &Pencil) -> DepthMap {
    sweep(&pencil.path, &sheet(160.0, 120.0), &SweepOptions::default()).unwrap().map
}

fn job(shift: f64, depth: f64) -> Pencil {
    let mut pencil = Pencil::with(FLAT);
    pencil.rectangle((30.0 + shift, 20.0), (90.0 + shift, 70.0), depth);
    pencil
}

#[test]
fn sheets_within_a_cell_and_a_step_are_equal() {
    let base = map_of(&job(0.0, -6.0));
    let difference =
        |pencil: &Pencil| compare(&base, &map_of(pencil), &CompareOptions::default()).unwrap();
    assert!(difference(&job(0.0, -6.0)).is_none());
    assert!(difference(&job(0.49, -6.0005)).is_none());
    let shifted = difference(&job(1.2, -6.0));
    assert!(shifted.too_deep_cells > 100 && shifted.too_shallow_cells > 100);
    let deeper = difference(&job(0.0, -6.1));
    let largest = deeper.largest.unwrap();
    assert!((largest.by_mm + 0.1).abs() <= 2.0 * base.depth_step_mm, "{largest:?}");
    assert_eq!((deeper.too_deep_cells, deeper.region_count), (0, 1));
    let options = CompareOptions { depth_mm: 0.11, ..CompareOptions::default() };
    assert!(compare(&base, &map_of(&job(0.0, -6.1)), &options).unwrap().is_none());
}

#[test]
fn a_difference_is_placed() {
    let mut more = job(0.0, -6.0);
    more.plunge(120.0, 90.0, -3.0).retract();
    let found =
        compare(&map_of(&more), &map_of(&job(0.0, -6.0)), &CompareOptions::default()).unwrap();
    let region = found.regions[0];
    assert_eq!((found.too_shallow_cells, found.region_count), (0, 1));
    assert!((region.by_mm - 3.0).abs() < 0.01);
    assert!((found.area_mm2 - 9.0 * kw_base::math::PI).abs() < 1.0);
    let [low, high] = region.box_mm;
    assert!(low.distance(Vec2::new(117.0, 87.0)) < 0.8, "{low:?}");
    assert!(high.distance(Vec2::new(123.0, 93.0)) < 0.8, "{high:?}");
    assert!(found.largest.unwrap().at_mm.distance(Vec2::new(120.0, 90.0)) < 3.0);
}

#[test]
fn two_programs_together_equal_one_that_does_both() {
    let (first, second) = (job(0.0, -6.0), job(40.0, -9.0));
    let mut both = job(0.0, -6.0);
    both.rectangle((70.0, 20.0), (130.0, 70.0), -9.0);
    let mut joined = map_of(&first);
    joined.deepen(&map_of(&second)).unwrap();
    let found = compare(&joined, &map_of(&both), &CompareOptions::default()).unwrap();
    assert!(found.is_none());
    let other = sweep(&first.path, &sheet(150.0, 120.0), &SweepOptions::default()).unwrap();
    assert!(compare(&joined, &other.map, &CompareOptions::default()).is_err());
    assert!(joined.deepen(&other.map).is_err());
}

#[test]
fn a_picture_shows_depth_and_moments() {
    let mut pencil = job(0.0, -9.0);
    let second = pencil.path.len() as u32;
    pencil.rectangle((30.0, 20.0), (90.0, 70.0), -THICK - 0.1);
    let picture = map_of(&pencil).shading(4);
    assert_eq!((picture.width, picture.height), (80, 60));
    assert!((picture.pixel_mm - 2.0).abs() < 1e-12);
    assert!(picture.corner_mm.distance(Vec2::default()) < 1e-9);
    let at = |x: f64, y: f64| (y / 2.0) as usize * 80 + (x / 2.0) as usize;
    // On the path of the first side.
    let on = at(60.0, 20.0);
    assert_eq!(picture.depth[on], 254);
    assert_eq!((picture.first_move[on], picture.through_move[on]), (3, second + 3));
    let off = at(60.0, 45.0);
    assert_eq!((picture.depth[off], picture.first_move[off]), (0, Shading::NEVER));
    let shallow = map_of(&job(0.0, -0.05)).shading(1);
    assert_eq!(shallow.depth.iter().filter(|&&d| d > 0).min(), Some(&1));
}

#[test]
fn skins_and_floors_are_found() {
    let mut pencil = job(0.0, -THICK + 0.4);
    pencil.plunge(120.0, 20.0, -THICK - 0.1).line(120.0, 60.0, -THICK - 0.1).retract();
    pencil.plunge(120.0, 60.0, -16.0).line(120.0, 90.0, -16.0).retract();
    let map = map_of(&pencil);
    let remains = map.remains(3.0, 1.0);
    assert_eq!(remains.len(), 2);
    let skin = remains[0];
    assert!((skin.area_mm2 - 6.0 * 220.0).abs() < 15.0, "{}", skin.area_mm2);
    assert!((skin.least_mm - 0.4).abs() < 2e-3 && !skin.beside_through);
    let floor = remains[1];
    assert!((floor.greatest_mm - 2.0).abs() < 2e-3 && floor.beside_through);
    assert_eq!(map.remains(0.3, 1.0), []);
}
