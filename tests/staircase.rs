//! The house: which file uses which, read from the sources themselves. No circle, and no arrow down the staircase.
//! Names that a folder's `mod.rs` passes on count as their own file's; a folder's list of modules is no use of them.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use regex_lite::Regex;

/// Floors from the bottom; a file uses its own room and lower floors, never a higher one or its neighbours.
const FLOORS: [&[&str]; 9] = [
    &["words", "plane", "numeric", "sources", "cautions"],
    &["units"],
    &["file"],
    &["measured"],
    &["bike", "rider"],
    &["fit", "record"],
    &["advice"],
    &["draw", "report"],
    &["page", "cli"],
];

/// Rooms of one floor that may look into each other, from and to, with the reason.
const DOORS: &[(&str, &str)] = &[
    // The command `serve` opens the page and stands behind its counter.
    ("cli", "page"),
];

fn floor(room: &str) -> usize {
    FLOORS
        .iter()
        .position(|rooms| rooms.contains(&room))
        .unwrap_or_else(|| panic!("the room `{room}` has no floor: add it to FLOORS"))
}

/// Module path (`fit::checks`) to file and text, without its tests.
fn modules() -> BTreeMap<String, String> {
    fn walk(folder: &Path, found: &mut Vec<PathBuf>) {
        for entry in std::fs::read_dir(folder).expect("src is there") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                walk(&path, found);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                found.push(path);
            }
        }
    }
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    walk(&src, &mut files);
    files
        .into_iter()
        .filter_map(|path| {
            let name = path.strip_prefix(&src).expect("in src").with_extension("");
            let parts: Vec<_> = name
                .iter()
                .map(|part| part.to_str().expect("UTF-8"))
                .filter(|part| *part != "mod")
                .collect();
            let module = parts.join("::");
            let text = std::fs::read_to_string(&path).expect("a source");
            let code = text
                .split("#[cfg(test)]\nmod tests")
                .next()
                .expect("a start");
            (!["lib", "main"].contains(&module.as_str())).then(|| (module, code.to_owned()))
        })
        .collect()
}

/// `a::{b, c::{d, e}}` as single paths.
fn spread(path: &str) -> Vec<String> {
    let Some((head, rest)) = path.split_once('{') else {
        return vec![path.trim().to_owned()];
    };
    let inner = rest.rsplit_once('}').map_or(rest, |(inner, _)| inner);
    let (mut parts, mut depth, mut start) = (Vec::new(), 0, 0);
    for (at, letter) in inner.char_indices() {
        match letter {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                parts.push(&inner[start..at]);
                start = at + 1;
            }
            _ => {}
        }
    }
    parts.push(&inner[start..]);
    parts
        .into_iter()
        .filter(|part| !part.trim().is_empty())
        .flat_map(|part| spread(&format!("{}{}", head.trim(), part.trim())))
        .collect()
}

/// The module that a path ends in, through what `mod.rs` files pass on.
fn home(path: &str, modules: &BTreeMap<String, String>, passed_on: &Passed) -> Option<String> {
    let mut module = String::new();
    for part in path.split("::") {
        let part = part.split(" as ").next().unwrap_or(part).trim();
        let next = if module.is_empty() {
            part.to_owned()
        } else {
            format!("{module}::{part}")
        };
        if modules.contains_key(&next) {
            module = next;
        } else if let Some(child) = passed_on.get(&(module.clone(), part.to_owned())) {
            module.clone_from(child);
        } else {
            break;
        }
    }
    (!module.is_empty()).then_some(module)
}

type Passed = BTreeMap<(String, String), String>;

/// Names that a module passes on from a child.
fn passed_on(modules: &BTreeMap<String, String>) -> Passed {
    let line = Regex::new(r"pub(?:\([^)]*\))? use ([^;]+);").expect("a pattern");
    let mut passed = Passed::new();
    for (module, text) in modules {
        for found in line.captures_iter(text) {
            for path in spread(&found[1].replace('\n', " ")) {
                let path = path.trim_start_matches("self::");
                let Some((child, name)) = path.rsplit_once("::") else {
                    continue;
                };
                let full = format!("{module}::{child}");
                if modules.contains_key(&full) {
                    passed.insert((module.clone(), name.trim().to_owned()), full);
                }
            }
        }
    }
    passed
}

/// Whether a text names something in a child module: `child::…` that is the start of a path.
fn names(text: &str, child: &str) -> bool {
    let call = format!("{child}::");
    text.match_indices(&call).any(|(at, _)| {
        let before = text[..at].chars().next_back();
        !before.is_some_and(|letter| letter.is_alphanumeric() || letter == '_' || letter == ':')
    })
}

