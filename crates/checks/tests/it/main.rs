//! Every check on its own fixtures, and what holds of the analysis as a whole.

mod fixtures;
mod whole;
