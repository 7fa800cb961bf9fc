//! Programs in the database: a record, and the text in parts shared by equal texts.

use crate::open::Pools;
use crate::statements::{
    ADD_PART, ADD_PROGRAM, FIND_PROGRAM, GET_PART, GET_PROGRAM, LIST_PROGRAMS,
};
use crate::{Store, failed};
use kw_shop::{NewProgram, ProgramId, ProgramRecord, ProgramStore, StoreError, TextHash};

/// Bytes of one part of a text. Our choice: far below what either database takes in one value.
const PART_BYTES: usize = 4 << 20;

type Row = (i64, String, String, i64, i64, i64);

fn record((id, name, sha256, bytes, lines, added_at_ms): Row) -> ProgramRecord {
    ProgramRecord {
        id: ProgramId(id),
        name,
        sha256,
        bytes: bytes.max(0) as u64,
        lines: u32::try_from(lines).unwrap_or(u32::MAX),
        added_at_ms,
    }
}

/// Adds a program inside an open transaction; the same text runs on both databases.
macro_rules! add_in {
    ($transaction:expr, $program:expr) => {{
        let added = sqlx::query(ADD_PROGRAM)
            .bind(&$program.name)
            .bind($program.sha256())
            .bind($program.text().len() as i64)
            .bind(i64::from($program.lines))
            .bind($program.now_ms)
            .execute(&mut *$transaction)
            .await
            .map_err(failed("keep a program"))?
            .rows_affected()
            > 0;
        if added {
            for (part, content) in $program.text().chunks(PART_BYTES).enumerate() {
                sqlx::query(ADD_PART)
                    .bind($program.sha256())
                    .bind(part as i64)
                    .bind(content)
                    .execute(&mut *$transaction)
                    .await
                    .map_err(failed("keep a program's text"))?;
            }
        }
        let row: Row = sqlx::query_as(FIND_PROGRAM)
            .bind($program.sha256())
            .bind(&$program.name)
            .fetch_one(&mut *$transaction)
            .await
            .map_err(failed("find a program"))?;
        (record(row), added)
    }};
}

/// Runs a query on whichever database is open.
macro_rules! on_either {
    ($store:expr, $pool:ident => $query:expr) => {
        match &$store.pools {
            Pools::Sqlite { read: $pool, .. } => $query,
            Pools::Postgres($pool) => $query,
        }
    };
}

impl ProgramStore for Store {
    async fn add_program(&self, program: &NewProgram) -> Result<(ProgramRecord, bool), StoreError> {
        let begin = failed("begin to write");
        let commit = failed("finish writing");
        match &self.pools {
            Pools::Sqlite { write, .. } => {
                let mut transaction = write.begin_with("begin immediate").await.map_err(begin)?;
                let added = add_in!(transaction, program);
                transaction.commit().await.map_err(commit)?;
                Ok(added)
            }
            Pools::Postgres(pool) => {
                let mut transaction = pool.begin().await.map_err(begin)?;
                let added = add_in!(transaction, program);
                transaction.commit().await.map_err(commit)?;
                Ok(added)
            }
        }
    }

    async fn programs(&self) -> Result<Vec<ProgramRecord>, StoreError> {
        let rows: Vec<Row> =
            on_either!(self, pool => sqlx::query_as(LIST_PROGRAMS).fetch_all(pool).await)
                .map_err(failed("list programs"))?;
        Ok(rows.into_iter().map(record).collect())
    }

    async fn program(&self, id: ProgramId) -> Result<ProgramRecord, StoreError> {
        let row: Option<Row> = on_either!(self, pool => {
            sqlx::query_as(GET_PROGRAM).bind(id.0).fetch_optional(pool).await
        })
        .map_err(failed("find a program"))?;
        row.map(record).ok_or(StoreError::NoSuchProgram(id.0))
    }

    async fn program_text(&self, id: ProgramId) -> Result<Vec<u8>, StoreError> {
        let program = self.program(id).await?;
        let damaged = |what: String| {
            StoreError::Damaged(format!("program {} ({}): {what}", id.0, program.name))
        };
        let mut text = Vec::new();
        usize::try_from(program.bytes)
            .ok()
            .and_then(|bytes| text.try_reserve_exact(bytes).ok())
            .ok_or_else(|| damaged(format!("it cannot have {} bytes", program.bytes)))?;
        // Hashed part by part, so that other requests run in between.
        let mut hash = TextHash::default();
        for part in 0_i64.. {
            if text.len() as u64 >= program.bytes {
                break;
            }
            let content: Option<(Vec<u8>,)> = on_either!(self, pool => {
                sqlx::query_as(GET_PART).bind(&program.sha256).bind(part).fetch_optional(pool).await
            })
            .map_err(failed("read a program's text"))?;
            let Some((content,)) = content else { break };
            hash.add(&content);
            text.extend_from_slice(&content);
        }
        if text.len() as u64 != program.bytes {
            return Err(damaged(format!(
                "{} of its {} bytes are there",
                text.len(),
                program.bytes
            )));
        }
        if hash.hex() != program.sha256 {
            return Err(damaged("its text does not match its hash".to_owned()));
        }
        Ok(text)
    }
}
