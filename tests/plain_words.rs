//! What every text answer keeps to, whatever was asked: 80 columns, one unit, words of today, nothing said twice; and
//! the examples in the help run as they stand.

mod common;

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use common::program::{file, inseam, process, run_at};
use common::{RIDER, TRAIL_24};
use inseam::bike::library;
use tempfile::TempDir;
use unicode_width::UnicodeWidthStr as _;

/// Riders of every stage, figures missing and figures that strain the words; all fits of today's verdicts occur.
const RIDERS: [&[&str]; 6] = [
    &[
        "--height",
        "138cm",
        "--inseam",
        "66cm",
        "--arm-reach",
        "53cm",
        "--age",
        "9y6m",
        "--sex",
        "girl",
        "--weight",
        "32kg",
    ],
    &[
        "--height", "128cm", "--inseam", "60cm", "--age", "8y", "--sex", "girl",
    ],
    &[
        "--height", "94cm", "--age", "3y", "--sex", "boy", "--stage", "learning", "--weight",
        "14kg",
    ],
    &["--inseam", "47cm", "--age", "5y", "--weight", "19 kg"],
    &[
        "--height",
        "1.52m",
        "--age",
        "12y",
        "--sex",
        "boy",
        "--stage",
        "confident",
        "--weight",
        "41kg",
        "--measured-on",
        "2025-06-01",
    ],
    &["--height", "171cm", "--inseam", "73cm", "--age", "15y"],
];
const BIKES: [&str; 5] = [
    "balance-12",
    "street-16",
    "street-20",
    "trail-24",
    "trail-27",
];

struct Answer {
    args: String,
    /// The command.
    about: &'static str,
    out: String,
    err: String,
}

/// Every command's text, for every rider.
fn answers(columns: usize, more: &[&str]) -> Vec<Answer> {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    // A file that contradicts itself, so that warnings are among the words.
    let odd = TRAIL_24.replace("wheelbase: 937", "wheelbase: 955");
    let odd = file(folder.path(), "odd.yaml", odd);
    let mut answers = Vec::new();
    let mut run = |about, args: &[&str]| {
        let ran = run_at(columns, args);
        assert_eq!(ran.status, 0, "{args:?}: {}", ran.err);
        let plain = |text: &str| anstream::adapter::strip_str(text).to_string();
        answers.push(Answer {
            args: args.join(" "),
            about,
            out: plain(&ran.out),
            err: plain(&ran.err),
        });
    };
    for rider in RIDERS {
        let shown = [rider, &["--on", "2026-03-01", "--out", out], more].concat();
        let listed = [rider, &["--on", "2026-03-01"], more].concat();
        for bike in BIKES.into_iter().chain([odd.as_str()]) {
            run("fit", &[&["fit", bike][..], &shown].concat());
            run("handover", &[&["handover", bike][..], &shown].concat());
        }
        run("size", &[&["size", "--all"][..], &listed].concat());
        run("size", &[&["size"][..], &listed].concat());
        for pair in BIKES.windows(2) {
            run(
                "compare",
                &[&["compare", pair[0], pair[1]][..], &shown].concat(),
            );
        }
        run(
            "compare",
            &[&["compare", "trail-24", &odd][..], &shown].concat(),
        );
    }
    for stage in ["learning", "steady", "confident"] {
        run(
            "rack",
            &[&["rack", "--stage", stage, "--out", out][..], more].concat(),
        );
    }
    answers
}

#[test]
fn no_report_is_wider_than_80_columns() {
    for units in ["mm", "in"] {
        for answer in answers(80, &["--units", units]) {
            for line in answer.out.lines() {
                assert!(line.width() <= 80, "{}: {line}", answer.args);
            }
        }
    }
    let folder = tempfile::tempdir().unwrap();
    let odd = TRAIL_24.replace("wheelbase: 937", "wheelbase: 955");
    let odd = file(folder.path(), "odd.yaml", odd);
    for line in inseam(&["check", &odd]).out.lines().skip(1) {
        assert!(line.width() <= 80, "{line}");
    }
}

#[test]
fn verdicts_of_yesterday_are_in_no_output() {
    let old = ["ready", "set-up", "setup", "adjust"];
    let check = |what: &str, text: &str| {
        let words = text.split(|c: char| !c.is_alphanumeric() && c != '-' && c != '_');
        for word in words {
            assert!(
                !old.contains(&word.to_lowercase().as_str()),
                "{what}: {word}\n{text}"
            );
        }
    };
    for answer in answers(80, &[]) {
        check(&answer.args, &answer.out);
        check(&answer.args, &answer.err);
    }
    for command in [
        "fit",
        "size",
        "compare",
        "rack",
        "handover",
        "check",
        "schema",
        "man",
        "completions",
    ] {
        check(command, &inseam(&[command, "--help"]).out);
        check(command, &inseam(&["man", command]).out);
    }
    for what in ["frame", "rider"] {
        check(what, &inseam(&["schema", what]).out);
    }
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    for format in ["json", "csv"] {
        for rider in RIDERS {
            let args = [&["size", "--format", format][..], rider].concat();
            check("size", &inseam(&args).out);
        }
        check(
            "rack",
            &inseam(&["rack", "--out", out, "--format", format]).out,
        );
    }
}

