//! Names of parts as files write them: which part a name means.
//! Front and rear told apart only where the name does.
//! What is closed on it is `bolts`, which kind it is `kit`.

/// The words that tell one part from another: `stem_faceplate bolts` is the stem faceplate.
pub(super) fn words_of(name: &str) -> Vec<String> {
    name.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .map(|word| word.strip_suffix('s').unwrap_or(word))
        .filter(|word| !["", "bolt", "nut", "screw"].contains(word))
        .map(str::to_owned)
        .collect()
}

/// Whether the file's name means this part; a name without front or rear means both.
pub(super) fn means(wanted: &[String], part: &str) -> bool {
    let part = words_of(part);
    let one_side = |word: &String| !["front", "rear", "left", "right"].contains(&word.as_str());
    wanted == part.as_slice()
        || (wanted.iter().all(one_side)
            && wanted.iter().eq(part.iter().filter(|word| one_side(word))))
}

/// What else people write for a part (common practice), beside the words of its own name.
const ALSO: [(&str, &[&str]); 14] = [
    ("axle", &["wheel", "hub"]),
    ("thru-axle", &["wheel", "hub"]),
    ("top cap", &["headset"]),
    ("steerer clamp", &["stem"]),
    ("stem faceplate", &["bar", "handlebar", "clamp"]),
    ("quill bolt", &["stem"]),
    ("handlebar clamp", &["stem", "bar"]),
    ("disc caliper", &["brake"]),
    ("rim caliper", &["brake"]),
    ("gear cable anchor", &["derailleur"]),
    ("seat clamp", &["seatpost", "post", "tube", "collar"]),
    ("saddle rail clamp", &["seatpost", "seat", "post"]),
    ("derailleur", &["hanger"]),
    ("coaster arm strap", &["brake", "reaction"]),
];

/// Whether the file's name may mean this part: it says less than the part's name, or says it in other words.
pub(super) fn may_mean(wanted: &[String], part: &str) -> bool {
    let bare = bare(part);
    let also = ALSO.iter().filter(|(of, _)| {
        let of = words_of(of);
        of == words_of(bare)
    });
    let mut known = words_of(part);
    known.extend(also.flat_map(|(_, words)| words.iter().map(|word| (*word).to_owned())));
    !wanted.is_empty() && wanted.iter().all(|word| known.contains(word))
}

/// The part's name without its side.
pub(super) fn bare(part: &str) -> &str {
    ["front ", "rear ", "left ", "right "]
        .iter()
        .find_map(|side| part.strip_prefix(side))
        .unwrap_or(part)
}
