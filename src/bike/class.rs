//! Which product standard a bike falls under, from its highest seat height.
//! Holds the limits that depend on the class: lever reach and toe clearance.
//! Whether a bike meets them is `fit`'s business.

use std::fmt;

use crate::sources::{Cited, Source};

/// Where the classes and their limits come from.
pub const SOURCES: Cited = Cited::new(
    Source::Cfr1512Definitions,
    &[Source::Iso8098, Source::Iso4210, Source::JisD9301],
);
/// Highest seat of a US sidewalk bicycle, mm: 16 CFR 1512.2(b), 25.0 in given as 635 mm.
const SIDEWALK_HIGHEST_MM: f64 = 635.0;
/// Lowest "young adult" seat where the adult lever limit applies, mm: JIS D 9301:2019 5.2.2.
const ADULT_LEVER_LOWEST_SEAT_MM: f64 = 635.0;
/// Rounding of the geometry, mm: a seat height this close to a boundary is on it.
const ROUNDING_MM: f64 = 1e-6;

/// Product class by maximum seat height.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standard {
    /// Maximum seat height 435 mm or lower: below the scope of ISO 8098.
    Toy,
    /// Over 435 and under 635 mm: ISO 8098, young children's bicycle.
    YoungChild,
    /// 635 to under 750 mm: ISO 4210, young adult bicycle.
    YoungAdult,
    /// 750 mm or higher.
    Adult,
}

/// The classes that a bike belongs to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Class {
    /// By ISO scope.
    pub standard: Standard,
    /// US sidewalk bicycle: seat at most 635 mm at its highest (16 CFR 1512.2).
    pub is_sidewalk: bool,
    /// Largest lawful lever reach, mm.
    pub lever_ceiling_mm: f64,
    /// Least toe clearance, mm.
    pub toe_clearance_mm: f64,
}

impl Class {
    /// From the lowest and the highest seat height above ground, mm.
    pub fn from_seat_heights(lowest_mm: f64, highest_mm: f64) -> Self {
        let below = |seat_mm: f64, boundary_mm: f64| seat_mm < boundary_mm - ROUNDING_MM;
        let standard = if highest_mm <= 435.0 + ROUNDING_MM {
            Standard::Toy
        } else if below(highest_mm, 635.0) {
            Standard::YoungChild
        } else if below(highest_mm, 750.0) {
            Standard::YoungAdult
        } else {
            Standard::Adult
        };
        let is_sidewalk = highest_mm <= SIDEWALK_HIGHEST_MM + ROUNDING_MM;
        let lever_ceiling_mm = match standard {
            Standard::YoungChild => 75.0,
            Standard::YoungAdult if below(lowest_mm, ADULT_LEVER_LOWEST_SEAT_MM) => 75.0,
            _ if is_sidewalk => 76.0,
            Standard::Toy | Standard::YoungAdult | Standard::Adult => 89.0,
        };
        let toe_clearance_mm = if standard == Standard::Adult {
            100.0
        } else {
            89.0
        };
        Self {
            standard,
            is_sidewalk,
            lever_ceiling_mm,
            toe_clearance_mm,
        }
    }
}

impl fmt::Display for Class {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self.standard {
            Standard::Toy => "seat too low for ISO 8098",
            Standard::YoungChild => "ISO 8098 young child",
            Standard::YoungAdult => "ISO 4210 young adult",
            Standard::Adult => "adult",
        })?;
        if self.is_sidewalk {
            f.write_str(", US sidewalk bicycle")
        } else {
            Ok(())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn class_boundaries_lie_where_the_scopes_put_them() {
        // ISO 8098:2023 and ISO 4210-2:2023 scopes; 16 CFR 1512.2(b).
        for (highest, standard, is_sidewalk) in [
            (435.0, Standard::Toy, true),
            (435.1, Standard::YoungChild, true),
            (634.9, Standard::YoungChild, true),
            (635.0, Standard::YoungAdult, true),
            (635.1, Standard::YoungAdult, false),
            (749.9, Standard::YoungAdult, false),
            (750.0, Standard::Adult, false),
        ] {
            let class = Class::from_seat_heights(400.0, highest);
            assert_eq!(
                (class.standard, class.is_sidewalk),
                (standard, is_sidewalk),
                "highest seat {highest}"
            );
        }
    }

    #[test]
    fn lever_ceiling_follows_the_class() {
        for (lowest, highest, ceiling) in [
            (380.0, 430.0, 76.0),
            (420.0, 560.0, 75.0),
            (560.0, 700.0, 75.0),
            (640.0, 740.0, 89.0),
            (650.0, 800.0, 89.0),
        ] {
            approx::assert_abs_diff_eq!(
                Class::from_seat_heights(lowest, highest).lever_ceiling_mm,
                ceiling
            );
        }
    }
}