#[test]
fn reports_in_inches_hold_no_millimetres_but_those_stamped_on_parts() {
    let mut seen = BTreeSet::new();
    for answer in answers(1000, &["--units", "in"]) {
        let lines: Vec<&str> = answer.out.lines().collect();
        for (place, line) in lines.iter().enumerate() {
            let words: Vec<&str> = line.split_whitespace().collect();
            for (index, word) in words.iter().enumerate() {
                let bare = word.trim_matches(|c: char| !c.is_alphanumeric());
                let is_mm = bare == "mm"
                    || bare
                        .strip_suffix("mm")
                        .is_some_and(|figure| figure.parse::<f64>().is_ok());
                if !is_mm {
                    continue;
                }
                // A work list gives both rulers of a workshop tape, the inches first.
                if answer.about == "handover" && index > 1 && words[index - 1].starts_with('(') {
                    assert_eq!(words[index - 2], "in", "{}: {line}", answer.args);
                    continue;
                }
                // The part stands in the same cell or sentence; a narrow cell breaks before the unit.
                let mut near =
                    words[index.saturating_sub(12)..(index + 8).min(words.len())].to_vec();
                if index == 0 {
                    near.extend(lines[place.saturating_sub(1)].split_whitespace());
                }
                let near = near.join(" ").to_lowercase();
                let part = ["crank", "stem"]
                    .into_iter()
                    .find(|part| near.contains(part));
                seen.insert(part.unwrap_or_else(|| panic!("{}: {line}", answer.args)));
            }
        }
    }
    assert!(
        seen.contains("crank"),
        "cranks keep the figure that is stamped on them"
    );
}

/// Sentences and cells of at least four words, as a reader meets them.
fn pieces(line: &str) -> impl Iterator<Item = String> {
    line.split("  ")
        .flat_map(|cell| cell.split("; "))
        .flat_map(|part| part.split(". "))
        .map(|piece| {
            piece
                .trim_matches(|c: char| !c.is_alphanumeric())
                .to_lowercase()
        })
        .filter(|piece| {
            let words = piece.split_whitespace();
            words
                .filter(|word| word.chars().all(char::is_alphabetic))
                .count()
                >= 4
        })
}

#[test]
fn no_two_sections_of_a_report_say_the_same() {
    // No cell wraps at this width.
    for answer in answers(1000, &[]) {
        // A list says the same of several bikes, a comparison of both.
        if !["fit", "handover"].contains(&answer.about) {
            continue;
        }
        let mut said: BTreeMap<String, usize> = BTreeMap::new();
        let mut section = 0;
        for line in answer.out.lines() {
            if line.trim().is_empty() {
                section += 1;
            }
            // Two bolts of one list may be minded alike; two sections are not.
            for piece in pieces(line) {
                if let Some(before) = said.insert(piece.clone(), section)
                    && before != section
                {
                    panic!("{}: twice `{piece}`\n{}", answer.args, answer.out);
                }
            }
        }
    }
}

/// A folder in which the help's examples find their files.
fn workshop() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    file(folder.path(), "rider.yaml", RIDER);
    file(folder.path(), "chart.csv", include_str!("data/chart.csv"));
    let course = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/course");
    for shelf in ["riders", "frames", "records"] {
        let to = folder.path().join("course").join(shelf);
        std::fs::create_dir_all(&to).unwrap();
        for name in common::program::listing(&course.join(shelf)) {
            let text = std::fs::read_to_string(course.join(shelf).join(&name)).unwrap();
            file(&to, &name, &text);
        }
    }
    for shelf in ["frames", "shop/frames"] {
        let shelf = folder.path().join(shelf);
        std::fs::create_dir_all(&shelf).unwrap();
        for (id, text) in library::SAMPLES {
            file(&shelf, &format!("{id}.yaml"), text);
        }
    }
    folder
}

#[test]
fn every_example_in_the_help_runs() {
    let folder = workshop();
    let help = inseam(&["--help"]).out;
    let (_, list) = help.split_once("Commands:\n").unwrap();
    let (list, _) = list.split_once("\n\n").unwrap();
    let names = list.lines().filter_map(|line| line.strip_prefix("  "));
    let names = names.filter(|line| !line.starts_with(' '));
    let mut helps = vec![help.clone()];
    for name in names.filter_map(|line| line.split_whitespace().next()) {
        if name != "help" {
            helps.push(inseam(&[name, "--help"]).out);
        }
    }
    let mut commands = BTreeSet::new();
    let mut ran = 0;
    for help in &helps {
        for line in help.lines() {
            let Some(example) = line.strip_prefix("  inseam ") else {
                continue;
            };
            assert!(line.width() <= 100, "{line}");
            let command = example.split_whitespace().next().unwrap_or_default();
            commands.insert(command);
            // The page runs until it is stopped; `page` asks it.
            if command == "serve" {
                continue;
            }
            run_example(folder.path(), example);
            ran += 1;
        }
    }
    assert!(ran >= 12, "{ran} examples");
    for command in [
        "fit", "size", "compare", "rack", "handover", "assign", "due", "serve", "check", "new",
        "import",
    ] {
        assert!(commands.contains(command), "no example of {command}");
    }
}

fn run_example(folder: &Path, example: &str) {
    let mut words = Vec::new();
    for word in example.split_whitespace() {
        // As a shell does it.
        match word.split_once("/*") {
            None => words.push(word.to_owned()),
            Some((shelf, ending)) => {
                let mut names = common::program::listing(&folder.join(shelf));
                names.retain(|name| name.ends_with(ending));
                assert!(!names.is_empty(), "{example}");
                words.extend(names.iter().map(|name| format!("{shelf}/{name}")));
            }
        }
    }
    let ran = process().args(&words).current_dir(folder).output().unwrap();
    let err = String::from_utf8_lossy(&ran.stderr);
    assert_eq!(ran.status.code(), Some(0), "{example}: {err}");
    assert!(!ran.stdout.is_empty(), "{example}");
}
