//! The lower contour of a turning tool: height above the tip at each radius.

use kw_base::math;
use kw_model::{ToolKind, ToolType};

/// Lower contour of a turning tool, in mm.
///
/// A depth map sees a tool from above: an undercut of a form tool is taken as filled.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// Cutting radius, mm.
    pub radius_mm: f64,
    /// Contour inside that radius.
    pub shape: Shape,
}

/// Form of the contour.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// Height 0 over the whole radius.
    Flat,
    /// Flat core, then a quarter round: corner radius; ball where the core is 0.
    Round {
        /// Radius of the flat core, mm.
        core_mm: f64,
        /// Radius of the round, mm.
        round_mm: f64,
    },
    /// Flat core, then a straight rise: V, engraver, taper, drill point.
    Cone {
        /// Radius of the flat core, mm.
        core_mm: f64,
        /// Height gained per mm of radius.
        rise: f64,
    },
    /// Heights in mm at [`Shape::TABLE_INTERVALS`] + 1 equal steps of radius, straight between.
    Table(Vec<f64>),
}

impl Shape {
    /// Intervals of a tabled contour. Our choice: 10 mm of radius then has 10 µm between heights.
    pub const TABLE_INTERVALS: usize = 1024;
}

/// Why no contour can be made from a tool type.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ProfileGap {
    /// No cutting diameter (DC, or points of a form).
    Diameter,
    /// No angle (SIG or BHTA).
    Angle,
    /// A figure is not finite or not in its range.
    Range,
}

impl std::fmt::Display for ProfileGap {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Diameter => "its type states no cutting diameter (DC, or x_profile_mm of a form)",
            Self::Angle => "its type states no angle (SIG for a V, BHTA for a taper)",
            Self::Range => "a diameter, radius or angle of its type is out of range",
        })
    }
}

/// Point angle of a drill whose type does not state one, degrees. Common practice, no source.
pub const DRILL_POINT_DEG: f64 = 118.0;

impl Profile {
    /// Contour of a turning tool; `measured_diameter_mm` replaces the type's DC.
    ///
    /// Errors: the type lacks a figure its form needs. Knives, wheels and pens have no contour
    /// and give `Diameter`.
    pub fn of(kind: &ToolType, measured_diameter_mm: Option<f64>) -> Result<Self, ProfileGap> {
        if kind.kind == ToolKind::Form && !kind.x_profile_mm.is_empty() {
            return Self::of_points(&kind.x_profile_mm);
        }
        if !kind.kind.turns() {
            return Err(ProfileGap::Diameter);
        }
        let radius_mm = measured_diameter_mm.or(kind.dc_mm).ok_or(ProfileGap::Diameter)? / 2.0;
        if !(radius_mm > 0.0 && radius_mm.is_finite()) {
            return Err(ProfileGap::Range);
        }
        let shape = match kind.kind {
            ToolKind::Ball => Shape::Round { core_mm: 0.0, round_mm: radius_mm },
            ToolKind::VCutter | ToolKind::Engraver => {
                let half_deg = kind.sig_deg.map(|sig| sig / 2.0).or(kind.bhta_deg);
                cone(kind.dcn_mm / 2.0, half_deg.ok_or(ProfileGap::Angle)?)?
            }
            ToolKind::Drill => match kind.sig_deg.unwrap_or(DRILL_POINT_DEG) {
                180.0 => Shape::Flat,
                sig_deg => cone(0.0, sig_deg / 2.0)?,
            },
            ToolKind::Taper => {
                let half_deg = kind.bhta_deg.ok_or(ProfileGap::Angle)?;
                taper(kind, half_deg, radius_mm)?
            }
            _ if kind.re_mm > 0.0 => {
                let round_mm = kind.re_mm.min(radius_mm);
                Shape::Round { core_mm: radius_mm - round_mm, round_mm }
            }
            _ => Shape::Flat,
        };
        Ok(Self { radius_mm, shape })
    }

    /// Contour of a form tool from its points `[radius, height]`, mm, height rising.
    fn of_points(points: &[[f64; 2]]) -> Result<Self, ProfileGap> {
        if points.iter().flatten().any(|v| !v.is_finite() || *v < 0.0) {
            return Err(ProfileGap::Range);
        }
        let radius_mm = points.iter().fold(0.0_f64, |r, p| r.max(p[0]));
        if radius_mm <= 0.0 {
            return Err(ProfileGap::Diameter);
        }
        Ok(Self { radius_mm, shape: table(radius_mm, |radius| form_height(points, radius)) })
    }

