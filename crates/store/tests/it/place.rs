//! Where a story's store is, and ways past the store to its tables.

use kw_store::{Store, StoreOptions};
use sqlx::{AssertSqlSafe, Connection, Executor, PgConnection, SqlSafeStr, SqliteConnection};
use std::path::PathBuf;

/// A place for a store.
#[derive(Clone)]
pub enum Place {
    Sqlite(PathBuf),
    Postgres(String),
}

/// A plain connection, past the store.
enum Plain {
    Sqlite(SqliteConnection),
    Postgres(PgConnection),
}

/// Runs a future on a runtime with several threads.
pub fn run<T>(story: impl Future<Output = T>) -> T {
    tokio::runtime::Builder::new_multi_thread().enable_all().build().unwrap().block_on(story)
}

impl Place {
    /// The place as one argument of a child process, and back.
    pub fn to_argument(&self) -> String {
        match self {
            Self::Sqlite(path) => path.to_str().unwrap().to_owned(),
            Self::Postgres(url) => url.clone(),
        }
    }

    pub fn from_argument(argument: &str) -> Self {
        match argument.starts_with("postgres://") {
            true => Self::Postgres(argument.to_owned()),
            false => Self::Sqlite(argument.into()),
        }
    }

    pub fn options(&self) -> StoreOptions {
        match self {
            Self::Sqlite(path) => StoreOptions::SqliteFile(path.clone()),
            Self::Postgres(url) => StoreOptions::PostgresUrl(url.clone()),
        }
    }

    pub async fn open(&self) -> Store {
        Store::open(&self.options()).await.unwrap()
    }

    async fn plain(&self) -> Plain {
        match self {
            Self::Sqlite(path) => {
                let url = format!("sqlite://{}", path.display());
                Plain::Sqlite(SqliteConnection::connect(&url).await.unwrap())
            }
            Self::Postgres(url) => Plain::Postgres(PgConnection::connect(url).await.unwrap()),
        }
    }

    /// Runs a statement past the store; gives the number of rows it changed.
    pub async fn execute(&self, sql: &str) -> u64 {
        let sql = AssertSqlSafe(sql.to_owned());
        match self.plain().await {
            Plain::Sqlite(mut c) => c.execute(sql).await.unwrap().rows_affected(),
            Plain::Postgres(mut c) => c.execute(sql).await.unwrap().rows_affected(),
        }
    }

    /// Prepares a statement; what the database says if it cannot.
    pub async fn prepare(&self, sql: &'static str) -> Result<(), sqlx::Error> {
        match self.plain().await {
            Plain::Sqlite(mut c) => c.prepare(sql.into_sql_str()).await.map(drop),
            Plain::Postgres(mut c) => c.prepare(sql.into_sql_str()).await.map(drop),
        }
    }
}
