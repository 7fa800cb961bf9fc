//! A sheet, a few tools and a pencil for toolpaths.

use kw_geometry::{Plane, Polygon, Vec2, Vec3};
use kw_nc::toolpath::{ArcData, MoveKind, MoveState, NewMove, Origin, SpindleTurn, Toolpath};
use kw_stock::{BodyPart, Cutter, Part, Profile, Shape, StockSetup, StockTool};

/// Flat 6 mm.
pub const FLAT: u32 = 1;
/// Ball 8 mm.
pub const BALL: u32 = 2;
/// V of 90°, 12 mm, with a flat tip of 1 mm.
pub const VEE: u32 = 3;
/// Corner radius 1 mm on 8 mm.
pub const CORNER: u32 = 4;
/// Blade 0.6 mm.
pub const KNIFE: u32 = 5;
/// Pen.
pub const PEN: u32 = 6;
/// Flat 3 mm with usable length 10 mm, shank 6 mm, holder 30 mm from 25 mm.
pub const SHORT: u32 = 7;
/// Ball nose by table, 8 mm.
pub const TABLE: u32 = 8;

/// Thickness of the sheet, mm.
pub const THICK: f64 = 18.0;

pub fn profile(number: u32) -> Profile {
    let (radius_mm, shape) = match number {
        BALL => (4.0, Shape::Round { core_mm: 0.0, round_mm: 4.0 }),
        VEE => (6.0, Shape::Cone { core_mm: 0.5, rise: 1.0 }),
        CORNER => (4.0, Shape::Round { core_mm: 3.0, round_mm: 1.0 }),
        SHORT => (1.5, Shape::Flat),
        TABLE => {
            let height = |i: usize| 4.0 - (16.0 - (i as f64 / 256.0).powi(2)).max(0.0).sqrt();
            (4.0, Shape::Table((0..=1024).map(height).collect()))
        }
        _ => (3.0, Shape::Flat),
    };
    Profile { radius_mm, shape }
}

/// A sheet of this size with its corner at the origin and its upper face at Z 0.
pub fn sheet(width_mm: f64, height_mm: f64) -> StockSetup {
    let turning = [FLAT, BALL, VEE, CORNER, SHORT, TABLE].map(|number| StockTool {
        number,
        cutter: Ok(Cutter::Turning(profile(number))),
        body: if number == SHORT {
            vec![
                BodyPart { part: Part::Shank, radius_mm: 3.0, from_mm: 10.0 },
                BodyPart { part: Part::Holder, radius_mm: 15.0, from_mm: 25.0 },
            ]
        } else {
            Vec::new()
        },
    });
    let mut tools = turning.to_vec();
    tools.push(StockTool {
        number: KNIFE,
        cutter: Ok(Cutter::Knife { thickness_mm: 0.6 }),
        body: Vec::new(),
    });
    tools.push(StockTool { number: PEN, cutter: Ok(Cutter::Marker), body: Vec::new() });
    StockSetup {
        outline: Polygon::rectangle(Vec2::default(), Vec2::new(width_mm, height_mm)),
        top_z_mm: 0.0,
        thickness_mm: THICK,
        cut_into_spoilboard_mm: 1.0,
        tools,
        dog_leg_speed_mm_min: None,
    }
}

/// Draws a toolpath.
#[derive(Clone)]
pub struct Pencil {
    pub path: Toolpath,
}

impl Pencil {
    /// Starts 20 mm above the sheet's corner with a tool.
    pub fn with(tool: u32) -> Self {
        let mut path = Toolpath { start_mm: Vec3::new(0.0, 0.0, 20.0), ..Toolpath::default() };
        path.states.push(state(tool));
        Self { path }
    }

    pub fn at(&self) -> Vec3 {
        self.path.end_mm.last().copied().unwrap_or(self.path.start_mm)
    }

    fn push(&mut self, kind: MoveKind, end_mm: Vec3, arc: Option<ArcData>) -> &mut Self {
        self.path.push(NewMove {
            kind,
            origin: Origin::Written,
            end_mm,
            arc,
            rotary_deg: None,
            feed: if kind == MoveKind::Rapid { 0.0 } else { 3000.0 },
            block_at: 0,
            state: self.path.states.len() as u32 - 1,
        });
        self
    }

    /// Another tool from here on, at the safe height.
    pub fn change(&mut self, tool: u32) -> &mut Self {
        let here = self.at();
        self.rapid(here.x, here.y, 20.0);
        self.path.states.push(state(tool));
        self
    }

    pub fn rapid(&mut self, x: f64, y: f64, z: f64) -> &mut Self {
        self.push(MoveKind::Rapid, Vec3::new(x, y, z), None)
    }

    pub fn line(&mut self, x: f64, y: f64, z: f64) -> &mut Self {
        self.push(MoveKind::Line, Vec3::new(x, y, z), None)
    }

    /// Arc in XY about a centre, by an angle in degrees, ending at height z.
    pub fn arc(&mut self, centre: (f64, f64), degrees: f64, z: f64) -> &mut Self {
        let centre_mm = Vec2::new(centre.0, centre.1);
        let sweep_rad = degrees.to_radians();
        let end = centre_mm + (self.at().xy() - centre_mm).rotated(sweep_rad);
        let end = if degrees.abs() == 360.0 { self.at().xy() } else { end };
        let arc = ArcData { centre_mm, sweep_rad, plane: Plane::Xy };
        self.push(MoveKind::Arc, Vec3::new(end.x, end.y, z), Some(arc))
    }

    /// Arc in the ZX plane: centre (z, x), by an angle in degrees.
    pub fn arc_zx(&mut self, centre: (f64, f64), degrees: f64) -> &mut Self {
        let centre_mm = Vec2::new(centre.0, centre.1);
        let sweep_rad = degrees.to_radians();
        let (here, y) = Plane::Zx.split(self.at());
        let end = centre_mm + (here - centre_mm).rotated(sweep_rad);
        let arc = ArcData { centre_mm, sweep_rad, plane: Plane::Zx };
        self.push(MoveKind::Arc, Plane::Zx.join(end, y), Some(arc))
    }

    /// To the place at the safe height, then down.
    pub fn plunge(&mut self, x: f64, y: f64, z: f64) -> &mut Self {
        let here = self.at();
        self.rapid(here.x, here.y, 20.0).rapid(x, y, 20.0).line(x, y, z)
    }

    /// Up to the safe height.
    pub fn retract(&mut self) -> &mut Self {
        let here = self.at();
        self.rapid(here.x, here.y, 20.0)
    }

    /// A closed rectangle around `min`..`max` (tool centre), at one depth.
    pub fn rectangle(&mut self, min: (f64, f64), max: (f64, f64), z: f64) -> &mut Self {
        self.plunge(min.0, min.1, z)
            .line(max.0, min.1, z)
            .line(max.0, max.1, z)
            .line(min.0, max.1, z)
            .line(min.0, min.1, z)
            .retract()
    }
}

fn state(tool: u32) -> MoveState {
    MoveState {
        tool: Some(tool),
        spindle: SpindleTurn::Clockwise,
        spindle_rpm: 18_000.0,
        ..MoveState::default()
    }
}
