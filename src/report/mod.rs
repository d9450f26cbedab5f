//! Fits as people and programs read them: `text` and its companions for a terminal, `json` for the
//! contract, `card` and `build_sheet` for paper.
//! Computes no fit; words come from the findings.

pub mod build_sheet;
pub mod card;
pub mod compare_text;
pub mod contract;
mod growth_text;
pub mod handover_text;
pub mod json;
pub mod rack;
pub mod schema;
mod sheet;
pub mod size_text;
pub mod text;
