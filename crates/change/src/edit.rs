//! Guarded edits of a program's text: only the words concerned change, everything else keeps its
//! bytes, and the changed text is read again and held against the wish before it is handed out.

mod error;
mod guard;
mod modal;
mod patch;
mod pause;
mod scope;
mod style;
mod traced;
mod wish;
mod words;

pub use error::EditError;
pub use patch::Patch;
pub use scope::Scope;

use kw_base::Sources;
use kw_nc::ReadContext;
use traced::Traced;

/// How much.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// Times this; above 0.
    Factor(f64),
    /// To this value, mm/min or 1/min; above 0.
    Value(f64),
}

/// Which feed moves are meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FeedPart {
    /// Moves that do not go down, and their way back up.
    Cut,
    /// Moves that end lower than they start, ramps and helixes included, and all of a canned cycle.
    Plunge,
}

/// One change of a program.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Edit {
    /// Feed of cuts or of plunges.
    Feed {
        /// Which moves.
        part: FeedPart,
        /// By or to how much, mm/min.
        amount: Amount,
    },
    /// Spindle speed of feed moves.
    Speed(Amount),
    /// Another tool number, in T words and in the H and D words that go with it.
    SwapTool {
        /// Number as it is.
        from: u32,
        /// Number as it is to be.
        to: u32,
    },
    /// Another depth: Z of feed moves and cycles.
    Depth {
        /// Z as the program means it, in its own unit.
        from: f64,
        /// Z as it is to be.
        to: f64,
    },
    /// A pause (M0) on a line of its own.
    InsertPause {
        /// Line of the block that it comes before, from 1.
        before_line: u32,
    },
    /// A pause (M0 or M1) taken out.
    RemovePause {
        /// Its line, from 1.
        line: u32,
    },
    /// Another datum: G54 to G59.3.
    Datum {
        /// Work system as it is, 1 to 9.
        from: u8,
        /// Work system as it is to be.
        to: u8,
    },
}

/// What is to be changed, and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EditRequest {
    /// The change.
    pub edit: Edit,
    /// Where it holds.
    pub scope: Scope,
}

/// A changed text that reads as wished.
#[derive(Clone, Debug, PartialEq)]
pub struct Edited {
    /// The new text of the main program.
    pub text: Vec<u8>,
    /// What was replaced in the old text, in order; they do not overlap.
    pub patches: Vec<Patch>,
    /// Moves that are different now.
    pub moves_changed: usize,
}

/// Applies one edit to the main program (file 0) and proves it.
///
/// Refuses, see [`EditError`], where a word cannot be changed without changing more than wished:
/// values by expression, blocks that run several times with different wishes, words in other files.
/// Cost is linear in the blocks run, which is bounded.
pub fn edit(
    sources: &Sources,
    context: &ReadContext<'_>,
    request: &EditRequest,
) -> Result<Edited, EditError> {
    check_figures(request)?;
    let traced = Traced::read(sources, context)?;
    let patches = match request.edit {
        Edit::Feed { .. } | Edit::Speed(_) => modal::patches(sources, context, &traced, request)?,
        Edit::SwapTool { from, to } => {
            words::swap_tool(sources, context, &traced, request, (from, to))?
        }
        Edit::Depth { from, to } => words::depth(sources, &traced, request, (from, to))?,
        Edit::Datum { from, to } => words::datum(sources, &traced, request, (from, to))?,
        Edit::InsertPause { before_line } => pause::insert(sources, &traced, before_line)?,
        Edit::RemovePause { line } => pause::remove(sources, &traced, line)?,
    };
    if patches.is_empty() {
        return Err(EditError::NothingToChange);
    }
    let patches = patch::in_order(patches)?;
    let text = patch::apply(sources, &patches);
    let changed = replaced(sources, text.clone())?;
    let moves_changed = guard::prove(sources, &changed, context, request)?;
    Ok(Edited { text, patches, moves_changed })
}

/// The same sources with another main program.
fn replaced(sources: &Sources, text: Vec<u8>) -> Result<Sources, EditError> {
    let mut files = sources.files().iter();
    let name = files.next().map_or("", |f| f.name.as_str());
    let mut new = Sources::single(name, text).map_err(|_| EditError::TooLong)?;
    for file in files {
        let bytes = std::sync::Arc::new(file.bytes().to_vec());
        new.add(&file.name, bytes).map_err(|_| EditError::TooLong)?;
    }
    Ok(new)
}

fn check_figures(request: &EditRequest) -> Result<(), EditError> {
    let wrong = |what: &'static str| Err(EditError::FigureNotUsable { what });
    match request.edit {
        Edit::Feed { amount, .. } | Edit::Speed(amount) => {
            let (Amount::Factor(v) | Amount::Value(v)) = amount;
            if !(v > 0.0 && v < 1e9) {
                return wrong("a factor or value must be above 0 and below 1e9");
            }
        }
        Edit::Depth { from, to } => {
            if !(from.abs() < 1e6 && to.abs() < 1e6) || from == to {
                return wrong("two different depths below 1e6 are wanted");
            }
        }
        Edit::SwapTool { from, to } => {
            if from == to || from == 0 || to == 0 || to > 99_999 {
                return wrong("two different tool numbers from 1 to 99999 are wanted");
            }
        }
        Edit::Datum { from, to } => {
            if from == to || !(1..=9).contains(&from) || !(1..=9).contains(&to) {
                return wrong("two different datums of G54 to G59.3 are wanted");
            }
        }
        Edit::InsertPause { .. } | Edit::RemovePause { .. } => {}
    }
    let words_only = matches!(request.edit, Edit::SwapTool { .. } | Edit::Datum { .. });
    if words_only && !matches!(request.scope, Scope::All | Scope::Lines { .. }) {
        return wrong("tool numbers and datums change in the whole program or in a range of lines");
    }
    Ok(())
}
