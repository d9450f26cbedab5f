//! The cautions that go with everything that tells someone what to set.
//! One list, so that text, card, picture, table and page say the same.

/// What comes before a first ride; said of no bike that is not to be ridden.
const FIRST_RIDE: &str = "Before a first ride the rider shows, on that very bike, at walking pace with an adult beside: both feet flat over the top tube, and stopping at will.";

/// In the order of weight; the first is the one to show where there is room for one line only.
pub const CAUTIONS: &[&str] = &[
    "Starting values, not a safety certificate: the maker's manual, the marks printed on the parts and local rules win.",
    "Keep the post's minimum-insertion mark hidden in the tube.",
    "Have brakes, axles and steering checked by a competent mechanic before the first ride.",
    FIRST_RIDE,
    "Do not size up to grow into: a bike that is too big is hard to stop and to get off.",
    "Helmet on, every ride.",
    "Pain, numbness, or pain after a fall: stop, and see a doctor.",
];

/// The cautions that go with a bike that is not to be ridden.
pub fn without_a_ride() -> Vec<&'static str> {
    let all = CAUTIONS.iter().copied();
    all.filter(|caution| *caution != FIRST_RIDE).collect()
}
