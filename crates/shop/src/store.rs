//! What any store must do.

use crate::{NewProgram, ProgramId, ProgramRecord};

/// Why a store could not do what it was asked.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// There is no program of that number.
    #[error("there is no program {0}")]
    NoSuchProgram(i64),
    /// The database did not do it.
    #[error("the database could not {doing}: {why}")]
    Database {
        /// What was being done.
        doing: &'static str,
        /// What the database said.
        why: String,
    },
    /// A later version of this program has changed the tables.
    #[error(
        "the database was written by a newer Kerfwright (its tables are at version {0}, unknown \
         to this one); start that one, or choose another data folder"
    )]
    Newer(i64),
    /// What the database holds contradicts itself.
    #[error("the database is damaged: {0}")]
    Damaged(String),
}

/// Keeps programs. Whatever a call has acknowledged is there after a crash or power loss.
pub trait ProgramStore {
    /// Keeps a program; gives the one already kept (and `false`) if name and text are the same.
    fn add_program(
        &self,
        program: &NewProgram,
    ) -> impl Future<Output = Result<(ProgramRecord, bool), StoreError>> + Send;

    /// All programs, newest first.
    fn programs(&self) -> impl Future<Output = Result<Vec<ProgramRecord>, StoreError>> + Send;

    /// One program.
    fn program(
        &self,
        id: ProgramId,
    ) -> impl Future<Output = Result<ProgramRecord, StoreError>> + Send;

    /// The text of a program, byte for byte as received; checked against its hash.
    fn program_text(
        &self,
        id: ProgramId,
    ) -> impl Future<Output = Result<Vec<u8>, StoreError>> + Send;
}
