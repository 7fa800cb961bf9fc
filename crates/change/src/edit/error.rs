//! Why an edit is refused.

use std::fmt;

/// Why an edit is refused; lines count from 1 in the main program.
#[derive(Clone, Debug, PartialEq)]
pub enum EditError {
    /// A figure of the request makes no sense.
    FigureNotUsable {
        /// What is wanted.
        what: &'static str,
    },
    /// No word of the program is concerned.
    NothingToChange,
    /// A block runs several times, and not every run is to change alike.
    RunsDifferently {
        /// Its line.
        line: u32,
        /// Letter of the word concerned.
        letter: char,
    },
    /// The moves of one block are not to change alike.
    MixedBlock {
        /// Its line.
        line: u32,
    },
    /// The value is an expression or parameter, which may serve other places too.
    NotPlainNumber {
        /// Its line.
        line: u32,
        /// The letter of the word.
        letter: char,
    },
    /// The word stands in another file than the main program.
    InOtherFile {
        /// Name of the file.
        file: String,
        /// Line there.
        line: u32,
    },
    /// A feed cannot be set to a value where F is not a length per minute.
    NotPerMinute {
        /// The line.
        line: u32,
    },
    /// There is no block that runs on the line.
    NoBlock {
        /// The line.
        line: u32,
    },
    /// The line has no M0 or M1 that runs.
    NoPause {
        /// The line.
        line: u32,
    },
    /// The changed program would not do just what was wished.
    NotAsWished {
        /// Line of the old program where it would differ; 0 if it is none of one line.
        line: u32,
        /// In what.
        what: String,
    },
    /// More blocks run than edits follow.
    TooLong,
}

impl fmt::Display for EditError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::FigureNotUsable { what } => f.write_str(what),
            Self::NothingToChange => {
                f.write_str("nothing to change: no word of the program is concerned")
            }
            Self::RunsDifferently { line, letter } => write!(
                f,
                "line {line}: the block runs several times and its {letter} would have to differ \
                 from run to run; widen the range or write the subprogram out"
            ),
            Self::MixedBlock { line } => write!(
                f,
                "line {line}: one block gives moves inside and outside of the range; widen the \
                 range to the whole block"
            ),
            Self::NotPlainNumber { line, letter } => write!(
                f,
                "line {line}: {letter} is no plain number but an expression or parameter; change \
                 the parameter by hand"
            ),
            Self::InOtherFile { file, line } => write!(
                f,
                "{file}:{line} would have to change, but only the main program can be edited here"
            ),
            Self::NotPerMinute { line } => write!(
                f,
                "line {line}: F is not a length per minute there (G93 or G95); give a factor \
                 instead of a value"
            ),
            Self::NoBlock { line } => {
                write!(f, "line {line}: no block runs there just once; choose another line")
            }
            Self::NoPause { line } => write!(f, "line {line}: there is no M0 or M1 that runs"),
            Self::NotAsWished { line: 0, what } => {
                write!(f, "the changed program would not do just what was wished: {what}")
            }
            Self::NotAsWished { line, what } => write!(
                f,
                "line {line}: the changed program would not do just what was wished: {what}"
            ),
            Self::TooLong => f.write_str("the program is too long to be edited"),
        }
    }
}

impl std::error::Error for EditError {}
