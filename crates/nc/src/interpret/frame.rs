//! Scaling (G51) and rotation (G68) of program coordinates.
//!
//! "Unframed" positions are axis positions as they would be without scaling and rotation: program
//! value + shift. With neither in force they are the axis positions themselves, bit by bit.

use super::Interpreter;
use super::modal::axis_letters;
use crate::faults;
use crate::lex::block::{AXES, Letter, letters};
use crate::lex::{Block, Code};
use kw_geometry::{Plane, Vec2, Vec3};

/// Scaling first, rotation after it.
#[derive(Clone, Debug)]
pub(crate) struct Frame {
    /// Whether either is in force.
    pub(crate) active: bool,
    /// Factor along each axis.
    scale: Vec3,
    /// Point that scaling leaves in place, program coordinates, mm.
    scale_centre: Vec3,
    /// Counterclockwise, rad.
    rotation_rad: f64,
    /// Point that rotation leaves in place, program coordinates in the plane, mm.
    rotation_centre: Vec2,
    rotation_plane: Plane,
}

impl Default for Frame {
    fn default() -> Self {
        Self {
            active: false,
            scale: Vec3::new(1.0, 1.0, 1.0),
            scale_centre: Vec3::ZERO,
            rotation_rad: 0.0,
            rotation_centre: Vec2::default(),
            rotation_plane: Plane::Xy,
        }
    }
}

fn times(a: Vec3, b: Vec3) -> Vec3 {
    Vec3::new(a.x * b.x, a.y * b.y, a.z * b.z)
}

fn over(a: Vec3, b: Vec3) -> Vec3 {
    Vec3::new(a.x / b.x, a.y / b.y, a.z / b.z)
}

impl Frame {
    fn update(&mut self) {
        self.active = self.scale != Vec3::new(1.0, 1.0, 1.0) || self.rotation_rad != 0.0;
    }

    fn rotate(&self, point: Vec3, angle_rad: f64) -> Vec3 {
        let (flat, normal) = self.rotation_plane.split(point);
        let turned = self.rotation_centre + (flat - self.rotation_centre).rotated(angle_rad);
        self.rotation_plane.join(turned, normal)
    }

    /// Program coordinates as scaled and rotated, mm.
    fn apply(&self, program: Vec3) -> Vec3 {
        let scaled = self.scale_centre + times(program - self.scale_centre, self.scale);
        self.rotate(scaled, self.rotation_rad)
    }

    /// Inverse of [`Self::apply`].
    fn undo(&self, point: Vec3) -> Vec3 {
        let scaled = self.rotate(point, -self.rotation_rad);
        self.scale_centre + over(scaled - self.scale_centre, self.scale)
    }

    /// How arcs of a plane come out: factor of their radius, and whether their sense is reversed;
    /// `None` if they are no longer arcs of that plane.
    pub(crate) fn of_arcs(&self, plane: Plane) -> Option<(f64, bool)> {
        let (scale, _) = plane.split(self.scale);
        let tilted = self.rotation_rad != 0.0 && self.rotation_plane != plane;
        let distorted = (scale.x.abs() - scale.y.abs()).abs() > 1e-12;
        (!tilted && !distorted).then_some((scale.x.abs(), scale.x * scale.y < 0.0))
    }

    /// Whether X and Y do not act on Z and the other way round.
    pub(crate) fn keeps_xy_apart(&self) -> bool {
        self.rotation_rad == 0.0 || self.rotation_plane == Plane::Xy
    }

    /// Whether the XY plane is mirrored, which swaps the sides of cutter compensation.
    pub(crate) fn mirrors_xy(&self) -> bool {
        self.scale.x * self.scale.y < 0.0
    }
}

impl Interpreter<'_> {
    /// Axis position of an unframed one.
    #[inline]
    pub(crate) fn framed(&self, unframed: Vec3) -> Vec3 {
        if !self.frame.active {
            return unframed;
        }
        self.frame.apply(unframed - self.offsets.shift) + self.offsets.shift
    }

    /// Present programmed position without scaling and rotation.
    #[inline]
    pub(crate) fn unframed(&self) -> Vec3 {
        if !self.frame.active {
            return self.programmed;
        }
        self.frame.undo(self.programmed - self.offsets.shift) + self.offsets.shift
    }

    /// A displacement in a plane as scaled and rotated.
    pub(crate) fn framed_displacement(&self, plane: Plane, displacement: Vec2) -> Vec2 {
        if !self.frame.active {
            return displacement;
        }
        let step = plane.join(displacement, 0.0);
        plane.split(self.frame.apply(step) - self.frame.apply(Vec3::ZERO)).0
    }

    /// G68, G69.
    pub(crate) fn rotation_code(&mut self, block: &Block, code: Code, used: &mut u32) {
        if code == Code::G69 {
            self.frame.rotation_rad = 0.0;
            return self.frame.update();
        }
        let plane = self.modal.plane;
        let [first, second, _] = axis_letters(plane);
        *used |= Letter::of(first).bit() | Letter::of(second).bit() | Letter::of(b'R').bit();
        if !block.has(b'R') {
            let message = || "G68 without R".to_owned();
            return self.log.say(faults::WORD_MISSING, block.span(), message);
        }
        let mut centre = plane.split(self.program_position()).0;
        if block.has(first) {
            centre.x = self.length(block, first);
        }
        if block.has(second) {
            centre.y = self.length(block, second);
        }
        self.frame.rotation_centre = centre;
        self.frame.rotation_plane = plane;
        self.frame.rotation_rad = self.degrees(block, b'R').to_radians();
        self.frame.update();
    }

    /// G50, G51.
    pub(crate) fn scaling_code(&mut self, block: &Block, code: Code, used: &mut u32) {
        if code == Code::G50 {
            self.frame.scale = Vec3::new(1.0, 1.0, 1.0);
            return self.frame.update();
        }
        *used |= block.present & (AXES | letters(b"PIJK"));
        let Some(scale) = self.scale_factors(block) else { return };
        let mut centre = self.program_position();
        let coordinate = |letter, present: f64| {
            if block.has(letter) { self.length(block, letter) } else { present }
        };
        centre.x = coordinate(b'X', centre.x);
        centre.y = coordinate(b'Y', centre.y);
        centre.z = coordinate(b'Z', centre.z);
        self.frame.scale = scale;
        self.frame.scale_centre = centre;
        self.frame.update();
    }

    fn scale_factors(&mut self, block: &Block) -> Option<Vec3> {
        if block.present & letters(b"PIJK") == 0 {
            let message = || "G51 without P or I, J, K".to_owned();
            self.log.say(faults::WORD_MISSING, block.span(), message);
            return None;
        }
        let factor = |letter| if block.has(letter) { self.degrees(block, letter) } else { 1.0 };
        let scale = if block.has(b'P') {
            let all = factor(b'P');
            Vec3::new(all, all, all)
        } else {
            Vec3::new(factor(b'I'), factor(b'J'), factor(b'K'))
        };
        if scale.x == 0.0 || scale.y == 0.0 || scale.z == 0.0 {
            let message = || "a scale factor is 0".to_owned();
            self.log.say(faults::SCALE_FACTOR_ZERO, block.span(), message);
            return None;
        }
        Some(scale)
    }

    /// Ends scaling and rotation.
    pub(crate) fn reset_frame(&mut self) {
        self.frame = Frame::default();
    }
}
