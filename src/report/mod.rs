//! Fits as people and programs read them: `text` and its companions for a terminal, `json` for the
//! contract, `card` for paper.
//! Computes no fit; words come from the findings.

pub mod card;
pub mod compare_text;
pub mod contract;
pub(crate) mod growth_text;
pub mod handover_text;
pub mod json;
pub mod rack;
pub mod schema;
pub mod size_text;
pub mod terminal;
pub mod text;
pub(crate) mod verdict_text;
