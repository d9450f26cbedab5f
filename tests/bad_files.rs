//! Every way that a frame or rider file can be wrong: exit 1, words that name file, line, column, key, what was found
//! and what is allowed, nothing on standard output, nothing written, no panic, no waiting.
//! The files are the invented bikes with one piece changed, so that each place can be checked by eye.

mod common;

use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use common::program::{Ran, file, inseam, listing};
use common::{RIDER, TRAIL_24};
use inseam::bike::{Bike, FrameSpec};
use inseam::file::Document;

/// Longer than any of these files may take, also in a debug build on a busy machine.
const PATIENCE: Duration = Duration::from_millis(300);

/// What `check` says of a frame file that leaves nothing of the geometry open.
const FULL: &str = "- a full drawing: nothing of the geometry is assumed\n";

/// Rows of a table: cells between ` | `, a line break written as `⏎`.
fn rows<const N: usize>(table: &str) -> impl Iterator<Item = [String; N]> {
    table.lines().filter(|row| !row.is_empty()).map(|row| {
        let cells = row.split(" | ").map(|cell| cell.trim().replace('⏎', "\n"));
        let cells: Vec<_> = cells.collect();
        cells
            .try_into()
            .unwrap_or_else(|cells| panic!("{N} cells wanted: {cells:?}"))
    })
}

/// The sample frame with a piece of it replaced.
fn frame(piece: &str, by: &str) -> String {
    assert!(TRAIL_24.contains(piece), "the sample has no `{piece}`");
    TRAIL_24.replacen(piece, by, 1)
}

/// Runs `fit` and `check` on a frame file with these bytes, and checks what holds for every bad file.
#[track_caller]
fn fit_bad_frame(bytes: impl AsRef<[u8]>) -> Ran {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = file(folder.path(), "bad.yaml", bytes);
    let out = folder.path().join("out");
    let out = out.to_str().expect("UTF-8");
    let started = Instant::now();
    let ran = inseam(&["fit", &path, "--height", "138cm", "--out", out]);
    let took = started.elapsed();
    assert_eq!(ran.status, 1, "{ran:#?}");
    assert_eq!(ran.out, "", "the answer's stream stays empty");
    assert!(ran.err.contains("bad.yaml"), "not named: {}", ran.err);
    assert_eq!(listing(folder.path()), ["bad.yaml"], "nothing is written");
    let started = Instant::now();
    let checked = inseam(&["check", &path]);
    // The faster of two runs, since the machine may be busy with something else in one of them.
    let took = took.min(started.elapsed());
    assert!(took < PATIENCE, "took {took:?}");
    let expected = (1, ran.err.as_str());
    assert_eq!(
        (checked.status, checked.out.as_str()),
        expected,
        "`check` says the same, as its answer"
    );
    ran
}

#[track_caller]
fn says(ran: &Ran, words: &[&str]) {
    for word in words {
        assert!(ran.err.contains(word), "`{word}` is not in:\n{}", ran.err);
    }
}

#[test]
fn a_wrong_value_is_placed_and_told_what_is_allowed() {
    // Columns are counted in characters from 1: `  reach: 335` on line 6 has its value at column 10.
    let table = "
reach: [1, 2]                         | 6:10 | found a list; wanted a number or a text with a unit
reach: {a: 1}                         | 6:10 | found a section with keys of its own; wanted a number
reach: long                           | 6:10 | `long` is not a length; write for example `610`, `61 cm`
reach: true                           | 6:10 | found `true`; wanted a number in mm or a text with a unit
reach: null                           | 6:10 | found nothing; wanted a number in mm or a text with a unit
reach:                                | 6:8  | found nothing; wanted a number in mm or a text with a unit
reach: \"\"                           | 6:10 | `` is not a length; write for example `610`, `61 cm`
reach: .nan                           | 6:10 | `NaN` is not a finite number
reach: nan                            | 6:10 | `nan` is not a length
reach: .inf                           | 6:10 | `inf` is not a finite number
reach: -.inf                          | 6:10 | `-inf` is not a finite number
reach: 1/0 in                         | 6:10 | `1/0 in` is not a finite number
reach: -335                           | 6:10 | found -335 mm; allowed 80 to 600 mm
reach: 0                              | 6:10 | found 0 mm; allowed 80 to 600 mm
reach: 601                            | 6:10 | found 601 mm; allowed 80 to 600 mm
reach: 1e300                          | 6:10 | found 1e300 mm; allowed 80 to 600 mm
reach: 18446744073709551616           | 6:10 | found 1.8446744073709552e19 mm; allowed 80 to 600 mm
reach: 99999999999999999999999999     | 6:10 | found 1e26 mm; allowed 80 to 600 mm
reach: -99999999999999999999999999    | 6:10 | found -1e26 mm; allowed 80 to 600 mm
reach: 335 kg                         | 6:10 | `kg` is not a unit for a length; allowed: mm, cm, m, in, ft
reach: 33,5 cm                        | 6:10 | `33,5 cm` has a comma; write the decimal point: 33.5 cm
reach: !foo 335                       | 6:10 | found the tag `!foo`; wanted a number or a text with a unit
";
    for [by, place, words] in rows(table) {
        let ran = fit_bad_frame(frame("reach: 335", &by));
        says(
            &ran,
            &[
                &format!("frame.reach: {words}"),
                &format!("bad.yaml:{place}\n"),
            ],
        );
        assert_eq!(
            ran.err.matches("error:").count(),
            1,
            "{by}: once\n{}",
            ran.err
        );
    }
}

