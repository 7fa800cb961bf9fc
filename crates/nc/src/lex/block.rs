//! One block: its words, codes and settings, reused from line to line without allocation.

use super::codes::{Code, Group};
use kw_base::Span;

/// A word letter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Letter(u8);

impl Letter {
    /// Letter of an ASCII letter of either case.
    pub(crate) const fn of(byte: u8) -> Self {
        Self((byte & 0x1f).wrapping_sub(1) & 0x1f)
    }

    /// Index from 0 for A.
    pub(crate) const fn index(self) -> usize {
        self.0 as usize
    }

    /// Its bit in a set of letters.
    pub(crate) const fn bit(self) -> u32 {
        1 << self.0
    }

    /// Upper-case character.
    pub(crate) const fn char(self) -> char {
        (b'A' + self.0) as char
    }
}

/// Set of letters, one bit each.
pub(crate) const fn letters(text: &[u8]) -> u32 {
    let (mut set, mut i) = (0, 0);
    while i < text.len() {
        set |= Letter::of(text[i]).bit();
        i += 1;
    }
    set
}

/// X, Y and Z.
pub(crate) const XYZ: u32 = letters(b"XYZ");
/// The rotary axes.
pub(crate) const ROTARY: u32 = letters(b"ABC");
/// Every axis.
pub(crate) const AXES: u32 = XYZ | ROTARY;

/// Most M codes kept of one block.
pub(crate) const MOST_M_CODES: usize = 16;
/// Most tool words kept of one block.
pub(crate) const MOST_TOOL_WORDS: usize = 4;

/// A tool word and whether it stands before the block's M6.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct ToolWord {
    /// Its number.
    pub(crate) number: f64,
    /// Whether M6 stands before it.
    pub(crate) after_change: bool,
}

/// One block as read.
#[derive(Clone, Debug)]
pub(crate) struct Block {
    /// Offset of its first byte in the sources.
    pub(crate) at: u32,
    /// Offset of its line end.
    pub(crate) end: u32,
    /// Letters with a readable value.
    pub(crate) present: u32,
    /// Letters whose number is plain and has no decimal point.
    pub(crate) pointless: u32,
    /// Groups of which a code stands in the block.
    pub(crate) groups: u32,
    /// Whether it is skipped when block delete is on.
    pub(crate) deletable: bool,
    /// Whether anything in it could not be read.
    pub(crate) faulty: bool,
    /// Whether it holds a code of unknown meaning.
    pub(crate) unknown_code: bool,
    /// Whether one of them is a G code, so that the meaning of axis words is unknown too.
    pub(crate) unknown_g_code: bool,
    /// Whether it holds only `%`.
    pub(crate) percent: bool,
    /// Whether there is nothing in it at all, not even a comment.
    pub(crate) blank: bool,
    /// Program number (`O` or `:`), if the block starts with one.
    pub(crate) program_number: Option<u32>,
    /// The last message comment.
    pub(crate) message: Option<Span>,
    /// Parameter settings in order.
    pub(crate) settings: Vec<(u16, f64)>,
    /// Number of tool words.
    pub(crate) tool_count: u8,
    /// Tool words in order.
    pub(crate) tools: [ToolWord; MOST_TOOL_WORDS],
    /// Number of machine-specific codes.
    pub(crate) mapped_count: u8,
    /// Machine-specific codes in order: indices into the dialect's list.
    pub(crate) mapped: [u16; MOST_M_CODES],
    /// Number of M codes, machine-specific ones included.
    pub(crate) m_count: u8,
    codes: [Code; Group::COUNT],
    values: [f64; 32],
}

impl Default for Block {
    fn default() -> Self {
        Self {
            at: 0,
            end: 0,
            present: 0,
            pointless: 0,
            groups: 0,
            deletable: false,
            faulty: false,
            unknown_code: false,
            unknown_g_code: false,
            percent: false,
            blank: true,
            program_number: None,
            message: None,
            settings: Vec::new(),
            tool_count: 0,
            tools: [ToolWord::default(); MOST_TOOL_WORDS],
            mapped_count: 0,
            mapped: [0; MOST_M_CODES],
            m_count: 0,
            codes: [Code::G0; Group::COUNT],
            values: [0.0; 32],
        }
    }
}

impl Block {
    /// Empties it for a line that starts at `at`.
    #[inline]
    pub(crate) fn clear(&mut self, at: u32) {
        self.at = at;
        self.present = 0;
        self.pointless = 0;
        self.groups = 0;
        self.deletable = false;
        self.faulty = false;
        self.unknown_code = false;
        self.unknown_g_code = false;
        self.percent = false;
        self.blank = true;
        self.program_number = None;
        self.message = None;
        self.settings.clear();
        self.tool_count = 0;
        self.mapped_count = 0;
        self.m_count = 0;
    }

    /// Value of a letter; meaningful only if it is present.
    #[inline]
    pub(crate) fn value(&self, letter: u8) -> f64 {
        self.values[Letter::of(letter).index()]
    }

    /// Value of a letter if it is present.
    #[inline]
    pub(crate) fn get(&self, letter: u8) -> Option<f64> {
        self.has(letter).then(|| self.value(letter))
    }

    /// Whether a letter is present.
    #[inline]
    pub(crate) fn has(&self, letter: u8) -> bool {
        self.present & Letter::of(letter).bit() != 0
    }

    /// Sets the value of a letter.
    #[inline]
    pub(crate) fn set(&mut self, letter: Letter, value: f64, without_point: bool) {
        self.present |= letter.bit();
        self.pointless |= u32::from(without_point) << letter.index();
        self.values[letter.index()] = value;
    }

    /// The code of a group, if one stands in the block.
    #[inline]
    pub(crate) fn code(&self, group: Group) -> Option<Code> {
        (self.groups & group.bit() != 0).then(|| self.codes[group as usize])
    }

    /// Whether a given code stands in the block.
    pub(crate) fn has_code(&self, code: Code, group: Group) -> bool {
        self.code(group) == Some(code)
    }

    /// Adds a code; `false` if another one of its group stands there already.
    #[inline]
    pub(crate) fn add_code(&mut self, code: Code, group: Group) -> bool {
        if self.groups & group.bit() != 0 {
            return false;
        }
        self.groups |= group.bit();
        self.codes[group as usize] = code;
        true
    }

    /// The whole block.
    pub(crate) fn span(&self) -> Span {
        Span::new(self.at, self.end)
    }
}
