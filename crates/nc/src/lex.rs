//! From bytes to blocks: characters, numbers, expressions, words, one line at a time.
//!
//! Values are computed while reading, because every parameter on a line is read before any setting
//! on it takes effect (NISTIR 6556, section 3.3.2.2).

pub(crate) mod block;
pub(crate) mod codes;
mod comments;
mod expression;
mod functions;
mod number;
mod reader;
pub(crate) mod rules;
mod words;

pub(crate) use block::Block;
pub(crate) use codes::{Code, Group};
pub(crate) use functions::FUNCTIONS;
pub(crate) use reader::{LineContext, LineReader, line_end, next_line};
pub(crate) use rules::LexRules;
