//! `kerfwright schema`: published schemas.

use crate::Outcome;
use anyhow::Result;
use clap::{Args, ValueEnum};
use kw_api::schema::json_schema;
use kw_api::{ReadReport, Report, SpeedsReport};

/// Options of `schema`.
#[derive(Args)]
pub struct SchemaArguments {
    /// Which schema.
    document: Document,
}

#[derive(Clone, Copy, ValueEnum)]
enum Document {
    /// What `check --json` prints.
    Report,
    /// What `read --json` prints.
    Read,
    /// What `speeds --json` prints.
    Speeds,
    /// The HTTP API, as an OpenAPI document.
    Openapi,
}

/// Prints the schema.
pub fn run(arguments: &SchemaArguments) -> Result<Outcome> {
    let schema = match arguments.document {
        Document::Report => json_schema::<Report>("kerfwright check report"),
        Document::Read => json_schema::<ReadReport>("kerfwright read report"),
        Document::Speeds => json_schema::<SpeedsReport>("kerfwright speeds report"),
        Document::Openapi => serde_json::from_str(&kw_server::openapi_json())?,
    };
    anstream::println!("{}", serde_json::to_string_pretty(&schema)?);
    Ok(Outcome::Fine)
}
