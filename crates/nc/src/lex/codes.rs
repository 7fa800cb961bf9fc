//! The codes of the language and what this machine makes of them.

use kw_model::Dialect;
use std::collections::BTreeMap;

/// A code of the published language, or of the few that are widely used beside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Code {
    G0,
    G1,
    G2,
    G3,
    G4,
    G10,
    G17,
    G18,
    G19,
    G20,
    G21,
    G28,
    G30,
    G38_2,
    G40,
    G41,
    G42,
    G43,
    G49,
    G50,
    G51,
    G52,
    G53,
    /// G54 to G59.3, by system number 1 to 9.
    WorkSystem(u8),
    G61,
    G61_1,
    G64,
    G68,
    G69,
    G73,
    G80,
    G81,
    G82,
    G83,
    G84,
    G85,
    G86,
    G87,
    G88,
    G89,
    G90,
    G90_1,
    G91,
    G91_1,
    G92,
    G92_1,
    G92_2,
    G92_3,
    G93,
    G94,
    G95,
    G98,
    G99,
    M0,
    M1,
    M2,
    M3,
    M4,
    M5,
    M6,
    M7,
    M8,
    M9,
    M30,
    M48,
    M49,
    M60,
    M98,
    M99,
}

/// Modal groups; one code of each may stand in a block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub(crate) enum Group {
    Once,
    Motion,
    Plane,
    Distance,
    ArcCentre,
    FeedMode,
    Units,
    Compensation,
    Length,
    Rotation,
    Scaling,
    Retract,
    WorkSystem,
    Corner,
    Stopping,
    ToolChange,
    Spindle,
    Coolant,
    Override,
    Call,
}

impl Group {
    /// Number of groups.
    pub(crate) const COUNT: usize = 20;

    /// Its bit in a block's set of groups.
    pub(crate) const fn bit(self) -> u32 {
        1 << self as u8
    }
}

/// What one code number means on this machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Meaning {
    /// Nothing known.
    Unknown,
    /// A code of the language.
    Known(Code, Group),
    /// The machine-specific code of this index in the dialect.
    Mapped(u16),
    /// Several other codes: index into the table's lists.
    Several(u16),
}

/// Letter, number × 10, code, group, whether the published report has it.
type Row = (u8, u32, Code, Group, bool);

#[rustfmt::skip]
const BUILT_IN: &[Row] = {
    use Code::*;
    use Group as K;
    &[
        (b'G', 0, G0, K::Motion, true), (b'G', 10, G1, K::Motion, true),
        (b'G', 20, G2, K::Motion, true), (b'G', 30, G3, K::Motion, true),
        (b'G', 382, G38_2, K::Motion, true), (b'G', 730, G73, K::Motion, false),
        (b'G', 800, G80, K::Motion, true), (b'G', 810, G81, K::Motion, true),
        (b'G', 820, G82, K::Motion, true), (b'G', 830, G83, K::Motion, true),
        (b'G', 840, G84, K::Motion, true), (b'G', 850, G85, K::Motion, true),
        (b'G', 860, G86, K::Motion, true), (b'G', 870, G87, K::Motion, true),
        (b'G', 880, G88, K::Motion, true), (b'G', 890, G89, K::Motion, true),
        (b'G', 40, G4, K::Once, true), (b'G', 100, G10, K::Once, true),
        (b'G', 280, G28, K::Once, true), (b'G', 300, G30, K::Once, true),
        (b'G', 520, G52, K::Once, false), (b'G', 530, G53, K::Once, true),
        (b'G', 920, G92, K::Once, true), (b'G', 921, G92_1, K::Once, true),
        (b'G', 922, G92_2, K::Once, true), (b'G', 923, G92_3, K::Once, true),
        (b'G', 170, G17, K::Plane, true), (b'G', 180, G18, K::Plane, true),
        (b'G', 190, G19, K::Plane, true), (b'G', 200, G20, K::Units, true),
        (b'G', 210, G21, K::Units, true), (b'G', 400, G40, K::Compensation, true),
        (b'G', 410, G41, K::Compensation, true), (b'G', 420, G42, K::Compensation, true),
        (b'G', 430, G43, K::Length, true), (b'G', 490, G49, K::Length, true),
        (b'G', 500, G50, K::Scaling, false), (b'G', 510, G51, K::Scaling, false),
        (b'G', 540, WorkSystem(1), K::WorkSystem, true),
        (b'G', 550, WorkSystem(2), K::WorkSystem, true),
        (b'G', 560, WorkSystem(3), K::WorkSystem, true),
        (b'G', 570, WorkSystem(4), K::WorkSystem, true),
        (b'G', 580, WorkSystem(5), K::WorkSystem, true),
        (b'G', 590, WorkSystem(6), K::WorkSystem, true),
        (b'G', 591, WorkSystem(7), K::WorkSystem, true),
        (b'G', 592, WorkSystem(8), K::WorkSystem, true),
        (b'G', 593, WorkSystem(9), K::WorkSystem, true),
        (b'G', 610, G61, K::Corner, true), (b'G', 611, G61_1, K::Corner, true),
        (b'G', 640, G64, K::Corner, true), (b'G', 680, G68, K::Rotation, false),
        (b'G', 690, G69, K::Rotation, false), (b'G', 900, G90, K::Distance, true),
        (b'G', 901, G90_1, K::ArcCentre, false), (b'G', 910, G91, K::Distance, true),
        (b'G', 911, G91_1, K::ArcCentre, false), (b'G', 930, G93, K::FeedMode, true),
        (b'G', 940, G94, K::FeedMode, true), (b'G', 950, G95, K::FeedMode, false),
        (b'G', 980, G98, K::Retract, true), (b'G', 990, G99, K::Retract, true),
        (b'M', 0, M0, K::Stopping, true), (b'M', 10, M1, K::Stopping, true),
        (b'M', 20, M2, K::Stopping, true), (b'M', 300, M30, K::Stopping, true),
        (b'M', 600, M60, K::Stopping, true), (b'M', 60, M6, K::ToolChange, true),
        (b'M', 30, M3, K::Spindle, true), (b'M', 40, M4, K::Spindle, true),
        (b'M', 50, M5, K::Spindle, true), (b'M', 70, M7, K::Coolant, true),
        (b'M', 80, M8, K::Coolant, true), (b'M', 90, M9, K::Coolant, true),
        (b'M', 480, M48, K::Override, true), (b'M', 490, M49, K::Override, true),
        (b'M', 980, M98, K::Call, false), (b'M', 990, M99, K::Call, false),
    ]
};

