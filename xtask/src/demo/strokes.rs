//! Numerals as strokes for engraving, drawn on a grid of 4 by 6.

use super::post::Post;
use super::routing::Cut;
use super::shape::Point;

/// Strokes of each numeral: points of the grid, each two digits, x and y.
const NUMERALS: [&[&str]; 10] = [
    &["10 01 05 16 36 45 41 30 10"],
    &["14 26 20", "10 30"],
    &["05 16 36 45 44 00 40"],
    &["05 16 36 45 44 33 13", "33 42 41 30 10 01"],
    &["30 36 02 42"],
    &["46 06 03 33 42 41 30 10 01"],
    &["45 36 16 05 01 10 30 41 42 33 03"],
    &["06 46 10"],
    &["13 04 05 16 36 45 44 33 13 02 01 10 30 41 42 33"],
    &["01 10 30 41 45 36 16 05 04 13 43"],
];

/// The strokes of a number, centred on a point.
pub fn digits(number: u32, middle: Point, height: f64) -> Vec<Vec<Point>> {
    let text = number.to_string();
    let unit = height / 6.0;
    let left = middle.x - (text.len() as f64 * 5.0 - 1.0) * unit / 2.0;
    let mut strokes = Vec::new();
    for (place, digit) in text.bytes().enumerate() {
        let corner = Point::new(left + place as f64 * 5.0 * unit, middle.y - height / 2.0);
        for stroke in NUMERALS[usize::from(digit - b'0')] {
            let point = |pair: &str| {
                let of = |at: usize| f64::from(pair.as_bytes()[at] - b'0') * unit;
                corner.plus(Point::new(of(0), of(1)))
            };
            strokes.push(stroke.split(' ').map(point).collect());
        }
    }
    strokes
}

/// Follows each stroke at a depth.
pub fn engrave(post: &mut Post, strokes: &[Vec<Point>], depth: f64, cut: Cut) {
    for stroke in strokes {
        post.rapid(stroke[0]);
        post.rapid_z(1.0);
        post.plunge(depth, cut.down);
        for point in &stroke[1..] {
            post.line(*point, cut.feed);
        }
        post.rapid_z(cut.safe);
    }
}
