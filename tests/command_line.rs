//! The program as its users meet it: what it prints, where, with which exit code; the JSON contract; any width.
//! Whole outputs are held against the files in `data/pins`; `INSEAM_BLESS=1 cargo test` writes them anew, to be read
//! in the diff before they are committed.

mod common;

use std::io::Read as _;
use std::process::{Command, Stdio};

use common::contract::{self, mirrored};
use common::program::{Ran, file, inseam, listing, process, run_at};
use common::{BALANCE_12, RIDER, STREET_16, TRAIL_24, TRAIL_26, bike, rider, spec};
use inseam::report::terminal::Layout;
use inseam::report::text;
use inseam::{Options, Units, assess};
use tempfile::TempDir;
use unicode_width::UnicodeWidthStr as _;

const DAY: &str = "2026-03-01";

/// A folder with a frame, a rider and a place for pictures.
struct Shop {
    folder: TempDir,
    frame: String,
    rider: String,
    out: String,
}

impl Shop {
    fn new(frame: &str, rider: &str) -> Self {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let out = folder.path().join("out");
        Self {
            frame: file(folder.path(), "bike.yaml", frame),
            rider: file(folder.path(), "rider.yaml", rider),
            out: out.to_str().expect("UTF-8").to_owned(),
            folder,
        }
    }