#[test]
fn a_slipped_unit_is_named() {
    let ran = fit_bad_frame(frame("reach: 335", "reach: 33.5"));
    says(&ran, &["found 33.5 mm", "did you mean `33.5 cm`?"]);
    let ran = fit_bad_frame(frame("reach: 335", "reach: 5"));
    says(&ran, &["found 5 mm", "did you mean `5 in`?"]);

    // A height of 138.3 in the rider's file: bad input, with its place.
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = file(
        folder.path(),
        "rider.yaml",
        "name: Rider A\nheight: 138.3\n",
    );
    let ran = inseam(&["fit", "trail-24", "--rider", &path]);
    assert_eq!((ran.status, ran.out.as_str()), (1, ""));
    says(
        &ran,
        &[
            "rider.yaml:2:9",
            "height: found 138.3 mm; allowed 700 to 2000 mm",
            "`138.3 cm`",
        ],
    );
    // The same on the command line: usage.
    let ran = inseam(&["fit", "trail-24", "--height", "138.3"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    says(
        &ran,
        &[
            "--height",
            "found 138.3 mm; allowed 700 to 2000 mm",
            "`138.3 cm`",
        ],
    );
}

#[test]
fn a_wrong_section_is_placed() {
    let fork = "{offset: 40, axle_to_crown: 380, travel: 60, air_spring: true}";
    let table = "
[40, 380]                     | 12:7  | fork: found a list; wanted a section with keys
40                            | 12:7  | fork: found `40`; wanted a section with keys
4.5                           | 12:7  | fork: found `4.5`; wanted a section with keys
99999999999999999999          | 12:7  | fork: found `1e20`; wanted a section with keys; it may have offset
rigid                         | 12:7  | fork: found `rigid`; wanted a section with keys
false                         | 12:7  | fork: found `false`; wanted a section with keys
!f {offset: 40}               | 12:7  | fork: found the tag `!f`; wanted a section with keys
{offset: 40, air_spring: 3}   | 12:32 | fork.air_spring: found `3`; allowed true, false or a section
{offset: 40, air_spring: [1]} | 12:32 | fork.air_spring: found a list; allowed true, false or a section
{offset: 40, air_spring: yes} | 12:32 | fork.air_spring: found `yes`; allowed true, false or a section
{offset: 40, air_spring: !a } | 12:32 | fork.air_spring: found the tag `!a`; allowed true, false or a section
";
    for [by, place, words] in rows(table) {
        let ran = fit_bad_frame(frame(fork, &by));
        says(&ran, &[&words, &format!("bad.yaml:{place}\n")]);
    }
}

#[test]
fn a_wrong_word_is_told_the_right_ones() {
    let table = "
style: trail            | style: enduro       | 3:8   | style: found `enduro`; allowed balance, street, trail
75}}⏎weight             | 75}, kind: foot}⏎weight | 23:49 | `kind` is given twice; keep one
front: {kind: hand      | front: {kind: foot  | 22:17 | brakes.front.kind: found `foot`; allowed hand, coaster, none
front: 54-507           | front: 24x1-3/8     | 13:16 | tyres.front: found `24x1-3/8`; wanted the marking on the sidewall
front: 54-507           | front: 24           | 13:16 | tyres.front: found `24`; wanted the marking on the sidewall
name: Sample trail 24   | name: ' '           | 2:7   | name: found an empty text
name: Sample trail 24   | name: \"a\\nb\"     | 2:7   | name: `a b` has a line break or another control character
name: Sample trail 24   | name: [a]           | 2:7   | name: found a list; wanted a text
price: 420              | price: lots         | 25:8  | price: found `lots`; allowed a number from 0 to 1000000
price: 420              | price: .nan         | 25:8  | price: found `NaN`; allowed a number from 0 to 1000000
";
    for [piece, by, place, words] in rows(table) {
        let ran = fit_bad_frame(frame(&piece, &by));
        says(&ran, &[&words, &format!("bad.yaml:{place}\n")]);
    }
}

#[test]
fn keys_that_are_unknown_or_double_or_no_text_are_placed() {
    let table = "
  colour: red          | 7:3 | frame: `colour` is not a key here; allowed: stack, reach, chainstay
  raech: 335           | 7:3 | head_tube, top_tube; did you mean `reach`?
  reach: 336           | 7:3 | frame: `reach` is given twice; keep one
  12: 1                | 7:3 | frame: `12` is not a key here; allowed: stack
  ~: 1                 | 7:3 | frame: `nothing` is not a key here; allowed: stack
  true: 1              | 7:3 | frame: `true` is not a key here; allowed: stack
  ? [a, b]⏎  : 1       | 7:5 | frame: found a list; wanted a key
  ? {a: b}⏎  : 1       | 7:5 | frame: found a section with keys of its own; wanted a key
  <<: {reach: 336}     | 7:3 | frame: `<<` is not a key here; allowed: stack
  !x y: 1              | 7:3 | frame: found the tag `!x`; wanted a key
";
    for [by, place, words] in rows(table) {
        let ran = fit_bad_frame(frame("reach: 335", &format!("reach: 335\n  {by}")));
        says(&ran, &[&words, &format!("bad.yaml:{place}\n")]);
    }
    let ran = fit_bad_frame(frame("name: Sample", "name: One\nname: Sample"));
    says(&ran, &["bad.yaml:3:1", "`name` is given twice"]);
    let ran = fit_bad_frame(format!(
        "base: &b {{offset: 40}}\n{}",
        frame("fork: {", "fork: {<<: *b, ")
    ));
    says(
        &ran,
        &[
            "bad.yaml:1:1",
            "`base` is not a key here",
            "bad.yaml:13:8",
            "fork: `<<` is not a key here",
        ],
    );
}

#[test]
fn a_missing_key_is_named_at_its_section() {
    let ran = fit_bad_frame(frame("tyres: {front: 54-507, ", "tyres: {"));
    says(&ran, &["bad.yaml:13:8", "tyres.front: is missing"]);
    let ran = fit_bad_frame(frame("front: {kind: hand, ", "front: {"));
    says(&ran, &["bad.yaml:22:10", "brakes.front.kind: is missing"]);
}

#[test]
fn a_missing_section_says_which_keys_it_needs() {
    let ran = fit_bad_frame(frame("saddle: {", "saddel: {"));
    says(
        &ran,
        &[
            "bad.yaml:18:1",
            "`saddel` is not a key here",
            "did you mean `saddle`?",
        ],
    );
    let ran = fit_bad_frame(frame("tyres: {", "tires: {"));
    says(
        &ran,
        &[
            "bad.yaml:13:1",
            "`tires` is not a key here",
            "did you mean `tyres`?",
            "bad.yaml:2:1",
            "tyres: is missing; it needs front, rear; it may have min_pressure, max_pressure, valve",
        ],
    );
    let ran = fit_bad_frame("name: x\nstyle: trail\ntyres: 24x1.95\n");
    says(
        &ran,
        &[
            "bad.yaml:3:8",
            "found `24x1.95`; wanted a section with keys",
            "write `tyres: {front: …, rear: …}`",
        ],
    );
    let ran = fit_bad_frame("name: x\n");
    says(
        &ran,
        &[
            "style: is missing",
            "tyres: is missing; it needs front, rear",
        ],
    );
}

#[test]
fn a_key_of_another_section_is_sent_there() {
    let table = "
  wheelbase: 900       | 7:3 | frame: `wheelbase` is not a key here; it belongs under `published`
  usable_depth: 150    | 7:3 | frame: `usable_depth` is not a key here; it belongs under `frame.seat_tube`
  kind: hand           | 7:3 | frame: `kind` is not a key here; it belongs under `brakes.front` or `brakes.rear`
  price: 420           | 7:3 | frame: `price` is not a key here; it belongs at the top level
  angle: 70            | 7:3 | frame: `angle` is not a key here; it belongs under `frame.seat_tube` or `frame.head_tube`
  reference_rider: 30  | 7:3 | frame: `reference_rider` is not a key here; it belongs under `fork.air_spring`
";
    for [by, place, words] in rows(table) {
        let ran = fit_bad_frame(frame("reach: 335", &format!("reach: 335\n  {by}")));
        says(&ran, &[&words, &format!("bad.yaml:{place}\n")]);
    }
    let ran = fit_bad_frame(format!("{TRAIL_24}wheelbase: 937\n"));
    says(
        &ran,
        &["`wheelbase` is not a key here; it belongs under `published`"],
    );
}

#[test]
fn broken_syntax_is_placed() {
    let table = "
  reach: 335       | \treach: 335          | 6:1  | is indented by a tab; write spaces
fork: {            | fork: {{              | 12:7 | opens a bracket that nothing closes
air_spring: true}  | air_spring: true      | 12:7 | opens a bracket that nothing closes
name: Sample       | name: \"Sample        | 2:7  | opens a quote that nothing closes
name: Sample       | name: *nobody         | 2:7  | unknown anchor
style: trail       | style: \u{1b}[31mtrail | 3:8 | has a control character
price: 420         | ---⏎name: x           | 25:1 | holds more than one document
";
    for [piece, by, place, words] in rows(table) {
        // The table trims its cells; the tab stands for the indent.
        let piece = if by.starts_with("reach") {
            "  reach: 335"
        } else {
            &piece
        };
        let by = if by.starts_with("reach") {
            format!("\t{by}")
        } else {
            by
        };
        let ran = fit_bad_frame(frame(piece, &by));
        says(&ran, &[&words, &format!("bad.yaml:{place}\n")]);
    }
}

#[test]
fn what_is_no_frame_at_all_is_refused_in_one_sentence() {
    let utf16 = TRAIL_24.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let files: [(Vec<u8>, &str); 14] = [
        (b"".to_vec(), "is empty"),
        (b"\xef\xbb\xbf".to_vec(), "is empty"),
        (b"# nothing\n\n  # here\n".to_vec(), "is empty"),
        (b"---\n".to_vec(), "is empty"),
        (b"---\n...\n".to_vec(), "is empty"),
        (b"~\n".to_vec(), "is empty"),
        (b"- a\n- b\n".to_vec(), "found a list; wanted a section"),
        (
            b"just text\n".to_vec(),
            "found `just text`; wanted a section",
        ),
        (b"12\n".to_vec(), "found `12`; wanted a section"),
        (b"!frame\nname: x\n".to_vec(), "found the tag `!frame`"),
        ((0..=255).collect(), "is not a text file"),
        (b"name: a\0b\n".to_vec(), "is not a text file"),
        (b"name: caf\xe9\n".to_vec(), "is not a text file (UTF-8"),
        (utf16, "is not a text file"),
    ];
    for (bytes, words) in files {
        let ran = fit_bad_frame(bytes);
        says(&ran, &[words]);
        assert_eq!(ran.err.matches("error:").count(), 1, "{}", ran.err);
    }
}

/// Each level names the level below nine times: nine to the tenth of x.
fn alias_bomb() -> String {
    let first = "a0: &a0 [x, x, x, x, x, x, x, x, x]\n".to_owned();
    (1..10).fold(first, |text, level| {
        let nine = vec![format!("*a{}", level - 1); 9].join(", ");
        format!("{text}a{level}: &a{level} [{nine}]\n")
    })
}

#[test]
fn files_made_to_be_slow_are_refused_at_once() {
    let bomb = alias_bomb();
    let open = "[".repeat(20_000);
    let closed = "]".repeat(20_000);
    let sections = format!("frame: {}{}", "{a: ".repeat(5000), "}".repeat(5000));
    let value = format!("{bomb}{}", frame("reach: 335", "reach: *a9"));
    for (what, text, words) in [
        (
            "bomb in front",
            format!("{bomb}{TRAIL_24}"),
            "repeats itself too often by aliases",
        ),
        (
            "bomb behind",
            format!("{TRAIL_24}{bomb}"),
            "repeats itself too often by aliases",
        ),
        (
            "bomb as a value",
            value,
            "repeats itself too often by aliases",
        ),
        (
            "itself",
            format!("{TRAIL_24}zz: &z [*z]\n"),
            "stands for what it is a part of",
        ),
        (
            "open",
            format!("a: {open}"),
            "more than 32 lists or sections",
        ),
        (
            "lists",
            format!("a: {open}{closed}"),
            "more than 32 lists or sections",
        ),
        ("sections", sections, "more than 32 lists or sections"),
        (
            "as many unknown keys as fit",
            (0..7000)
                .map(|key| format!("k{key:04}: \n"))
                .collect::<Vec<_>>()
                .concat(),
            "these are the first 25 of 7003 problems",
        ),
        (
            "as many sections in place of figures as fit",
            format!(
                "torque:\n{}",
                (0..5000)
                    .map(|key| format!(" k{key:04}: {{}}\n"))
                    .collect::<Vec<_>>()
                    .concat()
            ),
            "these are the first 25 of 5003 problems",
        ),
        (
            "a line of 5 MB",
            "x".repeat(5_000_000),
            "larger than 64 KiB",
        ),
        (
            "5 MB of lines",
            "n: x\n".repeat(1_000_000),
            "larger than 64 KiB",
        ),
    ] {
        let ran = fit_bad_frame(text);
        assert!(ran.err.contains(words), "{what}: {}", ran.err);
        assert!(ran.err.len() < 20_000, "{what}: {} bytes", ran.err.len());
    }
}

#[test]
fn paths_that_cannot_be_read_are_named() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let there = file(folder.path(), "there.yaml", TRAIL_24);
    let missing = folder.path().join("missing.yaml");
    let inside_a_file = Path::new(&there).join("frame.yaml");
    for (path, words) in [
        (folder.path(), "is a folder"),
        (&missing, "cannot be read"),
        (&inside_a_file, "cannot be read"),
    ] {
        let path = path.to_str().expect("UTF-8");
        let as_frame = ["fit", path, "--height", "1380"];
        let as_rider = ["fit", "trail-24", "--rider", path];
        for args in [as_frame, as_rider] {
            let ran = inseam(&args);
            assert_eq!((ran.status, ran.out.as_str()), (1, ""), "{args:?}");
            says(&ran, &[path, words]);
        }
    }
    let ran = inseam(&["fit", "trial-24", "--height", "1380"]);
    assert_eq!((ran.status, ran.out.as_str()), (1, ""));
    says(
        &ran,
        &[
            "trial-24",
            "neither a file nor a sample",
            "did you mean `trail-24`?",
        ],
    );
}

#[cfg(unix)]
#[test]
fn a_file_without_permission_is_named() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = file(folder.path(), "locked.yaml", TRAIL_24);
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o000)).expect("own file");
    let out = folder.path().join("out");
    let out = out.to_str().expect("UTF-8");
    let ran = inseam(&["fit", &path, "--height", "1380", "--out", out]);
    if std::fs::read(&path).is_ok() {
        // The superuser reads it all the same, and then it is an ordinary frame.
        assert_eq!(ran.status, 0, "{}", ran.err);
    } else {
        assert_eq!((ran.status, ran.out.as_str()), (1, ""));
        says(&ran, &["locked.yaml", "cannot be read", "denied"]);
    }
}

