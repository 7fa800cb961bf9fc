//! A blade that strokes up and down while it advances.

/// Mean speed of the edge along itself, mm/s, of a stroke of `stroke_mm` peak to peak at
/// `strokes_per_min`: 2·S·f/60.
pub fn mean_edge_speed_mm_s(stroke_mm: f64, strokes_per_min: f64) -> f64 {
    2.0 * stroke_mm * strokes_per_min / 60.0
}

/// Advance, mm, during one full stroke: 60·v/f; `None` unless the blade strokes.
pub fn advance_per_stroke_mm(speed_mm_s: f64, strokes_per_min: f64) -> Option<f64> {
    (strokes_per_min > 0.0).then(|| 60.0 * speed_mm_s / strokes_per_min)
}

/// Mean slice–push ratio ξ: edge speed over advance speed; `None` unless the blade advances.
pub fn slice_push_ratio(edge_speed_mm_s: f64, speed_mm_s: f64) -> Option<f64> {
    (speed_mm_s > 0.0).then(|| edge_speed_mm_s / speed_mm_s)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn worked_example() {
        let edge = mean_edge_speed_mm_s(1.0, 12_000.0);
        assert_eq!(edge, 400.0);
        assert_eq!(advance_per_stroke_mm(300.0, 12_000.0), Some(1.5));
        assert!((slice_push_ratio(edge, 300.0).expect("advancing") - 1.333).abs() < 5e-4);
    }

    #[test]
    fn standing_still() {
        assert_eq!(advance_per_stroke_mm(300.0, 0.0), None);
        assert_eq!(slice_push_ratio(400.0, 0.0), None);
    }
}
