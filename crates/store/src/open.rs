//! Opening a store and bringing its tables up to date.

use crate::failed;
use kw_shop::StoreError;
use sqlx::migrate::MigrateError;
use sqlx::postgres::{PgPool, PgPoolOptions};
use sqlx::sqlite::{
    SqliteConnectOptions, SqliteJournalMode, SqlitePool, SqlitePoolOptions, SqliteSynchronous,
};
use std::path::PathBuf;
use std::str::FromStr;
use std::time::Duration;

/// Where the store is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StoreOptions {
    /// A SQLite file, made if it is not there.
    SqliteFile(PathBuf),
    /// A PostgreSQL database by its address.
    PostgresUrl(String),
}

/// An open store; cheap to clone.
#[derive(Clone, Debug)]
pub struct Store {
    pub(crate) pools: Pools,
}

/// The connections of one back end.
#[derive(Clone, Debug)]
pub(crate) enum Pools {
    /// SQLite: one connection writes, several read.
    Sqlite { write: SqlitePool, read: SqlitePool },
    /// PostgreSQL.
    Postgres(PgPool),
}

/// How long a SQLite statement waits for another process's lock. Our choice: the largest program
/// (500 MB) is written in that time on a slow disk.
const BUSY_TIMEOUT: Duration = Duration::from_secs(30);

/// How long a request waits for a connection that others use. Our choice: several large programs.
const TURN_TIMEOUT: Duration = Duration::from_secs(120);

/// Bytes to which the write-ahead log shrinks again after a large program.
const LOG_BYTES: &str = "67108864";

/// Attempts to bring a SQLite file up to date while other processes do the same.
const ATTEMPTS: u32 = 20;

/// Time between two such attempts.
const ATTEMPT_EVERY: Duration = Duration::from_millis(100);

/// Reading connections. Our choice: twice the cores of a small machine.
const READERS: u32 = 4;

impl Store {
    /// Opens a store and brings its tables up to date.
    pub async fn open(options: &StoreOptions) -> Result<Self, StoreError> {
        let pools = match options {
            StoreOptions::SqliteFile(path) => open_sqlite(path).await?,
            StoreOptions::PostgresUrl(url) => open_postgres(url).await?,
        };
        Ok(Self { pools })
    }

    /// Closes all connections; what was acknowledged is on disk.
    pub async fn close(&self) {
        match &self.pools {
            Pools::Sqlite { write, read } => {
                read.close().await;
                write.close().await;
            }
            Pools::Postgres(pool) => pool.close().await,
        }
    }
}

async fn open_sqlite(path: &std::path::Path) -> Result<Pools, StoreError> {
    let options = SqliteConnectOptions::new()
        .filename(path)
        .create_if_missing(true)
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full)
        .foreign_keys(true)
        .pragma("journal_size_limit", LOG_BYTES)
        .busy_timeout(BUSY_TIMEOUT);
    let write = SqlitePoolOptions::new()
        .max_connections(1)
        .acquire_timeout(TURN_TIMEOUT)
        .connect_with(options.clone())
        .await
        .map_err(failed("open its file"))?;
    migrate_sqlite(&write).await?;
    let read = SqlitePoolOptions::new()
        .max_connections(READERS)
        .acquire_timeout(TURN_TIMEOUT)
        .connect_with(options.read_only(true).create_if_missing(false))
        .await
        .map_err(failed("open its file for reading"))?;
    Ok(Pools::Sqlite { write, read })
}

/// Brings a SQLite file up to date. Other processes may do so at the same time, and sqlx takes no
/// lock on SQLite: who comes second is rolled back, and finds it done at the next attempt.
async fn migrate_sqlite(pool: &SqlitePool) -> Result<(), StoreError> {
    let migrations = sqlx::migrate!("migrations/sqlite");
    let mut attempt = 1;
    loop {
        match migrations.run(pool).await {
            Err(MigrateError::Execute(_) | MigrateError::ExecuteMigration(..))
                if attempt < ATTEMPTS =>
            {
                attempt += 1;
                tokio::time::sleep(ATTEMPT_EVERY).await;
            }
            done => return done.map_err(migration_failed),
        }
    }
}

async fn open_postgres(url: &str) -> Result<Pools, StoreError> {
    let options =
        sqlx::postgres::PgConnectOptions::from_str(url).map_err(failed("use its address"))?;
    let pool = PgPoolOptions::new()
        .max_connections(READERS * 2)
        .acquire_timeout(TURN_TIMEOUT)
        .connect_with(options)
        .await
        .map_err(failed("be reached"))?;
    sqlx::migrate!("migrations/postgres").run(&pool).await.map_err(migration_failed)?;
    Ok(Pools::Postgres(pool))
}

fn migration_failed(error: MigrateError) -> StoreError {
    match error {
        MigrateError::VersionMissing(version) => StoreError::Newer(version),
        other => {
            StoreError::Database { doing: "bring its tables up to date", why: other.to_string() }
        }
    }
}
