//! Every cell against the definition: the deepest of tip depth less tool height over the way,
//! sampled densely.

use crate::pencil::{BALL, CORNER, FLAT, Pencil, TABLE, VEE, profile, sheet};
use kw_geometry::{Vec2, Vec3};
use kw_nc::toolpath::Toolpath;
use kw_stock::{SweepOptions, sweep};
use proptest::prelude::*;

const SAMPLES: usize = 1500;

/// Tip positions along all moves.
fn tips(path: &Toolpath) -> Vec<Vec3> {
    let mut tips = Vec::new();
    for m in path.moves() {
        for sample in 0..=SAMPLES {
            let share = sample as f64 / SAMPLES as f64;
            tips.push(match m.tip_arc() {
                Some(arc) => arc.point_at(share),
                None => m.tip_from_mm().lerp(m.tip_to_mm(), share),
            });
        }
    }
    tips.retain(|tip| tip.z <= 0.0);
    tips.dedup();
    tips
}

/// Depth at a place, for a tool that may be smaller or larger by `grow`.
fn depth_at(place: Vec2, tips: &[Vec3], tool: u32, grow: f64) -> f64 {
    let contour = profile(tool);
    let reach = contour.radius_mm + grow;
    let near = tips.iter().filter(|tip| {
        let away = place - tip.xy();
        away.dot(away) <= reach * reach
    });
    let depths = near.filter_map(|tip| {
        let distance = (place.distance(tip.xy()) - grow).max(0.0);
        contour.height_mm(distance).map(|height| -tip.z - height)
    });
    depths.fold(0.0, f64::max)
}

/// Each cell's depth lies between those of a tool smaller and larger by a hair: the samples' own
/// spacing and the tie rule cannot be told apart from that.
fn check(pencil: &Pencil, tool: u32) -> Result<(), TestCaseError> {
    let options = SweepOptions { step_mm: 1.0, ..SweepOptions::default() };
    let stock = sweep(&pencil.path, &sheet(50.0, 40.0), &options).unwrap();
    let tips = tips(&pencil.path);
    for row in 1..=40 {
        for column in 1..=50 {
            let found = stock.map.cell(column, row).unwrap().depth_mm;
            let place = stock.map.grid.centre_mm(column, row);
            let least = depth_at(place, &tips, tool, -0.006) - 0.006;
            let most = depth_at(place, &tips, tool, 0.006) + 0.006;
            prop_assert!(
                (least..=most).contains(&found),
                "{place:?}: {found}, should be {least} to {most}"
            );
        }
    }
    let removed: f64 = stock.moves.volume_mm3.iter().map(|&v| f64::from(v)).sum();
    let left = stock.map.removed_volume_mm3();
    prop_assert!((removed - left).abs() <= 1e-4 * left.max(1.0), "{removed} against {left}");
    Ok(())
}

fn tool() -> impl Strategy<Value = u32> {
    prop_oneof![Just(FLAT), Just(BALL), Just(VEE), Just(CORNER), Just(TABLE)]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn lines_and_ramps(
        tool in tool(),
        from in (5.0..45.0, 5.0..35.0, -6.0..1.0),
        to in (5.0..45.0, 5.0..35.0, -6.0..1.0),
        is_level in any::<bool>(),
    ) {
        let mut pencil = Pencil::with(tool);
        pencil.rapid(from.0, from.1, 20.0).rapid(from.0, from.1, from.2);
        pencil.line(to.0, to.1, if is_level { from.2 } else { to.2 });
        check(&pencil, tool)?;
    }

    #[test]
    fn arcs_and_helices(
        tool in tool(),
        from in (15.0..35.0, 15.0..25.0, -6.0..0.0),
        centre in (15.0..35.0, 15.0..25.0),
        degrees in prop_oneof![-360.0..-5.0, 5.0..360.0, Just(360.0), Just(-360.0), Just(180.0)],
        end in prop_oneof![Just(None), (-6.0..0.0).prop_map(Some)],
    ) {
        let mut pencil = Pencil::with(tool);
        pencil.rapid(from.0, from.1, 20.0).rapid(from.0, from.1, from.2);
        pencil.arc(centre, degrees, end.unwrap_or(from.2));
        check(&pencil, tool)?;
    }
}
