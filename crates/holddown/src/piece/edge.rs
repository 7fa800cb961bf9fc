//! Lift-off at an edge: where the contact pressure would fall to nothing first.

use super::contact::Contact;
use kw_geometry::Vec2;

/// Share of the load at which an edge starts to lift; infinite if nothing tilts the piece.
///
/// Contact pressure is taken as the vacuum's own pattern times 1 + a linear tilt (stiff piece on an even
/// bed): with uniform vacuum N/A + M_x y/I_x + M_y x/I_y ≥ 0 at every corner. `shift` is how far the
/// load moves the reaction from the centre of pressure, mm.
pub(super) fn lift_off_margin(contact: &Contact, shift: Vec2) -> f64 {
    let [xx, yy, xy] = contact.spread_mm2;
    let determinant = xx * yy - xy * xy;
    if determinant.is_nan() || determinant <= 0.0 {
        return 0.0;
    }
    let tilt = Vec2::new(
        (yy * shift.x - xy * shift.y) / determinant,
        (xx * shift.y - xy * shift.x) / determinant,
    );
    let worst = contact.rim().map(|corner| -tilt.dot(corner - contact.centre)).fold(0.0, f64::max);
    if worst > 0.0 { 1.0 / worst } else { f64::INFINITY }
}
