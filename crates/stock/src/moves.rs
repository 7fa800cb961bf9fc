//! What each move took away, in columns.

/// What each move did to the sheet; all columns as long as the toolpath.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MoveColumns {
    /// Volume removed, mm³. Knives remove nothing.
    pub volume_mm3: Vec<f32>,
    /// Area of the cells lowered, seen from above, mm². Where a move had to be split into chords, a
    /// cell that several of them lower counts as often.
    pub swept_mm2: Vec<f32>,
    /// Area newly cut through, seen from above, mm².
    pub opened_mm2: Vec<f32>,
    /// Mean depth by which those cells were lowered, mm; 0 if none. For moves shorter than
    /// `engagement_window_mm` the mean over the moves around it.
    pub axial_depth_mm: Vec<f32>,
    /// Mean width of the strip that was lowered: area by length of way, at most the cutting
    /// diameter, mm; averaged as the axial depth. 0 for straight plunges.
    pub radial_width_mm: Vec<f32>,
    /// Which way the edges met the material: +1 all climb, −1 all conventional, 0 a full slot,
    /// a plunge, nothing removed, or a spindle that stands; averaged as the axial depth.
    pub climb: Vec<f32>,
    /// Most that one cell was lowered, mm.
    pub bite_mm: Vec<f32>,
    /// How far the tip went below the sheet's lower face, mm, over the sheet or beside it.
    pub below_bottom_mm: Vec<f32>,
    /// What happened.
    pub flags: Vec<MoveFlags>,
}

/// What happened in a move, as a set of bits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct MoveFlags(pub u8);

impl MoveFlags {
    /// It lowered at least one cell.
    pub const CUTS: Self = Self(1);
    /// A rapid lowered a cell by more than the contact tolerance.
    pub const RAPID_CUTS: Self = Self(2);
    /// It went straight down and lowered cells.
    pub const PLUNGE: Self = Self(4);
    /// The shank above the usable length touched material.
    pub const SHANK_TOUCHES: Self = Self(8);
    /// The holder touched material.
    pub const HOLDER_TOUCHES: Self = Self(16);
    /// It creased or drew on the sheet.
    pub const MARKS: Self = Self(32);
    /// It could not be swept; see [`crate::Stock::gaps`].
    pub const NOT_SWEPT: Self = Self(64);
    /// A knife severed material.
    pub const SEVERS: Self = Self(128);

    /// Whether all bits of `other` are set.
    pub fn has(self, other: Self) -> bool {
        self.0 & other.0 == other.0
    }

    pub(crate) fn set(&mut self, other: Self, on: bool) {
        if on {
            self.0 |= other.0;
        }
    }
}
