//! No toolpath may panic, hang, or break the sums.

use crate::pencil::{BALL, CORNER, FLAT, KNIFE, PEN, Pencil, SHORT, TABLE, VEE, sheet};
use kw_geometry::{Plane, Vec2, Vec3};
use kw_nc::toolpath::{ArcData, MoveKind, NewMove, Origin};
use kw_stock::{PieceOptions, SweepOptions, compare, cuts, pieces, sweep};
use proptest::prelude::*;

fn number() -> impl Strategy<Value = f64> {
    let odd = [
        0.0,
        -0.0,
        1e-12,
        0.25,
        20.0,
        20.25,
        -18.0,
        -18.5,
        63.9,
        64.0,
        1e5,
        -9.9e5,
        1e9,
        1e300,
        f64::NAN,
        f64::INFINITY,
        f64::MIN_POSITIVE,
    ];
    prop_oneof![4 => -20.0..80.0, 2 => -20.0..2.0, 1 => prop::sample::select(odd.to_vec())]
}

fn a_move() -> impl Strategy<Value = (MoveKind, Vec3, ArcData)> {
    let kind = prop_oneof![
        Just(MoveKind::Rapid),
        Just(MoveKind::Line),
        Just(MoveKind::Arc),
        Just(MoveKind::Turn),
        Just(MoveKind::Probe)
    ];
    let plane = prop_oneof![Just(Plane::Xy), Just(Plane::Zx), Just(Plane::Yz)];
    let sweep = prop_oneof![-6.29..6.29, Just(0.0), Just(1e-9), Just(std::f64::consts::TAU)];
    ((kind, number(), number(), number()), (number(), number(), sweep, plane)).prop_map(
        |((kind, x, y, z), (a, b, sweep_rad, plane))| {
            let arc = ArcData { centre_mm: Vec2::new(a, b), sweep_rad, plane };
            (kind, Vec3::new(x, y, z), arc)
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn anything_goes(
        moves in prop::collection::vec(a_move(), 1..12),
        tool in prop::sample::select(vec![FLAT, BALL, VEE, CORNER, KNIFE, PEN, SHORT, TABLE, 77]),
        bent in any::<bool>(),
    ) {
        let mut pencil = Pencil::with(tool);
        for (kind, end_mm, arc) in moves {
            pencil.path.push(NewMove {
                kind,
                origin: Origin::Written,
                end_mm,
                arc: (kind == MoveKind::Arc).then_some(arc),
                rotary_deg: None,
                feed: 0.0,
                block_at: 0,
                state: 0,
            });
        }
        let mut setup = sheet(64.0, 48.0);
        setup.dog_leg_speed_mm_min = bent.then_some([30_000.0, 0.0, 10_000.0]);
        let options = SweepOptions { step_mm: 1.0, ..SweepOptions::default() };
        let stock = sweep(&pencil.path, &setup, &options).unwrap();
        let found = pieces(&stock, &pencil.path, &setup, &PieceOptions::default());
        let area: f64 = found.all.iter().filter_map(|p| p.rest.as_ref()).map(|r| r.area_mm2).sum();
        prop_assert!(area <= 64.0 * 48.0 + 1e-3, "{area}");
        prop_assert!(cuts(&pencil.path, &stock).len() <= pencil.path.len());
        prop_assert!(compare(&stock.map, &stock.map, &Default::default()).unwrap().is_none());
        for column in [&stock.moves.volume_mm3, &stock.moves.radial_width_mm, &stock.moves.climb] {
            prop_assert!(column.iter().all(|value| value.is_finite()));
        }
    }
}