#[test]
fn a_byte_order_mark_and_any_line_ends_are_fine() {
    for text in [
        format!("\u{feff}{TRAIL_24}"),
        TRAIL_24.replace('\n', "\r\n"),
        TRAIL_24.replace('\n', "\r"),
        format!("\u{feff}{}", TRAIL_24.replace('\n', "\r\n")),
        format!("---\n{TRAIL_24}"),
        format!("---\n{TRAIL_24}...\n"),
        TRAIL_24.trim_end().to_owned(),
    ] {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = file(folder.path(), "good.yaml", &text);
        let ran = inseam(&["check", &path]);
        let expected = format!("{path}: frame, ok\n{FULL}");
        assert_eq!(
            (ran.status, ran.out, ran.err),
            (0, expected, String::new()),
            "{text:?}"
        );
    }
}

#[test]
fn places_hold_for_every_line_end_and_byte_order_mark() {
    let wrong = frame("travel: 60", "travel: 600");
    let line = "12 | fork: {offset: 40, axle_to_crown: 380, travel: 600, air_spring: true}";
    // The marks stand under the value: 47 characters into the line.
    let marks = format!("   | {}^^^", " ".repeat(47));
    for text in [
        wrong.clone(),
        wrong.replace('\n', "\r\n"),
        wrong.replace('\n', "\r"),
        format!("\u{feff}{}", wrong.replace('\n', "\r\n")),
    ] {
        says(&fit_bad_frame(&text), &["bad.yaml:12:48", line, &marks]);
    }
}

