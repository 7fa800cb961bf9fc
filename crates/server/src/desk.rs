//! The desk: shop, store, and the analyses of late, so that report, drawing and time line of one
//! program are computed once.

use crate::error::ApiError;
use axum::http::StatusCode;
use kw_base::Sources;
use kw_checks::Analysis;
use kw_model::shop::SetupChoice;
use kw_model::{Setup, Shop};
use kw_shop::{ProgramId, ProgramStore};
use kw_store::Store;
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};
use tokio::sync::Semaphore;

/// Text bytes whose analyses are kept in memory. Our choice: a handful of large programs.
const KEPT_TEXT_BYTES: u64 = 200_000_000;

/// Analyses kept at most.
const KEPT_ANALYSES: usize = 32;

/// Analyses computed at the same time. Our choice: one for each core of a small machine.
const AT_A_TIME: usize = 2;

/// A program analysed in a setup.
pub struct Analysed {
    /// The text.
    pub sources: Sources,
    /// What it was checked against.
    pub setup: Setup,
    /// All that is known of it.
    pub analysis: Analysis,
}

#[derive(Clone, PartialEq, Eq)]
struct Key {
    sha256: String,
    name: String,
    machine: String,
    sheet: String,
}

/// Shop, store and recent analyses.
pub struct Desk {
    /// The shop.
    pub shop: Shop,
    /// The store.
    pub store: Store,
    recent: Mutex<VecDeque<(Key, u64, Arc<Analysed>)>>,
    turns: Semaphore,
}

impl Desk {
    /// A desk without any analysis yet.
    pub fn new(shop: Shop, store: Store) -> Self {
        Self { shop, store, recent: Mutex::default(), turns: Semaphore::new(AT_A_TIME) }
    }

    /// The analysis of a program; machine and sheet as told, else as the shop suggests.
    pub async fn analysed(
        self: &Arc<Self>,
        id: i64,
        machine: Option<&str>,
        sheet: Option<&str>,
    ) -> Result<Arc<Analysed>, ApiError> {
        let record = self.store.program(ProgramId(id)).await?;
        let choice = SetupChoice { program_file: Some(&record.name), machine, sheet };
        let setup = self.shop.setup(choice).map_err(|error| {
            ApiError::new(
                StatusCode::BAD_REQUEST,
                error.message,
                "choose a machine and a sheet of the shop",
            )
        })?;
        let key = Key {
            sha256: record.sha256.clone(),
            name: record.name.clone(),
            machine: setup.machine.id.clone(),
            sheet: setup.sheet.id.clone(),
        };
        if let Some(known) = self.recall(&key) {
            return Ok(known);
        }
        let _turn = self.turns.acquire().await.map_err(|_| ApiError::internal("shutting down"))?;
        if let Some(known) = self.recall(&key) {
            return Ok(known);
        }
        let text = self.store.program_text(record.id).await?;
        let name = record.name.clone();
        let analysed = tokio::task::spawn_blocking(move || -> Result<Analysed, ApiError> {
            let sources = Sources::single(&name, text)
                .map_err(|error| ApiError::internal(error.to_string()))?;
            let analysis = kw_checks::analyse(&sources, &setup)
                .map_err(|error| ApiError::internal(error.to_string()))?;
            Ok(Analysed { sources, setup, analysis })
        })
        .await
        .map_err(|error| {
            ApiError::internal(format!("the check of this program broke off: {error}"))
        })??;
        let analysed = Arc::new(analysed);
        self.remember(key, record.bytes, Arc::clone(&analysed));
        Ok(analysed)
    }

    fn recall(&self, key: &Key) -> Option<Arc<Analysed>> {
        let mut recent = self.recent.lock().unwrap_or_else(PoisonError::into_inner);
        let at = recent.iter().position(|(k, ..)| k == key)?;
        let entry = recent.remove(at)?;
        let found = Arc::clone(&entry.2);
        recent.push_front(entry);
        Some(found)
    }

    fn remember(&self, key: Key, bytes: u64, analysed: Arc<Analysed>) {
        let mut recent = self.recent.lock().unwrap_or_else(PoisonError::into_inner);
        recent.push_front((key, bytes, analysed));
        let total = |r: &VecDeque<(Key, u64, Arc<Analysed>)>| r.iter().map(|e| e.1).sum::<u64>();
        while recent.len() > 1 && (recent.len() > KEPT_ANALYSES || total(&recent) > KEPT_TEXT_BYTES)
        {
            recent.pop_back();
        }
    }
}