/// Every G and M number with what it means on this machine.
#[derive(Clone, Debug)]
pub(crate) struct CodeTable {
    g: Vec<Meaning>,
    m: Vec<Meaning>,
    /// Codes beyond the tables' ends.
    far: BTreeMap<(u8, u32), Meaning>,
    lists: Vec<Vec<Meaning>>,
}

const TABLE_END: u32 = 1000;

impl CodeTable {
    /// The table of a dialect.
    pub(crate) fn new(dialect: &Dialect) -> Self {
        let blank = || vec![Meaning::Unknown; TABLE_END as usize];
        let mut table = Self { g: blank(), m: blank(), far: BTreeMap::new(), lists: Vec::new() };
        for &(letter, tenths, code, group, published) in BUILT_IN {
            let calls_off = group == Group::Call && !dialect.subprograms;
            if published || !(dialect.strict || calls_off) {
                table.set(letter, tenths, Meaning::Known(code, group));
            }
        }
        if dialect.strict {
            return table;
        }
        for (letter, tenths) in dialect.missing_codes.iter().filter_map(|c| parse_code(c)) {
            table.set(letter, tenths, Meaning::Unknown);
        }
        for (index, mapped) in dialect.code.iter().enumerate() {
            if let Some((letter, tenths)) = parse_code(&mapped.code) {
                table.set(letter, tenths, Meaning::Mapped(index as u16));
            }
        }
        table.add_aliases(dialect);
        table
    }

    fn add_aliases(&mut self, dialect: &Dialect) {
        let plain = self.clone();
        for alias in &dialect.alias {
            let Some((letter, tenths)) = parse_code(&alias.code) else { continue };
            let meanings: Vec<Meaning> = alias
                .means
                .iter()
                .filter_map(|c| parse_code(c))
                .map(|(letter, tenths)| plain.get(letter, tenths))
                .collect();
            let meaning = match meanings[..] {
                [one] => one,
                _ => {
                    self.lists.push(meanings);
                    Meaning::Several((self.lists.len() - 1) as u16)
                }
            };
            self.set(letter, tenths, meaning);
        }
    }

    fn set(&mut self, letter: u8, tenths: u32, meaning: Meaning) {
        let table = if letter == b'G' { &mut self.g } else { &mut self.m };
        match table.get_mut(tenths as usize) {
            Some(entry) => *entry = meaning,
            None => {
                self.far.insert((letter, tenths), meaning);
            }
        }
    }

    /// What a G or M code means; `tenths` is its number × 10.
    #[inline]
    pub(crate) fn get(&self, letter: u8, tenths: u32) -> Meaning {
        let table = if letter == b'G' { &self.g } else { &self.m };
        match table.get(tenths as usize) {
            Some(&meaning) => meaning,
            None => self.far.get(&(letter, tenths)).copied().unwrap_or(Meaning::Unknown),
        }
    }

    /// The codes of a [`Meaning::Several`].
    pub(crate) fn list(&self, index: u16) -> &[Meaning] {
        self.lists.get(index as usize).map_or(&[], Vec::as_slice)
    }
}

/// Letter and number × 10 of a code such as `G59.1` or `m21`; `None` if it is no such code.
pub(crate) fn parse_code(code: &str) -> Option<(u8, u32)> {
    let code = code.trim();
    let letter = code.bytes().next()?.to_ascii_uppercase();
    if !matches!(letter, b'G' | b'M') {
        return None;
    }
    let (whole, tenth) = code[1..].split_once('.').unwrap_or((&code[1..], "0"));
    let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit()) && !s.is_empty();
    if !digits(whole) || !digits(tenth) || tenth.len() > 1 || whole.len() > 7 {
        return None;
    }
    Some((letter, whole.parse::<u32>().ok()? * 10 + tenth.parse::<u32>().ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_read_from_their_names() {
        assert_eq!(parse_code("G59.1"), Some((b'G', 591)));
        assert_eq!(parse_code(" m021 "), Some((b'M', 210)));
        for bad in ["", "X1", "G", "G1.", "G1.23", "G-1", "Gä"] {
            assert_eq!(parse_code(bad), None, "{bad}");
        }
    }

    #[test]
    fn strict_reading_knows_no_habits() {
        let strict = CodeTable::new(&Dialect::published());
        let habits = CodeTable::new(&Dialect::default());
        assert_eq!(strict.get(b'M', 980), Meaning::Unknown);
        assert_eq!(habits.get(b'M', 980), Meaning::Known(Code::M98, Group::Call));
        assert_eq!(habits.get(b'M', 770), Meaning::Unknown);
        assert_eq!(habits.get(b'M', 123_450), Meaning::Unknown);
    }
}
