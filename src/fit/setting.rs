//! What to set on the bike for a pair, as a tape reads it: saddle, post and lever.
//! Only reads the pose that `pair` found; how it is said is `report`'s.

use crate::fit::levers::LeverGaps;
use crate::fit::pair::Pair;
use crate::units::Units;

/// Less room than this is none: the saddle is at the end of its range, mm.
pub const NO_ROOM_MM: f64 = 1.0;

/// What to set on the bike, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// Bottom-bracket centre to saddle top, straight.
    pub saddle_height_mm: f64,
    /// Ground to saddle top.
    pub seat_height_mm: f64,
    /// Post above the seat tube; None where post or tube are assumed.
    pub exposed_post_mm: Option<f64>,
    /// Post inside the seat tube; None where post or tube are assumed.
    pub insertion_mm: Option<f64>,
    /// Gap at the hand lever that suits least; None without hand levers or where their range is not given.
    pub lever_gap_mm: Option<f64>,
    /// Gaps at the hand levers, by wheel where they are set unlike.
    pub gaps: LeverGaps,
    /// Whether the post is known to be at its mark: the saddle goes no higher.
    pub is_at_mark: bool,
}

impl Setting {
    /// A height or a length of post as these units show it, mm: where the saddle goes no higher, never rounded up.
    pub fn shown_mm(&self, units: Units, mm: f64) -> f64 {
        if self.is_at_mark {
            units.shown_at_most_mm(mm)
        } else {
            mm
        }
    }

    /// How far the saddle to set may be off, mm, of what is known of that: at the mark it goes no higher, and no ± says
    /// that it may.
    pub fn doubt_mm(&self, sd_mm: Option<f64>) -> Option<f64> {
        sd_mm.filter(|_| !self.is_at_mark)
    }

    /// Stands behind the saddle to set.
    pub const fn never_above(&self) -> &'static str {
        if self.is_at_mark { ", never above" } else { "" }
    }

    /// The same in words.
    pub fn length(&self, units: Units, mm: f64) -> String {
        units.length(self.shown_mm(units, mm))
    }

    /// The same on both rulers of a tape.
    pub fn tape(&self, units: Units, mm: f64) -> String {
        if self.is_at_mark {
            units.tape_at_most(mm)
        } else {
            units.tape(mm)
        }
    }

    /// Post inside beyond a mark, mm: the difference of the two as these units show them, so that the figures that are
    /// told add up. None where post or tube are assumed; never negative.
    pub fn room_shown_mm(&self, units: Units, mark_mm: f64) -> Option<f64> {
        let inside_mm = self.insertion_mm?;
        let room_mm = if self.is_at_mark {
            inside_mm - mark_mm
        } else {
            units.as_shown_mm(inside_mm) - units.shown_at_least_mm(mark_mm)
        };
        Some(room_mm.max(0.0))
    }

    /// How much of the post is inside, in words: where it is just enough, never rounded down.
    pub fn length_inside(&self, units: Units, mm: f64) -> String {
        if self.is_at_mark {
            units.length_at_least(mm)
        } else {
            units.length(mm)
        }
    }

    /// The same on both rulers of a tape.
    pub fn tape_inside(&self, units: Units, mm: f64) -> String {
        if self.is_at_mark {
            units.tape_at_least(mm)
        } else {
            units.tape(mm)
        }
    }
}

/// Saddle heights wanted at the stage, mm; seat heights on a bike without cranks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SaddleBand {
    /// Lowest wanted.
    pub low_mm: f64,
    /// Best.
    pub target_mm: f64,
    /// Highest wanted.
    pub high_mm: f64,
}

impl Pair<'_> {
    /// What to set.
    pub fn setting(&self) -> Setting {
        let (post, position) = (&self.layout.post, self.pose.position);
        let known = |mm: f64| self.bike.knows_post_showing().then_some(mm);
        Setting {
            saddle_height_mm: post.saddle_height_mm(position),
            seat_height_mm: self.layout.seat_height_mm(position),
            exposed_post_mm: known(post.exposed_post_mm(position)),
            insertion_mm: known(post.insertion_mm(position)),
            lever_gap_mm: self.worst_lever().map(|lever| lever.gap_mm),
            gaps: self.lever_gaps_mm(),
            is_at_mark: self.bike.knows_highest_saddle() && post.highest_mm - position < NO_ROOM_MM,
        }
    }

    /// The saddle height for a table that has a column for it; None where the seat height is the figure to use: see
    /// [`Bike::tells_saddle_from_ground`](crate::bike::Bike::tells_saddle_from_ground).
    pub fn tabled_saddle_height_mm(&self) -> Option<f64> {
        let from_bracket = self.setting().saddle_height_mm;
        (!self.bike.tells_saddle_from_ground()).then_some(from_bracket)
    }

    /// Heights of the saddle above the ground that suit at the stage, lowest and highest, mm, before the post's limits.
    /// None when no height lets the leg round the turn.
    pub fn seat_heights_mm(&self) -> Option<[f64; 2]> {
        let band = self.pose.band?;
        Some([band.low, band.high].map(|position| self.layout.seat_height_mm(position)))
    }

    /// The stage's saddle band before the post's limits; None when no height lets the leg round the turn.
    pub fn saddle_band(&self) -> Option<SaddleBand> {
        let tape = |position| self.layout.told_mm(position);
        self.pose.band.map(|band| SaddleBand {
            low_mm: tape(band.low),
            target_mm: tape(band.target),
            high_mm: tape(band.high),
        })
    }
}
