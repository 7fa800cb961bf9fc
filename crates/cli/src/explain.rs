//! `kerfwright explain`: what a check finds, why it matters, how to mend it.

use crate::Outcome;
use anyhow::{Result, bail};
use clap::Args;

/// Options of `explain`.
#[derive(Args)]
pub struct ExplainArguments {
    /// Name of the check, as findings show it in brackets; all checks are listed if left out.
    check: Option<String>,
}

/// Prints the explanation, or the list.
pub fn run(arguments: &ExplainArguments) -> Result<Outcome> {
    let Some(name) = &arguments.check else {
        for info in kw_checks::infos() {
            anstream::println!("{:<5} {:<26} {}", info.severity.word(), info.name, info.title);
        }
        return Ok(Outcome::Fine);
    };
    let Some(info) = kw_checks::explain(name) else {
        bail!("no check `{name}`; `kerfwright explain` lists them all");
    };
    anstream::println!("{}[{}] {}\n", info.severity.word(), info.name, info.title);
    anstream::println!("{}", info.full_text());
    Ok(Outcome::Fine)
}
