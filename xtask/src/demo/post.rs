//! Turns motions into NC text with the habits a style states.

use super::shape::Point;
use std::fmt::Write;

/// Habits of one program.
#[derive(Clone, Copy, Debug)]
pub struct Style {
    /// First line number and step; no line numbers if none.
    pub numbers: Option<(u32, u32)>,
    /// Digits after the point.
    pub decimals: usize,
    /// Whether trailing zeros are left out (the point stays).
    pub short_numbers: bool,
    /// Whether words are set apart by spaces.
    pub spaces: bool,
    /// How comments are written.
    pub comments: Comments,
    /// How arcs state their centre.
    pub arcs: Arcs,
    /// Whether motion codes are written `G01` instead of `G1`.
    pub two_digits: bool,
    /// Added to every Z, mm: the height of the sheet's face above the datum.
    pub face_z: f64,
}

/// How comments are written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Comments {
    /// `(text)`.
    Parentheses,
    /// `; text`.
    Semicolon,
    /// `{text}`.
    Braces,
}

/// How arcs state their centre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Arcs {
    /// I, J from the start.
    Incremental,
    /// I, J from the datum.
    Absolute,
    /// R; full circles are split.
    Radius,
}

/// Program text in the making. Coordinates and feeds are modal: what does not change is not
/// written again.
pub struct Post {
    style: Style,
    text: String,
    next_number: u32,
    motion: u8,
    at: [Option<i64>; 4],
    feed: f64,
}

/// Letters of the four axes.
const AXES: [char; 4] = ['X', 'Y', 'Z', 'C'];

impl Post {
    /// An empty program.
    pub fn new(style: Style) -> Self {
        let next_number = style.numbers.map_or(0, |(first, _)| first);
        Self { style, text: String::new(), next_number, motion: 255, at: [None; 4], feed: 0.0 }
    }

    /// The text.
    pub fn finish(self) -> String {
        self.text
    }

