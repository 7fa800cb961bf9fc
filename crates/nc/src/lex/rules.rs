//! The parts of a dialect that matter to the characters of a program.

use super::codes::CodeTable;
use kw_model::Dialect;
use kw_model::dialect::IntegerRule;

/// Letters without meaning of their own.
const FREE: &[u8] = b"EUVW";

/// Letters that another one may stand for.
const WORDS: &[u8] = b"ABCDFHIJKLPQRSXYZ";

/// What the reader of lines must know of the dialect.
#[derive(Clone, Debug)]
pub(crate) struct LexRules {
    /// Only the published rules.
    pub(crate) strict: bool,
    /// `;` starts a comment.
    pub(crate) semicolon: bool,
    /// `'` starts a comment.
    pub(crate) apostrophe: bool,
    /// `{` and `}` enclose a comment.
    pub(crate) braces: bool,
    /// `O` and `:` start a program number.
    pub(crate) program_numbers: bool,
    /// `,` is a decimal mark.
    pub(crate) decimal_comma: bool,
    /// Lengths without a decimal point are thousandths.
    pub(crate) thousandths: bool,
    /// Letters that are read as others, in upper case.
    pub(crate) letters: Vec<(u8, u8)>,
    /// What codes mean.
    pub(crate) codes: CodeTable,
}

impl LexRules {
    /// The rules of a dialect.
    pub(crate) fn new(dialect: &Dialect) -> Self {
        let habit = !dialect.strict;
        Self {
            strict: dialect.strict,
            semicolon: habit && dialect.semicolon_comments,
            apostrophe: habit && dialect.apostrophe_comments,
            braces: habit && dialect.brace_comments,
            program_numbers: habit && dialect.program_numbers,
            decimal_comma: habit && dialect.decimal_comma,
            thousandths: habit && dialect.integers == IntegerRule::Thousandths,
            letters: letters(dialect),
            codes: CodeTable::new(dialect),
        }
    }
}

fn letters(dialect: &Dialect) -> Vec<(u8, u8)> {
    let upper = |c: char| u8::try_from(c.to_ascii_uppercase()).unwrap_or(0);
    let pairs = dialect.letter_alias.iter().map(|a| (upper(a.letter), upper(a.means)));
    let sound = |&(letter, means): &(u8, u8)| FREE.contains(&letter) && WORDS.contains(&means);
    if dialect.strict { Vec::new() } else { pairs.filter(sound).collect() }
}
