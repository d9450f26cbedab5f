//! The cautions that go with everything that tells someone what to set.
//! One list, so that text, card, picture, table and page say the same.

/// In the order of weight; the first is the one to show where there is room for one line only.
pub const CAUTIONS: &[&str] = &[
    "Starting values, not a safety certificate: the maker's manual, the marks printed on the parts and local rules win.",
    "Keep the post's minimum-insertion mark hidden in the tube.",
    "Have brakes, axles and steering checked by a competent mechanic before the first ride.",
    "Before a first ride the rider shows, on that very bike, at walking pace with an adult beside: both feet flat over the top tube, and stopping at will.",
    "Do not size up to grow into: a bike that is too big is hard to stop and to get off.",
    "Helmet on, every ride.",
    "Pain, numbness, or pain after a fall: stop, and see a doctor.",
];
