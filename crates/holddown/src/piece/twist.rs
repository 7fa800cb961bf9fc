//! Capacity of a contact against sliding and turning together: the least power of friction over all rigid
//! twists with unit power of the load.
//!
//! Axes: x along the load, y across it, both from the centre of pressure; the load acts along y = e.
//! With angular speed ω and cross speed s the load's power is 1 if the speed at (x, y) is
//! (1 + ω (e − y), s + ω x). The power of friction Σ w |speed| is convex in (ω, s); the rotation
//! centre follows from both.

use kw_geometry::Vec2;

/// Points side by side, so that the sums run in parallel lanes: the same order on every machine.
const LANES: usize = 4;

/// Some contact points; lanes without point have weight 0.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Block {
    x: [f64; LANES],
    y: [f64; LANES],
    weight: [f64; LANES],
    spread: [f64; LANES],
}

impl Block {
    const EMPTY: Self =
        Self { x: [0.0; LANES], y: [0.0; LANES], weight: [0.0; LANES], spread: [1.0; LANES] };
}

/// Contact points with the friction force each can give, N, about the centre of pressure.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Points {
    blocks: Vec<Block>,
    count: usize,
}

/// Newton steps; 3 to 8 are usual.
const MOST_STEPS: usize = 60;
/// Ends when the power can fall by no more than this share.
const POLISH: f64 = 1e-6;

impl Points {
    pub(crate) fn clear(&mut self) {
        self.blocks.clear();
        self.count = 0;
    }

    /// Adds a point with the mean square distance of its area from it along one direction, mm².
    pub(crate) fn push(&mut self, at: Vec2, weight: f64, spread: f64) {
        let lane = self.count % LANES;
        if lane == 0 {
            self.blocks.push(Block::EMPTY);
        }
        if let Some(block) = self.blocks.last_mut() {
            block.x[lane] = at.x;
            block.y[lane] = at.y;
            block.weight[lane] = weight;
            block.spread[lane] = spread;
        }
        self.count += 1;
    }

    /// Largest force, N, along the unit vector `direction` at `at` (mm, from the centre of pressure) that
    /// friction resists, for the point weights given as forces; polished to 1e-6.
    ///
    /// Cells act as if a little smaller near the rotation centre, which is on the safe side. 0 without
    /// points.
    pub(crate) fn capacity(&self, at: Vec2, direction: Vec2) -> f64 {
        let (mut total, mut inertia) = (0.0, 0.0);
        for block in &self.blocks {
            for i in 0..LANES {
                let (x, y) = (block.x[i], block.y[i]);
                total += block.weight[i];
                inertia += block.weight[i] * (x * x + y * y + 2.0 * block.spread[i]);
            }
        }
        if total.is_nan() || total <= 0.0 || inertia.is_nan() || inertia <= 0.0 {
            return 0.0;
        }
        let size = (inertia / total).sqrt();
        let frame = Frame { points: self, direction, offset: direction.cross(at) / size, size };
        frame.least_power(total)
    }
}

struct Frame<'a> {
    points: &'a Points,
    direction: Vec2,
    /// e over the size of the contact.
    offset: f64,
    size: f64,
}

/// Power with first and second derivatives by (ω · size, s).
struct Power {
    value: f64,
    gradient: [f64; 2],
    /// Second derivatives 11, 12, 22.
    curvature: [f64; 3],
}

