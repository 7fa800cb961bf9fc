//! Programs long enough to be planned in settled parts.

use crate::support::{Path, even, off, total, with_jerk};
use kw_nc::Toolpath;

/// Wavy legs without any full stop; `pieces` cuts each leg.
fn waves(legs: u32, pieces: u32, backwards: bool) -> Toolpath {
    let point = |leg: u32| {
        let turn = f64::from(leg) * 0.37;
        let wide = 3.0 + 2.5 * kw_base::math::sin(0.011 * f64::from(leg));
        (f64::from(leg) * 0.8, wide * kw_base::math::sin(turn))
    };
    let order = |k: u32| if backwards { legs - k } else { k };
    let mut path = Path::new();
    let (x, y) = point(order(0));
    path.0.start_mm = kw_geometry::Vec3::new(x, y, 0.0);
    for k in 1..=legs {
        let (from, to) = (point(order(k - 1)), point(order(k)));
        for piece in 1..pieces {
            let share = f64::from(piece) / f64::from(pieces);
            let at = (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share);
            path = path.line(at.0, at.1, 0.0, 9000.0);
        }
        path = path.line(to.0, to.1, 0.0, 9000.0);
    }
    path.0
}

#[test]
fn settled_parts_change_nothing() {
    let limits = even(500.0, 1500.0);
    let whole = total(&waves(40_000, 1, false), &limits);
    let split = total(&waves(40_000, 3, false), &limits);
    let backwards = total(&waves(40_000, 1, true), &limits);
    assert!(
        off(split, whole) < 1e-9 && off(backwards, whole) < 1e-9,
        "{whole} {split} {backwards}"
    );
    // Ten programs in one take ten times as long, but for start and end.
    let tenth = total(&waves(4_000, 1, false), &limits);
    assert!(off(10.0 * tenth, whole) < 2e-2);
}

#[test]
fn settled_parts_change_nothing_with_jerk() {
    let limits = with_jerk(even(500.0, 1500.0), 45_000.0);
    let whole = total(&waves(90_000, 1, false), &limits);
    let split = total(&waves(90_000, 2, false), &limits);
    let backwards = total(&waves(90_000, 1, true), &limits);
    assert!(
        off(split, whole) < 1e-6 && off(backwards, whole) < 5e-3,
        "{whole} {split} {backwards}"
    );
}
