//! The shop and the checks.

use crate::Desk;
use crate::views::CheckView;
use axum::Json;
use axum::extract::State;
use kw_api::ShopView;
use std::sync::Arc;

/// The shop as the page draws it.
#[utoipa::path(get, path = "/api/v1/shop", responses((status = 200, body = ShopView)))]
pub async fn get_shop(State(desk): State<Arc<Desk>>) -> Json<ShopView> {
    Json(ShopView::from(&desk.shop))
}

/// All checks with their explanations.
#[utoipa::path(get, path = "/api/v1/checks", responses((status = 200, body = Vec<CheckView>)))]
pub async fn get_checks() -> Json<Vec<CheckView>> {
    Json(kw_checks::infos().into_iter().map(Into::into).collect())
}
