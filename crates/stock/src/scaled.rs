//! Tool contours in the units of the map: radius in cells, height in depth steps.

use crate::profile::{Profile, Shape};

/// A contour in cells and depth steps.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Contour {
    /// Cutting radius, cells.
    pub radius: f64,
    pub form: Form,
}

/// Form of a contour in cells and depth steps.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Form {
    Flat,
    Round(Round),
    Cone(Cone),
    Table(Table),
}

/// Quarter round of radius `round` around a flat core; heights are `scale` steps per cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Round {
    pub core: f32,
    pub round: f32,
    pub scale: f32,
}

/// Straight rise around a flat core, depth steps per cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Cone {
    pub core: f32,
    pub rise: f32,
}

/// Heights at equal steps of radius.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Table {
    heights: Vec<f32>,
    per_cell: f32,
}

/// Height in depth steps at the square of a distance in cells.
pub(crate) trait Height {
    fn at(&self, square: f32) -> f32;
}

impl Height for Round {
    fn at(&self, square: f32) -> f32 {
        let out = square.sqrt() - self.core;
        let out = if out > 0.0 { out } else { 0.0 };
        let rest = self.round * self.round - out * out;
        let rest = if rest > 0.0 { rest } else { 0.0 };
        (self.round - rest.sqrt()) * self.scale
    }
}

impl Height for Cone {
    fn at(&self, square: f32) -> f32 {
        let out = square.sqrt() - self.core;
        let out = if out > 0.0 { out } else { 0.0 };
        out * self.rise
    }
}

impl Height for Table {
    fn at(&self, square: f32) -> f32 {
        let at = square.sqrt() * self.per_cell;
        let below = (at as usize).min(self.heights.len() - 2);
        let share = (at - below as f32).min(1.0);
        self.heights[below] + (self.heights[below + 1] - self.heights[below]) * share
    }
}

impl Contour {
    /// In cells of `step_mm` and steps of `depth_step_mm`.
    pub fn of(profile: &Profile, step_mm: f64, depth_step_mm: f64) -> Self {
        let scale = step_mm / depth_step_mm;
        let form = match &profile.shape {
            Shape::Flat => Form::Flat,
            Shape::Round { core_mm, round_mm } => Form::Round(Round {
                core: (core_mm / step_mm) as f32,
                round: (round_mm / step_mm) as f32,
                scale: scale as f32,
            }),
            Shape::Cone { core_mm, rise } => {
                Form::Cone(Cone { core: (core_mm / step_mm) as f32, rise: (rise * scale) as f32 })
            }
            Shape::Table(heights) => Form::Table(Table {
                heights: heights.iter().map(|h| (h / depth_step_mm) as f32).collect(),
                per_cell: ((heights.len() - 1) as f64 * step_mm / profile.radius_mm) as f32,
            }),
        };
        Self { radius: profile.radius_mm / step_mm, form }
    }

    /// Largest radius, in cells, that is at most `height` depth steps above the tip; 0 below it.
    pub fn radius_at(&self, height: f64) -> f64 {
        let fits = |radius: f64| {
            let square = (radius * radius) as f32;
            let at = match &self.form {
                Form::Flat => 0.0,
                Form::Round(round) => round.at(square),
                Form::Cone(cone) => cone.at(square),
                Form::Table(table) => table.at(square),
            };
            f64::from(at) <= height
        };
        if !fits(0.0) || fits(self.radius) {
            return if fits(0.0) { self.radius } else { 0.0 };
        }
        let (mut low, mut high) = (0.0, self.radius);
        for _ in 0..30 {
            let middle = 0.5 * (low + high);
            if fits(middle) { low = middle } else { high = middle }
        }
        low
    }

    /// A flat disc.
    pub fn flat(radius: f64) -> Self {
        Self { radius, form: Form::Flat }
    }

    pub fn is_flat(&self) -> bool {
        matches!(self.form, Form::Flat)
    }
}