    /// A line as it stands, without number: `%`, `O1001`, an empty line.
    pub fn bare(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    /// A comment on a line of its own.
    pub fn comment(&mut self, words: &str) {
        let line = match self.style.comments {
            Comments::Parentheses => format!("({words})"),
            Comments::Semicolon => format!("; {words}"),
            Comments::Braces => format!("{{{words}}}"),
        };
        self.bare(&line);
    }

    /// A block with these words, which move nothing.
    pub fn block(&mut self, words: &str) {
        let words = if self.style.spaces { words.to_owned() } else { words.replace(' ', "") };
        self.number();
        self.bare(&words);
    }

    /// A block after which the axes may be anywhere, such as a move home or a tool change.
    pub fn block_that_moves(&mut self, words: &str) {
        self.block(words);
        (self.motion, self.at, self.feed) = (255, [None; 4], 0.0);
    }

    /// A block with these words that moves along Z to this height above the sheet's face.
    pub fn block_to_z(&mut self, words: &str, z: f64) {
        let z_word = self.changed(2, z).unwrap_or_default();
        self.block(&format!("{words} {z_word}"));
    }

    /// Rapid in the plane.
    pub fn rapid(&mut self, to: Point) {
        self.straight(0, [Some(to.x), Some(to.y), None, None], None);
    }

    /// Rapid in the plane that also turns the knife, degrees.
    pub fn rapid_turned(&mut self, to: Point, heading_deg: f64) {
        self.straight(0, [Some(to.x), Some(to.y), None, Some(heading_deg)], None);
    }

    /// Rapid along Z, from the sheet's face.
    pub fn rapid_z(&mut self, z: f64) {
        self.straight(0, [None, None, Some(z), None], None);
    }

    /// Turns the knife in the air, degrees.
    pub fn turn(&mut self, heading_deg: f64) {
        self.straight(0, [None, None, None, Some(heading_deg)], None);
    }

    /// Line at feed in the plane.
    pub fn line(&mut self, to: Point, feed: f64) {
        self.straight(1, [Some(to.x), Some(to.y), None, None], Some(feed));
    }

    /// Line at feed with Z.
    pub fn line_z(&mut self, to: Point, z: f64, feed: f64) {
        self.straight(1, [Some(to.x), Some(to.y), Some(z), None], Some(feed));
    }

    /// Line at feed along Z.
    pub fn plunge(&mut self, z: f64, feed: f64) {
        self.straight(1, [None, None, Some(z), None], Some(feed));
    }

    /// Arc or helix at feed; `heading_deg` where a knife turns with it.
    pub fn arc(&mut self, arc: ArcMove, feed: f64) {
        let start = self.here();
        let [to, centre] = [arc.to, arc.centre];
        if self.style.arcs == Arcs::Radius && start.distance(to) < 1e-6 {
            self.four_quarters(arc, start, feed);
            return;
        }
        let code = if arc.clockwise { 2 } else { 3 };
        let mut words = self.motion_word(code);
        for (axis, value) in [(0, to.x), (1, to.y)] {
            let word = self.coordinate(AXES[axis], value);
            words.push(word);
            self.at[axis] = Some(self.rounded(value));
        }
        words.extend(arc.z.and_then(|z| self.changed(2, z)));
        words.extend(arc.heading_deg.and_then(|c| self.changed(3, c)));
        match self.style.arcs {
            Arcs::Incremental => {
                words.push(self.coordinate('I', centre.x - start.x));
                words.push(self.coordinate('J', centre.y - start.y));
            }
            Arcs::Absolute => {
                words.push(self.coordinate('I', centre.x));
                words.push(self.coordinate('J', centre.y));
            }
            Arcs::Radius => words.push(self.coordinate('R', start.distance(centre))),
        }
        words.extend(self.feed_word(feed));
        self.words(&words);
    }

    /// A full circle as four arcs: one arc with R cannot end where it starts.
    fn four_quarters(&mut self, arc: ArcMove, start: Point, feed: f64) {
        let (centre, before) = (arc.centre, self.z());
        let mut spoke = start.minus(centre);
        for quarter in 1..=4 {
            let turned = Point::new(-spoke.y, spoke.x);
            spoke = if arc.clockwise { turned.times(-1.0) } else { turned };
            let z = arc.z.map(|z| before + (z - before) * f64::from(quarter) / 4.0);
            self.arc(ArcMove { to: centre.plus(spoke), z, ..arc }, feed);
        }
    }

    /// Where the tool is in the plane, as written.
    fn here(&self) -> Point {
        let scale = 10f64.powi(self.style.decimals as i32);
        let of = |axis: usize| self.at[axis].unwrap_or_default() as f64 / scale;
        Point::new(of(0), of(1))
    }

    fn z(&self) -> f64 {
        let scale = 10f64.powi(self.style.decimals as i32);
        self.at[2].unwrap_or_default() as f64 / scale - self.style.face_z
    }

    fn straight(&mut self, code: u8, to: [Option<f64>; 4], feed: Option<f64>) {
        let mut coordinates = Vec::new();
        for (axis, value) in to.into_iter().enumerate() {
            coordinates.extend(value.and_then(|v| self.changed(axis, v)));
        }
        if coordinates.is_empty() {
            return;
        }
        let mut words = self.motion_word(code);
        words.append(&mut coordinates);
        words.extend(feed.and_then(|f| self.feed_word(f)));
        self.words(&words);
    }

    fn motion_word(&mut self, code: u8) -> Vec<String> {
        if self.motion == code {
            return Vec::new();
        }
        self.motion = code;
        vec![if self.style.two_digits { format!("G{code:02}") } else { format!("G{code}") }]
    }

    /// The word of an axis if its written value changes.
    fn changed(&mut self, axis: usize, value: f64) -> Option<String> {
        let value = if axis == 2 { value + self.style.face_z } else { value };
        let rounded = self.rounded(value);
        if self.at[axis] == Some(rounded) {
            return None;
        }
        self.at[axis] = Some(rounded);
        Some(self.coordinate(AXES[axis], value))
    }

    fn feed_word(&mut self, feed: f64) -> Option<String> {
        (self.feed != feed).then(|| {
            self.feed = feed;
            format!("F{feed}")
        })
    }

    fn rounded(&self, value: f64) -> i64 {
        (value * 10f64.powi(self.style.decimals as i32)).round() as i64
    }

    fn coordinate(&self, letter: char, value: f64) -> String {
        let scale = 10f64.powi(self.style.decimals as i32);
        let value = self.rounded(value) as f64 / scale;
        let mut word = format!("{letter}{value:.*}", self.style.decimals);
        if self.style.short_numbers {
            word.truncate(word.trim_end_matches('0').len());
        }
        word
    }

    fn words(&mut self, words: &[String]) {
        let separator = if self.style.spaces { " " } else { "" };
        self.number();
        self.bare(&words.join(separator));
    }

    fn number(&mut self) {
        if let Some((_, step)) = self.style.numbers {
            let separator = if self.style.spaces { " " } else { "" };
            let _ = write!(self.text, "N{}{separator}", self.next_number);
            self.next_number += step;
        }
    }
}

/// An arc from where the tool is.
#[derive(Clone, Copy, Debug)]
pub struct ArcMove {
    /// End.
    pub to: Point,
    /// Centre.
    pub centre: Point,
    /// Whether it runs clockwise.
    pub clockwise: bool,
    /// Z at the end, if it changes.
    pub z: Option<f64>,
    /// Heading of the knife at the end, degrees.
    pub heading_deg: Option<f64>,
}