#[test]
fn all_problems_of_a_file_are_listed_in_its_order() {
    let text = frame("style: trail", "style: enduro")
        .replace("stack: 452", "stack: -1")
        .replace("reach: 335", "reach: 33500")
        .replace("travel: 60", "travle: 60")
        .replace("front: 54-507", "front: 24x1-3/8")
        .replace("price: 420\n", "price: lots\nprice: 3\n");
    let ran = fit_bad_frame(text);
    let places = ran
        .err
        .lines()
        .filter_map(|line| line.split_once("bad.yaml:"));
    let places: Vec<_> = places.map(|(_, place)| place).collect();
    let expected = ["3:8", "5:10", "6:10", "12:40", "13:16", "25:8", "26:1"];
    assert_eq!(places, expected, "{}", ran.err);
    assert_eq!(ran.err.matches("error:").count(), 7);
}

#[test]
fn twenty_problems_of_one_file_are_all_listed_at_their_places() {
    // A mark stands in front of each value or key that is wrong.
    let marked = "\
# Invented bike with twenty mistakes
name: §''
style: §enduro
frame:
  stack: §true
  reach: §33500
  chainstay: §[385]
  bottom_bracket_drop: §3000
  seat_tube: {angle: §7, length: §29 kg, usable_depth: 220}
  head_tube: {§angel: 69, length: §1100}
fork: {offset: §x, travel: §-1, air_spring: §1}
tyres: {front: §24x1-3/8, rear: 54-507, §wheelbase: 900}
cockpit: {stem: {length: 40}, handlebar: {}}
saddle: §low
seat_post: {length: §3500, minimum_insertion: 80}
cranks: §[]
torque: {stem: §900, §stem: 5}
";
    let mut expected = Vec::new();
    for (line, text) in (1..).zip(marked.lines()) {
        let marks = text.char_indices().filter(|(_, letter)| *letter == '§');
        for (before, (at, _)) in marks.enumerate() {
            let column = text[..at].chars().count() - before + 1;
            expected.push(format!("{line}:{column}"));
        }
    }
    assert_eq!(expected.len(), 20);
    let ran = fit_bad_frame(marked.replace('§', ""));
    let found = ran
        .err
        .lines()
        .filter_map(|line| line.split_once("bad.yaml:"));
    let found: Vec<_> = found.map(|(_, place)| place).collect();
    assert_eq!(found, expected, "{}", ran.err);
}