    fn args<'a>(&'a self, more: &[&'a str]) -> Vec<&'a str> {
        let fixed = ["fit", &self.frame, "--rider", &self.rider];
        let shown = ["--out", &self.out, "--on", DAY];
        [&fixed[..], &shown[..], more].concat()
    }

    fn fit(&self, more: &[&str]) -> Ran {
        inseam(&self.args(more))
    }

    /// Output without the folder's own name, which is another on every run.
    fn anonymous(&self, text: &str) -> String {
        let folder = self.folder.path().to_str().expect("UTF-8");
        text.replace(folder, "SHOP")
    }
}

/// Holds an output against its file.
#[track_caller]
fn pinned(name: &str, found: &str) {
    let path = format!("{}/tests/data/pins/{name}", env!("CARGO_MANIFEST_DIR"));
    if std::env::var_os("INSEAM_BLESS").is_some() {
        std::fs::write(&path, found).expect("the pin can be written");
    }
    let expected = std::fs::read_to_string(&path).unwrap_or_default();
    let differ = expected
        .lines()
        .zip(found.lines())
        .position(|(expected, found)| expected != found);
    assert!(
        expected == found,
        "{name} differs at line {:?}; found:\n{found}",
        differ.map(|index| index + 1)
    );
}

#[test]
fn a_fit_is_pinned_word_for_word() {
    let shop = Shop::new(TRAIL_24, RIDER);
    for (name, more) in [
        ("fit.txt", vec![]),
        ("fit-in.txt", vec!["--units", "in"]),
        ("fit-exact.txt", vec!["--exact"]),
        ("fit-confident.txt", vec!["--stage", "confident"]),
    ] {
        let ran = shop.fit(&more);
        assert_eq!(ran.status, 0, "{}", ran.err);
        pinned(name, &ran.out);
        assert_eq!(shop.anonymous(&ran.err), "picture: SHOP/out/bike.svg\n");
    }
    assert_eq!(listing(&shop.folder.path().join("out")), ["bike.svg"]);
    // What does not fit, what is not known, what is too close to call: no work order in any.
    let unknown = TRAIL_24
        .lines()
        .filter(|line| !line.starts_with("brakes") && !line.contains("kind: hand"))
        .collect::<Vec<_>>()
        .join("\n");
    for (name, frame, rider) in [
        (
            "fit-too-big.txt",
            TRAIL_24,
            "height: 1250\nage: 8y\nsex: boy\n",
        ),
        ("fit-undecided.txt", TRAIL_24, "height: 1310\n"),
        ("fit-incomplete.txt", &unknown, RIDER),
    ] {
        let ran = Shop::new(frame, rider).fit(&[]);
        assert_eq!(ran.status, 0, "{}", ran.err);
        assert!(!ran.out.contains("Set ("), "{}", ran.out);
        // What is good already is told of a pair that may still fit, and what a handover sets waits.
        let is_open = name != "fit-too-big.txt";
        assert_eq!(ran.out.contains("toe clearance"), is_open, "{}", ran.out);
        assert_eq!(ran.out.contains("a setting: made"), is_open, "{}", ran.out);
        let has_saddle = ran.out.contains("To try it, set the saddle to");
        assert_eq!(has_saddle, name == "fit-undecided.txt", "{}", ran.out);
        pinned(name, &ran.out);
    }
    let rider = "--height 128cm --inseam 60cm --age 8y --sex girl --on 2026-03-01";
    let size = format!("size {rider}");
    let ran = inseam(&size.split_whitespace().collect::<Vec<_>>());
    pinned("size.txt", &ran.out);
    let compare = format!("compare street-20 street-24 {rider} --out {}", shop.out);
    let ran = inseam(&compare.split_whitespace().collect::<Vec<_>>());
    pinned("compare.txt", &ran.out);
}

#[test]
fn checked_files_are_pinned_word_for_word() {
    let contradictory = TRAIL_24.replace("wheelbase: 937", "wheelbase: 955");
    let broken = TRAIL_24
        .replace("reach: 335", "reach: 33.5")
        .replace("travel: 60", "travle: 60");
    let shop = Shop::new(&contradictory, RIDER);
    let bad = file(shop.folder.path(), "bad.yaml", broken);
    let ran = inseam(&["check", &shop.frame, &shop.rider, &bad]);
    assert_eq!((ran.status, ran.err.as_str()), (1, ""));
    pinned("check.txt", &shop.anonymous(&ran.out));
}

#[test]
fn usage_errors_end_with_2_and_say_what_to_write() {
    for (args, words) in [
        (vec![], "Usage: inseam <COMMAND>"),
        (vec!["fitt"], "unrecognized subcommand 'fitt'"),
        (vec!["fit"], "<FRAME>"),
        (vec!["check"], "<FILE>"),
        (vec!["fit", "trail-24", "--hight", "138cm"], "--height"),
        (vec!["fit", "trail-24", "--height"], "a value is required"),
        (
            vec!["fit", "trail-24", "--height", "long"],
            "is not a length",
        ),
        (
            vec!["fit", "trail-24", "--height", "-138cm"],
            "found -1380 mm",
        ),
        (
            vec!["fit", "trail-24", "--height", "nan"],
            "is not a length",
        ),
        (
            vec!["fit", "trail-24", "--age", "9"],
            "`9` is not an age; did you mean `9y`?",
        ),
        (
            vec!["fit", "trail-24", "--age", "2018-03-01"],
            "is a date, not an age; write it as --born 2018-03-01",
        ),
        (
            vec!["fit", "trail-24", "--age", "8y6"],
            "write for example 8y6m",
        ),
        (
            vec!["fit", "trail-24", "--weight", "5 m"],
            "`m` is not a unit",
        ),
        (
            vec!["fit", "trail-24", "--stage", "fast"],
            "learning, steady, confident",
        ),
        (vec!["fit", "trail-24", "--sex", "x"], "girl, boy"),
        (
            vec!["fit", "trail-24", "--born", "2019-02-30"],
            "2019-02-30",
        ),
        (vec!["fit", "trail-24", "--units", "furlong"], "mm, cm, in"),
        (vec!["fit", "trail-24", "--format", "xml"], "text, json"),
        (
            vec!["fit", "trail-24", "--age", "9y", "--born", "2017-01-01"],
            "cannot be used with",
        ),
    ] {
        let ran = inseam(&args);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{args:?}");
        assert!(ran.err.contains(words), "{args:?}: {}", ran.err);
    }
}

#[test]
fn help_and_version_are_answers() {
    for args in [
        &["--help"][..],
        &["fit", "--help"],
        &["help"],
        &["--version"],
    ] {
        let ran = inseam(args);
        assert_eq!((ran.status, ran.err.as_str()), (0, ""), "{args:?}");
        assert!(ran.out.contains("inseam"), "{args:?}: {}", ran.out);
    }
    let help = inseam(&["--help"]).out;
    assert!(help.contains("Exit codes: 0 ran, 1 bad input, 2 usage, 3 with --strict"));
    assert!(help.contains("not a safety certificate"));
}

#[test]
fn strict_ends_with_3_only_when_the_bike_does_not_fit() {
    let shop = Shop::new(TRAIL_24, "height: 1000\n");
    assert_eq!(shop.fit(&[]).status, 0);
    let ran = shop.fit(&["--strict"]);
    assert_eq!(ran.status, 3);
    assert!(
        ran.out.contains("TOO-BIG"),
        "the answer is given all the same"
    );
    assert_eq!(shop.fit(&["--strict", "--format", "json"]).status, 3);
    let shop = Shop::new(TRAIL_24, RIDER);
    assert_eq!(shop.fit(&["--strict"]).status, 0);
}

#[test]
fn flags_win_over_the_file() {
    let shop = Shop::new(TRAIL_24, RIDER);
    let json = |more: &[&str]| {
        let ran = shop.fit(&[&["--format", "json"], more].concat());
        mirrored::<contract::Fit>(&ran.out)
    };
    assert!((json(&[]).rider.inseam_mm - 660.0).abs() < 1e-9);
    let fit = json(&[
        "--inseam",
        "25 in",
        "--stage",
        "confident",
        "--born",
        "2015-03-01",
    ]);
    assert!((fit.rider.inseam_mm - 635.0).abs() < 1e-9);
    assert_eq!(fit.rider.stage, "confident");
    // The date of birth replaces the file's age: eleven years on the day.
    assert!((fit.rider.age_months.expect("an age") - 132.0).abs() < 0.1);
    assert!(
        (fit.rider.height_mm - 1380.0).abs() < 1e-9,
        "the rest stays"
    );
    // Beside dated figures the arm alone belongs to the newest; a height of today takes the place of all.
    let shop = Shop::new(
        TRAIL_24,
        "measurements:\n- {on: 2026-02-20, height: 1380, inseam: 660}\n- {on: 2025-03-01, height: 1330}\n",
    );
    let json = |more: &[&str]| {
        let ran = shop.fit(&[&["--format", "json"], more].concat());
        mirrored::<contract::Fit>(&ran.out)
    };
    let fit = json(&["--arm-reach", "53cm"]);
    assert!((fit.rider.arm_reach_mm - 530.0).abs() < 1e-9);
    assert!((fit.rider.inseam_mm - 660.0).abs() < 1e-9);
    assert_eq!(fit.rider.measured_on, "2026-02-20");
    let fit = json(&["--height", "139cm"]);
    assert!((fit.rider.height_mm - 1390.0).abs() < 1e-9);
    assert_eq!(fit.rider.measured_on, DAY);
    // What a year ago was measured does not count as of today beside it, and that is said.
    let shop = Shop::new(
        TRAIL_24,
        "height: 1330\ninseam: 640\nage: 9y\nmeasured_on: 2025-03-01\n",
    );
    let ran = shop.fit(&["--format", "json", "--height", "139cm"]);
    let fit: contract::Fit = mirrored(&ran.out);
    assert!((fit.rider.age_months.expect("an age") - 120.0).abs() < 0.1);
    assert!(fit.rider.inseam_mm > 655.0, "{}", fit.rider.inseam_mm);
    assert!(
        ran.out.contains("are of 2025-03-01 and left out"),
        "{}",
        ran.out
    );
}

#[test]
fn json_keeps_the_contract_with_every_key_and_no_other() {
    // A full pair, one without age, one that is far too big, and a balance bike: whatever can be null is null somewhere.
    for (frame, person, more) in [
        (TRAIL_24, RIDER, &[][..]),
        (TRAIL_24, RIDER, &["--exact"]),
        (TRAIL_24, RIDER, &["--stage", "confident", "--units", "in"]),
        (TRAIL_26, "height: 900\nstage: confident\n", &[]),
        (STREET_16, "inseam: 450\nage: 5y\n", &[]),
        (BALANCE_12, "height: 920\nage: 3y\nsex: boy\n", &[]),
    ] {
        let shop = Shop::new(frame, person);
        let ran = shop.fit(&[&["--format", "json"], more].concat());
        assert_eq!(ran.status, 0, "{}", ran.err);
        let fit: contract::Fit = mirrored(&ran.out);
        assert_contract(&fit);
    }
}

fn assert_contract(fit: &contract::Fit) {
    assert_eq!(fit.schema, "inseam/fit/2");
    let sides = ["fits", "too-big", "too-small", "unsuitable"];
    let verdicts = [&sides[..], &["undecided", "incomplete"]].concat();
    assert!(verdicts.contains(&fit.verdict.as_str()), "{}", fit.verdict);
    // Only an undecided pair leans, and to a side.
    assert_eq!(fit.leans.is_some(), fit.verdict == "undecided");
    assert!(fit.leans.iter().all(|side| sides.contains(&side.as_str())));
    assert!(["learning", "steady", "confident"].contains(&fit.rider.stage.as_str()));
    assert!(["balance", "street", "trail"].contains(&fit.bike.style.as_str()));
    let origin = fit.bike.points.bottom_bracket;
    assert!(
        origin[0].hypot(origin[1]) < 1e-9,
        "the bracket is the origin"
    );
    // Nobody tries a first ride on a bike that is ruled out; all others come along.
    let is_out = !["fits", "undecided", "incomplete"].contains(&fit.verdict.as_str());
    let rides = fit
        .cautions
        .iter()
        .filter(|one| one.starts_with("Before a first ride"));
    assert_eq!(rides.count(), usize::from(!is_out), "{:?}", fit.cautions);
    assert!(
        fit.cautions.len() >= 7 - usize::from(is_out),
        "the cautions come along"
    );
    if let Some(confidence) = &fit.confidence {
        assert!(["sure", "likely", "too close to call"].contains(&confidence.as_str()));
    }
    let bike = &fit.bike;
    assert_eq!(fit.setting.is_some(), fit.verdict == "fits");
    if let Some(set) = &fit.setting {
        assert!(set.saddle_height_mm >= bike.saddle_height_min_mm - 1e-3);
        assert!(set.saddle_height_mm <= bike.saddle_height_max_mm + 1e-3);
    }
    for finding in &fit.findings {
        let statuses = ["ok", "set", "caution", "fail", "not-checked"];
        assert!(statuses.contains(&finding.status.as_str()), "{finding:?}");
        assert!(["mm", "deg", "%", "kg", "count"].contains(&finding.unit.as_str()));
        assert!(!finding.sources.is_empty() && !finding.advice.is_empty());
        assert!(
            finding
                .chance
                .is_none_or(|chance| (0.0..=1.0).contains(&chance))
        );
        // The margin is the distance to the nearer end.
        if let Some(value) = finding.value {
            let ends = [
                finding.low.map(|low| value - low),
                finding.high.map(|high| high - value),
            ];
            let margin = ends.into_iter().flatten().reduce(f64::min);
            let differ = margin.unwrap_or(0.0) - finding.margin.unwrap_or(0.0);
            assert!(differ.abs() < 2e-4, "{finding:?}");
        }
        if finding.status == "not-checked" {
            assert!(
                finding.advice.starts_with("not checked: needs "),
                "{}",
                finding.advice
            );
        }
    }
    // A verdict is never better than its worst finding.
    let has = |status: &str| fit.findings.iter().any(|finding| finding.status == status);
    assert!(!has("fail") || fit.verdict != "fits", "{:?}", fit.findings);
}

#[test]
fn numbers_in_json_are_short_and_finite() {
    let shop = Shop::new(TRAIL_24, RIDER);
    let out = shop.fit(&["--format", "json"]).out;
    assert!(!out.contains("NaN") && !out.contains("inf\n"));
    // At most four digits behind the point: a tenth of a micron.
    let digits = |text: &str| text.chars().take_while(char::is_ascii_digit).count();
    for line in out
        .lines()
        .filter(|line| !line.contains('"') || line.contains("\": "))
    {
        let value = line.rsplit(' ').next().unwrap_or_default();
        if let Some((whole, fraction)) = value.trim_end_matches(',').split_once('.')
            && whole.trim_start_matches('-').parse::<u64>().is_ok()
        {
            assert!(digits(fraction) <= 4, "{line}");
        }
    }
}

#[test]
fn no_line_of_a_report_is_wider_than_the_terminal() {
    let long = TRAIL_24.replace("Sample trail 24", &"x".repeat(120));
    let wide = TRAIL_24.replace("Sample trail 24", &"自転車".repeat(40));
    let denied = TRAIL_24.replace(
        "{wheelbase: 937, standover: 590}",
        "{wheelbase: 1037, standover: 690}",
    );
    let people = [
        RIDER.replace("Rider A", &"r".repeat(100)),
        "height: 900\nstage: learning\nage: 3y\n".to_owned(),
        "inseam: 480\nstage: confident\n".to_owned(),
        "height: 1750\nweight: 60 kg\nage: 15y\nsex: boy\n".to_owned(),
    ];
    for frame in [
        TRAIL_24, TRAIL_26, STREET_16, BALANCE_12, &long, &wide, &denied,
    ] {
        let bike = bike(spec(frame));
        for person in &people {
            for units in [Units::Mm, Units::Cm, Units::In] {
                let day = DAY.parse().expect("a date");
                let fit = assess(&rider(person), &bike, &Options::new(day));
                for columns in 40..=120 {
                    let report = text::fit(&fit, Layout { columns, units });
                    let report = anstream::adapter::strip_str(&report).to_string();
                    let widest = report.lines().max_by_key(|line| line.width());
                    let widest = widest.unwrap_or_default();
                    assert!(
                        widest.width() <= columns,
                        "{columns} columns, {units:?}:\n{widest}"
                    );
                }
            }
        }
    }
}

#[test]
fn every_caution_is_printed_at_every_width() {
    let shop = Shop::new(TRAIL_24, RIDER);
    for columns in [40, 80, 200] {
        let ran = run_at(columns, &shop.args(&[]));
        let words: Vec<_> = ran.out.split_whitespace().collect();
        let text = words.join(" ");
        for caution in inseam::cautions::CAUTIONS {
            assert!(text.contains(caution), "{columns} columns: {caution}");
        }
    }
}

/// The program itself, in a folder of its own.
fn program(shop: &Shop) -> Command {
    let mut command = process();
    command.current_dir(shop.folder.path());
    command
}

#[test]
fn no_colours_into_a_pipe_nor_with_no_color() {
    let shop = Shop::new(TRAIL_24, RIDER);
    let escapes = |command: &mut Command| {
        let ran = command.output().expect("the program starts");
        assert!(!ran.stdout.is_empty() || !ran.stderr.is_empty());
        ran.stdout.contains(&0x1b) || ran.stderr.contains(&0x1b)
    };
    assert!(
        run_at(80, &shop.args(&[])).out.contains('\u{1b}'),
        "there are colours to leave out"
    );
    for args in [
        shop.args(&[]),
        shop.args(&["--format", "json"]),
        vec!["check", "none.yaml"],
        vec!["fitt"],
    ] {
        assert!(!escapes(program(&shop).args(&args)), "{args:?} into a pipe");
        let mut forced = program(&shop);
        forced
            .args(&args)
            .env("CLICOLOR_FORCE", "1")
            .env("NO_COLOR", "1");
        assert!(!escapes(&mut forced), "{args:?} with NO_COLOR");
    }
}

#[test]
fn the_program_and_the_library_print_the_same() {
    let shop = Shop::new(TRAIL_24, RIDER);
    let ran = program(&shop)
        .args(shop.args(&[]))
        .output()
        .expect("the program starts");
    let expected = shop.fit(&[]);
    assert_eq!(ran.status.code(), Some(i32::from(expected.status)));
    assert_eq!(String::from_utf8_lossy(&ran.stdout), expected.out);
    assert_eq!(String::from_utf8_lossy(&ran.stderr), expected.err);
}

#[test]
fn a_reader_that_leaves_early_is_no_panic() {
    // Like `inseam … | head -1`: one byte is read, then the pipe is closed.
    let shop = Shop::new(TRAIL_24, RIDER);
    for more in [&[][..], &["--format", "json"]] {
        let mut child = program(&shop)
            .args(shop.args(more))
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let mut first = [0];
        let mut out = child.stdout.take().expect("a pipe");
        out.read_exact(&mut first).expect("a byte");
        drop(out);
        let ran = child.wait_with_output().expect("it ends");
        let err = String::from_utf8_lossy(&ran.stderr);
        assert_eq!(ran.status.code(), Some(0), "{err}");
        assert!(!err.contains("panicked"), "{err}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_an_error_not_half_an_answer() {
    let shop = Shop::new(TRAIL_24, RIDER);
    let full = std::fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .expect("/dev/full");
    let ran = program(&shop)
        .args(shop.args(&[]))
        .stdout(full)
        .stderr(Stdio::piped())
        .spawn()
        .and_then(std::process::Child::wait_with_output)
        .expect("the program starts");
    let err = String::from_utf8_lossy(&ran.stderr);
    assert_eq!(ran.status.code(), Some(1), "{err}");
    assert!(
        err.contains("standard output") && err.contains("No space"),
        "{err}"
    );
}

#[test]
fn pictures_that_cannot_be_written_are_an_error_with_the_path() {
    let shop = Shop::new(TRAIL_24, RIDER);
    let blocked = file(shop.folder.path(), "blocked", "not a folder");
    let before = listing(shop.folder.path());
    let ran = inseam(&["fit", &shop.frame, "--height", "138cm", "--out", &blocked]);
    assert_eq!(ran.status, 1);
    assert!(ran.err.contains("blocked"), "{}", ran.err);
    assert_eq!(
        listing(shop.folder.path()),
        before,
        "nothing half written is left"
    );
    assert_eq!(
        std::fs::read_to_string(&blocked).expect("still there"),
        "not a folder"
    );
}

#[test]
fn a_frame_and_a_rider_can_come_through_standard_input() {
    use std::io::Write as _;
    let shop = Shop::new(TRAIL_24, RIDER);
    for (args, input) in [
        (["fit", "-", "--rider", &shop.rider], TRAIL_24),
        (["fit", &shop.frame, "--rider", "-"], RIDER),
    ] {
        let mut child = program(&shop)
            .args(args)
            .args(["--on", DAY])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let mut stdin = child.stdin.take().expect("a pipe");
        stdin.write_all(input.as_bytes()).expect("it reads");
        drop(stdin);
        let ran = child.wait_with_output().expect("it ends");
        assert_eq!(
            ran.status.code(),
            Some(0),
            "{}",
            String::from_utf8_lossy(&ran.stderr)
        );
        assert_eq!(
            String::from_utf8_lossy(&ran.stdout),
            shop.fit(&[]).out,
            "{args:?}"
        );
    }
    let mut bad = program(&shop);
    bad.args(["fit", "-", "--height", "138cm"])
        .stdin(Stdio::null());
    let ran = bad.output().expect("the program starts");
    assert_eq!(ran.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&ran.stderr).contains("<stdin>: is empty"));
}

#[test]
fn a_chart_with_a_bad_row_gives_the_other_frame_files_and_names_the_row() {
    let folder = tempfile::tempdir().unwrap();
    let chart = file(
        folder.path(),
        "chart.csv",
        "name,tyre,wheelbase,standover,head angle,Colour,Mood\n\
         A,54-507,900,590,67,red,good\n\
         B,,950,590,67,red,good\n\
         C,54-507,long,590,67,blue,bad\n",
    );
    let out = folder.path().join("frames");
    let out = out.to_str().expect("UTF-8");
    let ran = inseam(&["import", &chart, "--style", "trail", "--out", out]);
    let said = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(ran.status, 1, "{said}");
    assert_eq!(std::fs::read_dir(out).unwrap().count(), 2);
    for wanted in [
        "row 3, B: no tyre in the chart",
        "row 4, column 3, wheelbase: `long` is not one number",
        "Names known here: name, size, tyre",
    ] {
        assert!(said.contains(wanted), "{wanted}: {said}");
    }
    for once in ["Colour: ", "Mood: ", "Names known here"] {
        assert_eq!(said.matches(once).count(), 1, "{once}: {said}");
    }
    for id in ["a", "c"] {
        let ran = inseam(&["check", &format!("{out}/{id}.yaml")]);
        assert_eq!(ran.status, 0, "{}{}", ran.out, ran.err);
    }
    // No row that is a bike: nothing is written.
    let none = file(folder.path(), "none.csv", "name,wheelbase\nA,900\n");
    let empty = folder.path().join("none");
    let empty = empty.to_str().expect("UTF-8");
    let ran = inseam(&["import", &none, "--style", "trail", "--out", empty]);
    assert!(
        ran.status == 1 && ran.err.contains("row 2, A: no tyre"),
        "{}",
        ran.err
    );
    assert!(!std::path::Path::new(empty).exists());
    // A bike of which nothing is understood is no bike, whatever tyres it has.
    let none = file(folder.path(), "none.csv", "name,tyre,Mood\nA,54-507,good\n");
    let ran = inseam(&["import", &none, "--style", "trail", "--out", empty]);
    let said = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(ran.status, 1, "{said}");
    for wanted in [
        "row 2, A: no figure of it is understood",
        "Names known here: name, size, tyre",
    ] {
        assert!(said.contains(wanted), "{wanted}: {said}");
    }
    assert!(!std::path::Path::new(empty).exists());
}

#[test]
fn a_file_of_another_kind_is_told_by_its_kind() {
    let folder = tempfile::tempdir().expect("folder");
    let rider = file(folder.path(), "kim.yaml", "name: Kim\nheight: 1280\n");
    let frame = file(
        folder.path(),
        "bike.yaml",
        "name: Bike\nstyle: trail\ntyres: {front: 54-507, rear: 54-507}\n",
    );
    for (arguments, wanted) in [
        (
            ["fit", &rider, "--height", "128cm"],
            "is a rider file, not a frame file",
        ),
        (
            ["fit", "trail-24", "--rider", &frame],
            "is a frame file, not a rider file",
        ),
        (
            ["due", &rider, "--within", "1y"],
            "is a rider file, not a record",
        ),
    ] {
        let ran = inseam(&arguments);
        let said = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            ran.status == 1 && said.contains(wanted),
            "{arguments:?}: {said}"
        );
    }
}

#[test]
fn check_calls_nothing_measured_that_no_tape_was_on() {
    let folder = tempfile::tempdir().unwrap();
    let taped = file(
        folder.path(),
        "taped.yaml",
        "name: Taped\nstyle: street\ntyres: {front: 47-406, rear: 47-406}\nmeasured: {seat_height_lowest: 560, seat_height_highest: 690}\n",
    );
    let ran = inseam(&["check", &taped]);
    let said = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let worked_out =
        "worked out from what was measured: frame.seat_tube.usable_depth, seat_post.length";
    assert!(said.contains(worked_out), "{said}");
    assert!(!said.contains("- measured:"), "{said}");
}

/// The sample's post is at its mark for this leg: no figure may read as if it went higher.
#[test]
fn a_saddle_at_the_posts_mark_is_never_told_with_a_plus() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let out = folder.path().to_str().expect("UTF-8");
    let set = |inseam_cm: &str, height: &str| {
        let ran = inseam(&[
            "fit",
            "street-24",
            "--inseam",
            inseam_cm,
            "--height",
            height,
            "--stage",
            "confident",
            "--units",
            "cm",
            "--on",
            DAY,
            "--out",
            out,
        ]);
        let lines = ran.out.lines();
        let mut lines = lines.filter(|line| line.starts_with("  saddle height "));
        lines.next().expect("a saddle to set").to_owned()
    };
    let at_mark = set("68cm", "142cm");
    assert!(
        at_mark.ends_with("to the saddle top, never above"),
        "{at_mark}"
    );
    assert!(!at_mark.contains('±'), "{at_mark}");
    let below = set("65cm", "138cm");
    assert!(below.contains('±') && !below.contains("never"), "{below}");
}
