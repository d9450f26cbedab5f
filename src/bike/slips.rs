//! Slips of the pen in a frame file that make a bike all the same: rims that nobody makes, pounds for kilograms.
//! What contradicts other figures is `mismatch`; what makes no bike at all is an error of `spec` or `layout`.

use crate::bike::Bike;
use crate::bike::tyre::TyreSize;
use crate::units::{KG_PER_POUND, tidy};

/// Nearer to a usual bead seat than this, mm, no other is made: ISO 5775 tables, where 349 and 355 lie nearest.
const MISREAD_MM: f64 = 4.0;
/// What a bike weighs at most, kg per mm of its bead seat: 14 kg on 20 inches, 20 on 26 (own rule, well above what
/// children's bikes weigh).
const HEAVIEST_KG_PER_MM: f64 = 0.035;

/// Each slip in one sentence, its key before it.
pub fn of(bike: &Bike) -> Vec<String> {
    let tyres = &bike.spec.tyres;
    let wheels = [("tyres.front", tyres.front), ("tyres.rear", tyres.rear)];
    // What is wrong on both is said once.
    let several = if tyres.front == tyres.rear { 1 } else { 2 };
    let rims = wheels.into_iter().take(several).filter_map(|(key, tyre)| {
        let usual = misread(tyre)?;
        Some(format!(
            "{key}: {tyre}, and no rim has a bead seat of {} mm: is it {usual}?",
            tidy(tyre.bead_seat_mm, 1)
        ))
    });
    let weight = bike.spec.weight.filter(|weight| {
        weight.kg() > HEAVIEST_KG_PER_MM * tyres.front.bead_seat_mm.max(tyres.rear.bead_seat_mm)
    });
    let weight = weight.map(|weight| {
        format!(
            "weight: {} kg is heavy on such wheels; were it pounds, it would be {} kg: write `{} lb` if it is",
            tidy(weight.kg(), 1),
            tidy(weight.kg() * KG_PER_POUND, 1),
            tidy(weight.kg(), 1)
        )
    });
    rims.chain(weight).collect()
}

/// The same width on the usual rim that a tyre may have been read off, where its own is none.
fn misread(tyre: TyreSize) -> Option<TyreSize> {
    let usual = TyreSize::usual_bead_seats_mm();
    let off_mm = |bead_seat_mm: &f64| (bead_seat_mm - tyre.bead_seat_mm).abs();
    let bead_seat_mm = usual.min_by(|a, b| off_mm(a).total_cmp(&off_mm(b)))?;
    let is_slip = (0.5..=MISREAD_MM).contains(&off_mm(&bead_seat_mm));
    is_slip.then_some(TyreSize {
        bead_seat_mm,
        ..tyre
    })
}