#[test]
fn a_list_of_problems_that_is_cut_says_so() {
    let lines: Vec<_> = (0..40).map(|count| format!("key_{count}: 1\n")).collect();
    let ran = fit_bad_frame(lines.concat());
    // Forty unknown keys and the three that a frame needs; the first 25, and the count.
    assert_eq!(ran.err.matches("bad.yaml:").count(), 25 + 1, "{}", ran.err);
    says(&ran, &["these are the first 25 of 43 problems"]);
}

#[test]
fn the_value_is_shown_however_wide_its_line() {
    for blanks in [100, 300, 50_000] {
        let wide = frame("fork: {", &format!("fork: {{{}", " ".repeat(blanks)));
        let ran = fit_bad_frame(wide.replace("travel: 60", "travel: 600"));
        let place = format!("bad.yaml:12:{}", 48 + blanks);
        says(&ran, &[&place, "travel: 600, air_spring", "^^^"]);
        let widest = ran.err.lines().map(|line| line.chars().count()).max();
        assert!(widest <= Some(160), "{}", ran.err);
    }
    // Columns count characters, and the marks stand under wide ones: three of two columns, and two quotes.
    let ran = fit_bad_frame(frame("front: 54-507", "front: \"日本語\""));
    let marks = format!("   | {}^^^^^^^^\n", " ".repeat(15));
    says(&ran, &["bad.yaml:13:16", "front: \"日本語\", rear", &marks]);
}

