//! Fits as people and programs read them: `text` and its companions for a terminal, `json` for the
//! contract, `card` and `build_sheet` for paper.
//! Computes no fit; words come from the findings.

pub mod assign_list;
pub mod assign_text;
pub(crate) mod assumed;
pub mod build_sheet;
pub mod card;
pub mod check_text;
pub mod compare_text;
pub mod contract;
pub mod coverage_text;
pub mod due_text;
pub(crate) mod growth_text;
pub mod handover_text;
pub mod json;
pub mod new_frame;
pub mod rack;
pub mod schema;
pub(crate) mod sheet;
pub mod size_text;
mod skipped;
pub mod terminal;
pub mod text;
pub(crate) mod verdict_text;
