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