#[test]
fn contradictions_between_values_are_placed_at_their_key() {
    let spring = "air_spring: {reference_pressure: 4, reference_rider: 50, min: 5, max: 3}";
    let table = "
length: 350       | length: 100       | 19:12 | seat_post: a 100 mm post cannot keep 80 mm inside
min_pressure: 1.4 | min_pressure: 4   | 13:52 | tyres.min_pressure: found 4 bar, above max_pressure 3.5 bar
travel: 60        | travel: 0         | 12:48 | fork.travel: is 0 mm or left out, but the fork has an air spring
travel: 60,       |                   | 12:7  | fork.travel: is 0 mm or left out, but the fork has an air spring
front: {kind: hand, reach: {min: 45 | front: {kind: hand, reach: {min: 80 | 22:36 | brakes.front.reach.min: found 80 mm, above max, 75 mm
front: {kind: hand | front: {kind: none | 22:10 | brakes.front: a none brake has no lever; leave out reach
front: {kind: hand, reach: {min: 45, max: 75}} | front: {kind: coaster} | 22:10 | brakes.front: a coaster brake works on the rear wheel only
style: trail      | style: balance    | 20:9  | cranks: a balance bike has none
stack: 452        | stack: 320        | 5:10  | frame.stack: the fork comes out
length: 140       | length: 190       | 8:24  | frame.bottom_bracket_drop: the bottom bracket is 198 mm above ground
";
    let mut cases: Vec<_> = rows(table)
        .map(|[piece, by, place, words]| (frame(&piece, &by), place, words))
        .collect();
    // With long cranks the bracket must be low as well.
    for (text, place, _) in &mut cases {
        if place == "8:24" {
            *text = text.replace("drop: 30", "drop: 110");
        }
    }
    // 14.5038 psi to the bar (NIST SP 811).
    let psi = "air_spring: {reference_pressure: 60 psi, reference_rider: 40 kg, min: 50 psi, max: 55 psi}";
    let stay = frame("drop: 30", "drop: -150").replace("chainstay: 385", "chainstay: 125");
    for (text, place, words) in [
        (
            stay,
            "8:24",
            "frame.bottom_bracket_drop: found -150 mm; it must be smaller",
        ),
        (
            frame("air_spring: true", spring),
            "12:114",
            "fork.air_spring.min: found 5 bar",
        ),
        (
            frame("air_spring: true", psi),
            "12:85",
            "fork.air_spring.reference_pressure: found 4.137 bar, outside min 3.447 to max 3.792 bar",
        ),
        (
            frame("reach: 335", "reach: 80").replace("chainstay: 385", "chainstay: 310"),
            "6:10",
            "frame.reach: the wheels overlap",
        ),
    ] {
        cases.push((text, place.to_owned(), words.to_owned()));
    }
    for (text, place, words) in cases {
        for text in [text.clone(), text.replace('\n', "\r\n")] {
            says(
                &fit_bad_frame(text),
                &[&words, &format!("bad.yaml:{place}\n")],
            );
        }
    }
}

#[test]
fn riders_are_checked_like_frames() {
    let table = "
height: 1380⏎age: 9                     | 2:6 | age: `9` is not an age; write for example `7y`, `7y4m`
height: 1380⏎age: -9y                   | 2:6 | age: found -108 months; allowed 12 to 1200 months
height: 1380⏎born: 2019-02-30           | 2:7 | born: `2019-02-30` is not a date; write it as 2019-07-02
height: 1380⏎born: 2035-01-01           | 2:7 | born: found 2035-01-01, which lies in the future
height: 1380⏎age: 9y⏎born: 2017-01-01   | 3:7 | born: is given together with age; keep one
height: 1380⏎inseam: 900                | 2:9 | inseam: found 900 mm at a height of 1380 mm; allowed 455 to 760 mm
height: 1380 ± 200 mm                   | 1:9 | height: after ±: found 200 mm; allowed 0 to 100 mm
height: 1380⏎stage: fast                | 2:8 | stage: found `fast`; allowed learning, steady, confident
height: 1380⏎shoe: 34                   | 2:1 | `shoe` is not a key here; allowed: name, inseam, height
height: 1380⏎inseam: .nan               | 2:9 | inseam: `NaN` is not a finite number
height: 1380⏎name: [a]                  | 2:7 | name: found a list; wanted a text
hip_height: 710⏎knee_height: 700⏎height: 1380 |  | thigh: comes out 10 mm from the measured heights
name: A⏎sex: girl⏎stage: steady         |     | height: is missing; a fit needs the height or the inseam
# nobody                                |     | is empty; it may have name, inseam, height, arm_reach, age
";
    let folder = tempfile::tempdir().expect("a temporary folder");
    for [text, place, words] in rows(table) {
        let path = file(folder.path(), "rider.yaml", &text);
        let ran = inseam(&["fit", "trail-24", "--rider", &path, "--on", "2026-03-01"]);
        assert_eq!(
            (ran.status, ran.out.as_str()),
            (1, ""),
            "{text:?}: {}",
            ran.err
        );
        let at = if place.is_empty() {
            String::new()
        } else {
            format!(":{place}\n")
        };
        says(&ran, &[&words, &format!("rider.yaml{at}")]);
    }
    assert_eq!(listing(folder.path()), ["rider.yaml"], "nothing is written");
}

#[test]
fn check_looks_at_every_file_and_fails_when_one_is_bad() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let good = file(folder.path(), "good.yaml", TRAIL_24);
    let bad = file(
        folder.path(),
        "bad.yaml",
        frame("reach: 335", "reach: long"),
    );
    let rider = file(folder.path(), "rider.yaml", RIDER);
    let ran = inseam(&["check", &bad, &good, &rider]);
    assert_eq!((ran.status, ran.err.as_str()), (1, ""));
    assert!(ran.out.contains("bad.yaml:6:10"), "{}", ran.out);
    let expected = format!("{good}: frame, ok\n{FULL}{rider}: rider, ok\n");
    assert!(ran.out.ends_with(&expected), "{}", ran.out);
    assert_eq!(inseam(&["check", &good, &rider]).status, 0);
}

/// ISO 5775 has rims of 507 and 406 mm and none beside them; 23 lb are 10.4 kg; a girl of 1160 mm is six, as `handover`
/// says of the same file.
#[test]
fn slips_of_the_pen_are_to_be_looked_at_again() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let check = |name: &str, text: String| {
        let path = file(folder.path(), name, text);
        let out = inseam(&["check", &path]).out;
        out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let read_as = |front: &str| {
        check(
            "tyre.yaml",
            frame("front: 54-507", &format!("front: {front}")),
        )
    };
    for (front, said) in [
        ("54-509", "no rim has a bead seat of 509 mm: is it 54-507?"),
        ("54-504", "no rim has a bead seat of 504 mm: is it 54-507?"),
        ("54-410", "no rim has a bead seat of 410 mm: is it 54-406?"),
    ] {
        let out = read_as(front);
        assert!(
            out.contains("look again")
                && out.contains(&format!("tyres.front: {front}, and {said}")),
            "{out}"
        );
    }
    // Rims that are made: 501 and 520 beside 507, 349 beside 355.
    for front in ["54-501", "54-520", "54-349"] {
        assert!(!read_as(front).contains("no rim has"), "{front}");
    }
    let weighs = |weight: &str| {
        let sample = TRAIL_24
            .lines()
            .find(|line| line.starts_with("weight:"))
            .expect("a weight");
        check("weight.yaml", frame(sample, &format!("weight: {weight}")))
    };
    let heavy = weighs("23");
    assert!(
        heavy.contains("were it pounds, it would be 10.4 kg: write `23 lb` if it is"),
        "{heavy}"
    );
    for right in ["23 lb", "13.5 kg"] {
        assert!(!weighs(right).contains("pounds"), "{right}");
    }
    for (age, says) in [("16y", true), ("3y", true), ("6y6m", false)] {
        let out = check("kid.yaml", format!("height: 1160\nage: {age}\nsex: girl\n"));
        assert_eq!(out.contains("standard deviations"), says, "{out}");
        assert_eq!(out.contains("rider, look again"), says, "{out}");
    }
}

#[test]
fn the_program_itself_ends_the_same_way() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let unknown = frame("reach: 335", "reach: 335\n  colour: red");
    for (name, bytes) in [
        ("unknown.yaml", unknown.into_bytes()),
        ("binary.yaml", (0..=255).collect()),
        ("deep.yaml", "[".repeat(50_000).into_bytes()),
        ("long.yaml", vec![b'x'; 5_000_000]),
    ] {
        let path = file(folder.path(), name, bytes);
        let ran = Command::new(env!("CARGO_BIN_EXE_inseam"))
            .args(["fit", &path, "--height", "1380"])
            .current_dir(folder.path())
            .output()
            .expect("the program starts");
        let err = String::from_utf8(ran.stderr).expect("UTF-8");
        assert_eq!(
            (ran.status.code(), ran.stdout.len()),
            (Some(1), 0),
            "{name}: {err}"
        );
        assert!(
            err.contains(name) && !err.contains("panicked"),
            "{name}: {err}"
        );
        assert!(!err.contains('\u{1b}'), "no colours into a pipe: {err:?}");
    }
    assert_eq!(listing(folder.path()).len(), 4, "nothing is written");
}

#[test]
fn a_saddle_lower_at_the_mark_than_right_down_is_no_bike() {
    let text = "{name: Test, style: trail, tyres: {front: 50-406, rear: 50-406}, measured: {seat_height_lowest: 860, seat_height_highest: 830}}";
    let error = Document::from_text("upside-down.yaml", text)
        .read::<FrameSpec>()
        .and_then(|spec| Bike::new("upside-down", spec))
        .expect_err("no bike");
    let said = error.to_string();
    assert!(said.contains("measured.seat_height_lowest"), "{said}");
    assert!(
        said.contains("above seat_height_highest of 830 mm"),
        "{said}"
    );
}