/// Which module uses which, through `crate::`, `super::` and names of sibling modules in `use`.
fn arrows() -> BTreeMap<String, BTreeSet<String>> {
    let modules = modules();
    let passed = passed_on(&modules);
    let uses = Regex::new(r"use ((?:crate|super)::[^;]+);").expect("a pattern");
    let inline = Regex::new(r"\$?(crate|super)::([a-z_]+(?:::[A-Za-z_]+)*)").expect("a pattern");
    let passing_on = Regex::new(r"pub(?:\([^)]*\))? use [^;]+;").expect("a pattern");
    let comment = Regex::new(r"(?m)^\s*//.*$").expect("a pattern");
    let mut arrows = BTreeMap::new();
    for (module, text) in &modules {
        let text = comment.replace_all(text, "");
        let parent = module.rsplit_once("::").map_or("", |(parent, _)| parent);
        let absolute = |path: &str| {
            let path = path.trim();
            if let Some(rest) = path.strip_prefix("crate::") {
                rest.to_owned()
            } else {
                let rest = path.strip_prefix("super::").unwrap_or(path);
                format!("{parent}::{rest}")
                    .trim_start_matches("::")
                    .to_owned()
            }
        };
        let mut to = BTreeSet::new();
        let mut add = |path: &str| {
            if let Some(home) = home(&absolute(path), &modules, &passed)
                && home != *module
            {
                to.insert(home);
            }
        };
        for found in uses.captures_iter(&text) {
            for path in spread(&found[1].replace('\n', " ")) {
                add(&path);
            }
        }
        // A folder's own code names its children without `crate::`; passing them on is no use of them.
        let own = passing_on.replace_all(&text, "");
        for child in modules.keys() {
            if let Some(name) = child
                .strip_prefix(module.as_str())
                .and_then(|c| c.strip_prefix("::"))
                && !name.contains("::")
                && names(&own, name)
            {
                to.insert(child.clone());
            }
        }
        let mut add = |path: &str| {
            if let Some(home) = home(&absolute(path), &modules, &passed)
                && home != *module
            {
                to.insert(home);
            }
        };
        let rest = uses.replace_all(&text, "");
        for found in inline.captures_iter(&rest) {
            add(&format!("{}::{}", &found[1], &found[2]));
        }
        arrows.insert(module.clone(), to);
    }
    arrows
}

fn room(module: &str) -> &str {
    module.split("::").next().unwrap_or(module)
}

#[test]
fn no_arrow_runs_down_the_staircase_or_to_a_neighbour() {
    let mut wrong = Vec::new();
    for (from, all) in arrows() {
        for to in all {
            let (from_room, to_room) = (room(&from), room(&to));
            let is_open = from_room == to_room
                || floor(to_room) < floor(from_room)
                || DOORS.contains(&(from_room, to_room));
            // What stands at the bottom knows nobody of its floor but through a lower room.
            let are_lowest = floor(from_room) == 0 && floor(to_room) == 0;
            if !(is_open || are_lowest) {
                wrong.push(format!("{from} uses {to}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Depth first; a module met again while it is being walked closes a circle.
fn walk<'a>(
    at: &'a str,
    arrows: &'a BTreeMap<String, BTreeSet<String>>,
    path: &mut Vec<&'a str>,
    done: &mut BTreeSet<&'a str>,
    circles: &mut Vec<String>,
) {
    if let Some(start) = path.iter().position(|module| *module == at) {
        circles.push(format!("{} -> {at}", path[start..].join(" -> ")));
        return;
    }
    if !done.insert(at) {
        return;
    }
    path.push(at);
    for to in &arrows[at] {
        walk(to, arrows, path, done, circles);
    }
    path.pop();
}

#[test]
fn no_files_use_each_other_in_a_circle() {
    let arrows = arrows();
    let (mut done, mut circles) = (BTreeSet::new(), Vec::new());
    for module in arrows.keys() {
        walk(module, &arrows, &mut Vec::new(), &mut done, &mut circles);
    }
    assert!(circles.is_empty(), "{circles:#?}");
}

#[test]
fn every_module_opens_by_saying_what_lives_in_it() {
    for (module, text) in modules() {
        let lines = text.lines().take_while(|line| line.starts_with("//!"));
        let words: usize = lines.map(|line| line.split_whitespace().count()).sum();
        assert!(words >= 8, "{module} opens with {words} words");
    }
}
