//! Boxes stacked in a column without overlap, each as near to where it would like to be as the others allow.
//! Exact least squares for a given order; which order is best is the caller's search.
//! Knows heights and wishes only.

/// What a column is filled with: how tall, where it would like its middle, and how much it minds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wish {
    pub(super) height: f64,
    pub(super) middle: f64,
    /// Weight of its wish against the others'; see [`FIRM`].
    pub(super) weight: f64,
}

/// Weight of what does not give way.
pub(super) const FIRM: f64 = 1e6;

/// Tops of boxes stacked between `top` and `bottom`, `gap` apart, each as near its wish as the
/// others allow (weighted least squares), in the order given. When they need more than there is, the
/// gaps shrink first; the caller keeps the sum of heights within the column.
pub(super) fn stack(wishes: &[Wish], top: f64, bottom: f64, gap: f64) -> Vec<f64> {
    let heights: f64 = wishes.iter().map(|wish| wish.height).sum();
    let between = wishes.len().saturating_sub(1);
    let gap = if between == 0 {
        gap
    } else {
        gap.min((bottom - top - heights) / between as f64)
    };
    // Each box's wish, pulled up by what stands above it: then "not overlapping" is "not falling".
    let mut above = 0.0;
    let mut offsets = Vec::with_capacity(wishes.len());
    // Runs of boxes that touch (pool adjacent violators).
    let mut runs: Vec<Run> = Vec::new();
    for wish in wishes {
        offsets.push(above);
        runs.push(Run {
            count: 1,
            weight: wish.weight,
            sum: wish.weight * (wish.middle - wish.height / 2.0 - above),
        });
        above += wish.height + gap;
        while let [.., before, last] = runs.as_slice()
            && before.mean() > last.mean()
        {
            let merged = Run {
                count: before.count + last.count,
                weight: before.weight + last.weight,
                sum: before.sum + last.sum,
            };
            runs.truncate(runs.len() - 2);
            runs.push(merged);
        }
    }
    let lowest = bottom - (above - gap).max(0.0);
    let starts = runs
        .iter()
        .flat_map(|run| std::iter::repeat_n(run.mean(), run.count));
    starts
        .zip(offsets)
        .map(|(start, offset)| start.min(lowest).max(top) + offset)
        .collect()
}

struct Run {
    count: usize,
    weight: f64,
    sum: f64,
}

impl Run {
    fn mean(&self) -> f64 {
        self.sum / self.weight
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wish(middle: f64) -> Wish {
        Wish {
            height: 10.0,
            middle,
            weight: 1.0,
        }
    }

    #[test]
    fn boxes_with_room_stand_where_they_wish() {
        assert_eq!(
            stack(&[wish(20.0), wish(60.0)], 0.0, 100.0, 2.0),
            [15.0, 55.0]
        );
    }

    #[test]
    fn boxes_that_want_one_place_share_it_evenly() {
        assert_eq!(
            stack(&[wish(50.0), wish(50.0), wish(50.0)], 0.0, 100.0, 2.0),
            [33.0, 45.0, 57.0]
        );
    }

    #[test]
    fn a_firm_box_keeps_its_place_and_the_others_make_room() {
        let firm = Wish {
            height: 4.0,
            weight: FIRM,
            ..wish(50.0)
        };
        let tops = stack(&[wish(50.0), firm, wish(50.0)], 0.0, 100.0, 2.0);
        for (top, wanted) in tops.iter().zip([36.0, 48.0, 54.0]) {
            assert!((top - wanted).abs() < 1e-3, "{tops:?}");
        }
    }

    #[test]
    fn boxes_stay_in_the_column_and_apart_even_when_it_is_full() {
        for middle in [-500.0, 0.0, 50.0, 500.0] {
            let tops = stack(&[wish(middle); 9], 0.0, 100.0, 3.0);
            assert!(tops[0] >= 0.0 && tops[8] + 10.0 <= 100.0 + 1e-9, "{tops:?}");
            assert!(
                tops.windows(2).all(|pair| pair[1] - pair[0] >= 10.0 - 1e-9),
                "{tops:?}"
            );
        }
    }
}