    /// Height above the tip at a radius, mm; `None` outside the cutting radius.
    pub fn height_mm(&self, radius_mm: f64) -> Option<f64> {
        if !(0.0..=self.radius_mm).contains(&radius_mm) {
            return None;
        }
        Some(match &self.shape {
            Shape::Flat => 0.0,
            Shape::Round { core_mm, round_mm } => {
                let out = (radius_mm - core_mm).max(0.0);
                round_mm - (round_mm * round_mm - out * out).max(0.0).sqrt()
            }
            Shape::Cone { core_mm, rise } => (radius_mm - core_mm).max(0.0) * rise,
            Shape::Table(heights) => {
                let at = radius_mm / self.radius_mm * (heights.len() - 1) as f64;
                let below = (at as usize).min(heights.len() - 2);
                heights[below] + (heights[below + 1] - heights[below]) * (at - below as f64)
            }
        })
    }

    /// Largest radius whose height is at most `height_mm`, mm; 0 below the tip. Height must not
    /// fall with radius, which holds for all forms but odd tables; those give a radius at which
    /// it holds.
    pub fn radius_at_height_mm(&self, height_mm: f64) -> f64 {
        if height_mm < 0.0 {
            return 0.0;
        }
        let fits = |radius| self.height_mm(radius).is_some_and(|h| h <= height_mm);
        if fits(self.radius_mm) {
            return self.radius_mm;
        }
        let (mut low, mut high) = (0.0, self.radius_mm);
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if fits(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }
}

fn cone(core_mm: f64, half_deg: f64) -> Result<Shape, ProfileGap> {
    let tangent = math::tan(half_deg.to_radians());
    if !(0.0..90.0).contains(&half_deg) || tangent <= 0.0 || core_mm < 0.0 {
        return Err(ProfileGap::Range);
    }
    Ok(Shape::Cone { core_mm, rise: 1.0 / tangent })
}

/// Ball-nosed or flat-nosed taper. A ball of radius `b` runs into the flank of half angle β at
/// radius b·cos β, height b·(1 − sin β).
fn taper(kind: &ToolType, half_deg: f64, radius_mm: f64) -> Result<Shape, ProfileGap> {
    let flank = cone(kind.dcn_mm / 2.0, half_deg)?;
    let Shape::Cone { rise, .. } = flank else { return Err(ProfileGap::Range) };
    if kind.re_mm <= 0.0 {
        return Ok(flank);
    }
    let ball = kind.re_mm;
    let (sin, cos) = math::sincos(half_deg.to_radians());
    Ok(table(radius_mm, |radius| {
        if radius <= ball * cos {
            ball - (ball * ball - radius * radius).max(0.0).sqrt()
        } else {
            ball * (1.0 - sin) + (radius - ball * cos) * rise
        }
    }))
}

fn table(radius_mm: f64, height_mm: impl Fn(f64) -> f64) -> Shape {
    let last = Shape::TABLE_INTERVALS;
    Shape::Table((0..=last).map(|i| height_mm(radius_mm * i as f64 / last as f64)).collect())
}

/// Lowest height at which the form is at least this wide.
fn form_height(points: &[[f64; 2]], radius_mm: f64) -> f64 {
    let mut before: Option<[f64; 2]> = None;
    for &[radius, height] in points {
        if radius >= radius_mm {
            return match before {
                Some([r0, h0]) if radius > r0 => {
                    h0 + (height - h0) * (radius_mm - r0) / (radius - r0)
                }
                _ => height,
            };
        }
        before = Some([radius, height]);
    }
    before.map_or(0.0, |p| p[1])
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// A tool type with only what a test states.
    pub(crate) fn tool_type(kind: ToolKind, dc_mm: f64) -> ToolType {
        ToolType {
            id: "t".to_owned(),
            name: String::new(),
            kind,
            dc_mm: Some(dc_mm),
            dcn_mm: 0.0,
            apmx_mm: None,
            lu_mm: None,
            oal_mm: None,
            dmm_mm: None,
            bdx_mm: None,
            lpr_mm: None,
            re_mm: 0.0,
            sig_deg: None,
            bhta_deg: None,
            nof: None,
            fha_deg: 0.0,
            rpmx: None,
            x_up_cut_tip_mm: None,
            x_can_plunge: true,
            x_substance: String::new(),
            x_profile_mm: Vec::new(),
            x_blade_thickness_mm: None,
            x_blade_offset_mm: 0.0,
            x_edge_angle_deg: None,
            x_max_cut_depth_mm: None,
            x_life: None,
            x_cost: 0.0,
        }
    }

    fn near(a: Option<f64>, b: f64) {
        assert!((a.unwrap() - b).abs() < 1e-9, "{a:?} against {b}");
    }

    #[test]
    fn each_form_has_its_height() {
        let flat = Profile::of(&tool_type(ToolKind::EndMill, 6.0), None).unwrap();
        near(flat.height_mm(3.0), 0.0);
        assert_eq!(flat.height_mm(3.01), None);
        let ball = Profile::of(&tool_type(ToolKind::Ball, 6.0), None).unwrap();
        near(ball.height_mm(3.0), 3.0);
        near(ball.height_mm(1.8), 3.0 - 2.4);
        let corner = ToolType { re_mm: 1.0, ..tool_type(ToolKind::EndMill, 6.0) };
        near(Profile::of(&corner, None).unwrap().height_mm(2.6), 0.2);
        let v = ToolType { sig_deg: Some(90.0), dcn_mm: 1.0, ..tool_type(ToolKind::VCutter, 8.0) };
        near(Profile::of(&v, None).unwrap().height_mm(2.5), 2.0);
        let drill = Profile::of(&tool_type(ToolKind::Drill, 8.0), None).unwrap();
        near(drill.height_mm(4.0), 4.0 / math::tan(59.0_f64.to_radians()));
        let brad = ToolType { sig_deg: Some(180.0), ..tool_type(ToolKind::Drill, 8.0) };
        assert_eq!(Profile::of(&brad, None).unwrap().shape, Shape::Flat);
    }

    #[test]
    fn a_ball_taper_is_smooth_where_ball_meets_flank() {
        let kind = ToolType { re_mm: 1.0, bhta_deg: Some(10.0), ..tool_type(ToolKind::Taper, 6.0) };
        let taper = Profile::of(&kind, None).unwrap();
        near(taper.height_mm(0.0), 0.0);
        let (sin, cos) = math::sincos(10.0_f64.to_radians());
        let flank = 1.0 - sin + (2.0 - cos) * cos / sin;
        assert!((taper.height_mm(2.0).unwrap() - flank).abs() < 1e-6);
    }

    #[test]
    fn a_form_fills_its_undercut() {
        let points = vec![[1.0, 0.0], [3.0, 2.0], [2.0, 4.0], [4.0, 6.0]];
        let kind = ToolType { x_profile_mm: points, ..tool_type(ToolKind::Form, 8.0) };
        let form = Profile::of(&kind, None).unwrap();
        near(form.height_mm(0.5), 0.0);
        near(form.height_mm(2.0), 1.0);
        assert!((form.height_mm(3.5).unwrap() - 5.5).abs() < 1e-2);
    }

    #[test]
    fn radius_at_height_inverts_height() {
        let ball = Profile::of(&tool_type(ToolKind::Ball, 6.0), None).unwrap();
        assert!((ball.radius_at_height_mm(0.6) - 1.8).abs() < 1e-9);
        assert_eq!(ball.radius_at_height_mm(5.0), 3.0);
        assert_eq!(ball.radius_at_height_mm(-0.1), 0.0);
    }

    #[test]
    fn missing_figures_are_named() {
        let bare = ToolType { dc_mm: None, ..tool_type(ToolKind::EndMill, 1.0) };
        assert_eq!(Profile::of(&bare, None), Err(ProfileGap::Diameter));
        let v = tool_type(ToolKind::VCutter, 6.0);
        assert_eq!(Profile::of(&v, None), Err(ProfileGap::Angle));
        let flat = ToolType { sig_deg: Some(180.0), ..v };
        assert_eq!(Profile::of(&flat, None), Err(ProfileGap::Range));
    }
}
