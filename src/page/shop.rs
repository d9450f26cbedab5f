//! What every screen needs at hand: who stands behind the counter, and the door.
//! Shared by all requests and never changed.
//! Taking requests is `server`'s business.

use std::sync::Arc;

use crate::page::Counter;
use crate::page::door::Door;

/// The shop.
#[derive(Clone)]
pub(super) struct Shop {
    pub(super) counter: Arc<dyn Counter>,
    pub(super) door: Arc<Door>,
}
