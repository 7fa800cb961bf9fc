//! The desk: shop, store, and what was read and analysed of late, so that report, drawing and time
//! line of one program are computed once.

use crate::Limits;
use crate::error::ApiError;
use crate::recent::Recent;
use axum::http::StatusCode;
use kw_base::source::Bytes;
use kw_base::{SourceFile, Sources};
use kw_checks::Analysis;
use kw_model::shop::SetupChoice;
use kw_model::{Setup, Shop};
use kw_shop::{ProgramId, ProgramRecord, ProgramStore};
use kw_store::Store;
use std::sync::Arc;
use tokio::sync::{Semaphore, SemaphorePermit};

/// Texts read, and analyses computed, at the same time. Our choice: the cores of a small machine.
const AT_A_TIME: usize = 2;

/// Bytes that one permit to receive stands for.
const BYTES_A_PERMIT: u64 = 1_000_000;

/// Memory of an analysis for each byte of text. Measured on programs of 20 and 180 MB.
const MEMORY_A_TEXT_BYTE: u64 = 4;

/// Memory of an analysis for each cell of the sheet's depth map. Measured on the demo shop.
const MEMORY_A_CELL: f64 = 5.0;

/// A program analysed in a setup.
pub struct Analysed {
    /// The text.
    pub text: Arc<Text>,
    /// What it was checked against.
    pub setup: Setup,
    /// All that is known of it.
    pub analysis: Analysis,
}

/// A program's text with its table of lines.
pub struct Text {
    /// The text as the only file.
    pub sources: Sources,
    /// That file; shares the text.
    pub file: SourceFile,
}

impl Text {
    /// A text under its program's name; counts its lines.
    pub fn new(name: &str, bytes: Bytes) -> Result<Self, ApiError> {
        let mut sources = Sources::default();
        let at = sources.add(name, bytes).map_err(|error| ApiError::internal(error.to_string()))?;
        let file = sources.files()[at].clone();
        file.line_count();
        Ok(Self { sources, file })
    }
}

#[derive(Clone, PartialEq, Eq)]
struct TextKey {
    sha256: String,
    name: String,
}

#[derive(PartialEq, Eq)]
struct AnalysisKey {
    text: TextKey,
    machine: String,
    sheet: String,
}

/// Shop, store, recent texts and analyses.
pub struct Desk {
    /// The shop.
    pub shop: Shop,
    /// The store.
    pub store: Store,
    /// What is taken at most.
    pub limits: Limits,
    texts: Recent<TextKey, Text>,
    analyses: Recent<AnalysisKey, Analysed>,
    reading: Semaphore,
    analysing: Semaphore,
    receiving: Semaphore,
}

impl Desk {
    /// A desk without any analysis yet.
    pub fn new(shop: Shop, store: Store, limits: Limits) -> Self {
        Self {
            shop,
            store,
            limits,
            texts: Recent::new(limits.kept_text_bytes),
            analyses: Recent::new(limits.kept_analysis_bytes),
            reading: Semaphore::new(AT_A_TIME),
            analysing: Semaphore::new(AT_A_TIME),
            receiving: Semaphore::new(permits(limits.receiving_bytes) as usize),
        }
    }

    /// Waits until there is room to receive this many bytes; the room is held with the permit.
    pub async fn room_for(&self, bytes: u64) -> Result<SemaphorePermit<'_>, ApiError> {
        let wanted = permits(bytes.min(self.limits.receiving_bytes));
        self.receiving.acquire_many(wanted).await.map_err(|_| stopping())
    }

    /// The text of a program, kept in memory for the next who asks.
    pub async fn text(self: &Arc<Self>, record: &ProgramRecord) -> Result<Arc<Text>, ApiError> {
        let desk = Arc::clone(self);
        let (id, name) = (record.id, record.name.clone());
        let read = move || async move {
            let _turn = desk.reading.acquire().await.map_err(|_| stopping())?;
            let bytes = desk.store.program_text(id).await?;
            on_worker("reading the program", move || Text::new(&name, Arc::new(bytes))).await?
        };
        self.texts.get_or_make(text_key(record), record.bytes, read).await
    }

    /// Keeps the text of a program that has just come in.
    pub async fn keep_text(&self, record: &ProgramRecord, text: Text) -> Result<(), ApiError> {
        let ready = || async { Ok(text) };
        self.texts.get_or_make(text_key(record), record.bytes, ready).await.map(drop)
    }

    /// The analysis of a program; machine and sheet as told, else as the shop suggests.
    pub async fn analysed(
        self: &Arc<Self>,
        id: ProgramId,
        machine: Option<&str>,
        sheet: Option<&str>,
    ) -> Result<Arc<Analysed>, ApiError> {
        let record = self.store.program(id).await?;
        let choice = SetupChoice { program_file: Some(&record.name), machine, sheet };
        let setup = self.shop.setup(choice).map_err(|error| {
            ApiError::new(
                StatusCode::BAD_REQUEST,
                error.message,
                "choose a machine and a sheet of the shop",
            )
        })?;
        let key = AnalysisKey {
            text: text_key(&record),
            machine: setup.machine.id.clone(),
            sheet: setup.sheet.id.clone(),
        };
        let desk = Arc::clone(self);
        let bytes = memory_of(&record, &setup);
        let analyse = move || async move { desk.analyse(&record, setup).await };
        self.analyses.get_or_make(key, bytes, analyse).await
    }

    async fn analyse(
        self: &Arc<Self>,
        record: &ProgramRecord,
        setup: Setup,
    ) -> Result<Analysed, ApiError> {
        let text = self.text(record).await?;
        let _turn = self.analysing.acquire().await.map_err(|_| stopping())?;
        on_worker("the check of this program", move || {
            let analysis = kw_checks::analyse(&text.sources, &setup)
                .map_err(|error| ApiError::internal(error.to_string()))?;
            Ok(Analysed { text, setup, analysis })
        })
        .await?
    }
}

/// Runs heavy work where it keeps no other request waiting.
pub async fn on_worker<T: Send + 'static>(
    what: &'static str,
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, ApiError> {
    tokio::task::spawn_blocking(work)
        .await
        .map_err(|error| ApiError::internal(format!("{what} broke off: {error}")))
}

/// About the memory that an analysis will take, bytes.
fn memory_of(record: &ProgramRecord, setup: &Setup) -> u64 {
    let [x_mm, y_mm] = setup.sheet.size_mm;
    let step_mm = kw_checks::AnalyseOptions::default().step_mm;
    let cells = x_mm / step_mm * (y_mm / step_mm);
    record.bytes.saturating_mul(MEMORY_A_TEXT_BYTE) + (cells * MEMORY_A_CELL) as u64
}

fn permits(bytes: u64) -> u32 {
    u32::try_from(bytes / BYTES_A_PERMIT + 1).unwrap_or(u32::MAX)
}

fn text_key(record: &ProgramRecord) -> TextKey {
    TextKey { sha256: record.sha256.clone(), name: record.name.clone() }
}

fn stopping() -> ApiError {
    ApiError::internal("the server is stopping")
}
