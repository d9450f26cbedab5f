//! What a fit is good for: questions a shop asks that one pair alone does not answer.
//! `window` is the riders that a bike fits, `rack` those of every bike, `size` a rack for one rider,
//! `compare` two bikes, `book` many children and many bikes, `assign` who gets which, `coverage` whom the rack leaves
//! out, `due` what is to be done when, `stop` why a pair gets no work order, `open` what a file leaves open,
//! `handover` the work list of whoever hands a bike over. Reads the checks; measures nothing itself and draws nothing.

pub mod assign;
pub mod book;
pub mod compare;
pub mod coverage;
pub mod due;
pub mod handover;
pub mod matching;
pub mod open;
pub mod rack;
pub mod size;
pub mod stop;
pub mod window;
