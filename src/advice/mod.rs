//! What a fit is good for: questions a shop asks that one pair alone does not answer.
//! `window` is the riders that a bike fits, `rack` those of every bike, `size` a rack for one rider,
//! `compare` two bikes, `stop` why a pair gets no work order, `handover` the work list of whoever hands a bike over.
//! `open` what a file leaves open. Reads the checks; measures nothing itself and draws nothing.

pub mod compare;
pub mod handover;
pub mod open;
pub mod rack;
pub mod size;
pub mod stop;
pub mod window;
