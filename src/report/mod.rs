//! Fits as people and programs read them: `text` for a terminal, `rack` for windows, `json` for the contract.
//! Computes no fit; words come from the findings.

pub mod compare_text;
mod growth_text;
pub mod json;
pub mod rack;
pub mod text;