impl Frame<'_> {
    fn least_power(&self, total: f64) -> f64 {
        // The turn that would be best for a ring of the same mean radius.
        let turn = -self.offset / (self.offset * self.offset + 0.9);
        let mut at = [turn, 0.0];
        let mut power = self.power(at);
        if power.value > total {
            at = [0.0; 2];
            power = self.power(at);
        }
        for _ in 0..MOST_STEPS {
            let [g1, g2] = power.gradient;
            let [h11, h12, h22] = power.curvature;
            let determinant = h11 * h22 - h12 * h12;
            if determinant.is_nan() || determinant <= 1e-14 * h11 * h22 {
                break;
            }
            let step = [(h12 * g2 - h22 * g1) / determinant, (h12 * g1 - h11 * g2) / determinant];
            let slope = g1 * step[0] + g2 * step[1];
            if -0.5 * slope <= POLISH * power.value {
                break;
            }
            let Some((next, found)) = self.downhill(at, step, (power.value, slope)) else { break };
            (at, power) = (next, found);
        }
        power.value
    }

    /// A point along a step with clearly less power.
    fn downhill(
        &self,
        at: [f64; 2],
        step: [f64; 2],
        (value, slope): (f64, f64),
    ) -> Option<([f64; 2], Power)> {
        let mut length = 1.0;
        for _ in 0..40 {
            let next = [at[0] + length * step[0], at[1] + length * step[1]];
            let power = self.power(next);
            if power.value <= value + 1e-4 * length * slope {
                return Some((next, power));
            }
            length *= 0.4;
        }
        None
    }

    #[allow(clippy::needless_range_loop, reason = "six sums share one lane index")]
    fn power(&self, [turn, across]: [f64; 2]) -> Power {
        let inverse = 1.0 / self.size;
        let (dx, dy) = (self.direction.x * inverse, self.direction.y * inverse);
        let c = inverse * inverse;
        let mut sums = [[0.0; LANES]; 6];
        for block in &self.points.blocks {
            for i in 0..LANES {
                let (x, y, weight) = (block.x[i], block.y[i], block.weight[i]);
                let along = x * dx + y * dy;
                let lever = self.offset - (y * dx - x * dy);
                let own = block.spread[i] * c;
                let a = 1.0 + turn * lever;
                let b = across + turn * along;
                let speed = (a * a + b * b + turn * turn * own).sqrt();
                let per_speed = 1.0 / speed;
                let w = weight * per_speed;
                let p = (a * lever + b * along + turn * own) * per_speed;
                let q = b * per_speed;
                sums[0][i] += weight * speed;
                sums[1][i] += weight * p;
                sums[2][i] += weight * q;
                sums[3][i] += w * (lever * lever + along * along + own - p * p);
                sums[4][i] += w * (along - p * q);
                sums[5][i] += w * (1.0 - q * q);
            }
        }
        let [value, g1, g2, h11, h12, h22] = sums.map(|lanes| lanes.iter().sum::<f64>());
        Power { value, gradient: [g1, g2], curvature: [h11, h12, h22] }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid(a: f64, b: f64, columns: usize, rows: usize) -> Points {
        let mut points = Points::default();
        let (w, h) = (a / columns as f64, b / rows as f64);
        for i in 0..columns {
            for j in 0..rows {
                let at = Vec2::new((i as f64 + 0.5) * w - a / 2.0, (j as f64 + 0.5) * h - b / 2.0);
                points.push(at, 1.0, (w * w + h * h) / 24.0);
            }
        }
        points
    }

    #[test]
    fn pure_sliding_takes_the_whole_weight() {
        let points = grid(100.0, 50.0, 8, 4);
        assert!((points.capacity(Vec2::default(), Vec2::new(1.0, 0.0)) - 32.0).abs() < 1e-9);
        assert_eq!(Points::default().capacity(Vec2::default(), Vec2::new(1.0, 0.0)), 0.0);
    }

    #[test]
    fn a_far_load_turns_the_piece_about_its_middle() {
        // λ e → μN r̄; square of side 100: r̄ = 38.26.
        let points = grid(100.0, 100.0, 16, 16);
        let far = 1e5;
        let got = points.capacity(Vec2::new(0.0, far), Vec2::new(1.0, 0.0)) * far / 256.0;
        assert!((got / 38.26 - 1.0).abs() < 1e-3, "{got}");
    }

    #[test]
    fn no_other_twist_needs_less_power() {
        let points = grid(120.0, 80.0, 9, 6);
        let (at, direction) = (Vec2::new(55.0, 30.0), Vec2::new(0.6, 0.8));
        let found = points.capacity(at, direction);
        let size = 40.0;
        let frame = Frame { points: &points, direction, offset: direction.cross(at) / size, size };
        for i in -200..=200 {
            for j in -100..=100 {
                let trial = frame.power([f64::from(i) * 0.02, f64::from(j) * 0.02]).value;
                assert!(trial >= found * (1.0 - 1e-5), "{i} {j}");
            }
        }
    }
}
