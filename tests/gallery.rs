//! The committed gallery in `out/`, byte for byte: every picture is what one command line makes today.
//! `UPDATE_GALLERY=1 cargo test --test gallery` writes it anew; look at every changed picture before committing it.

use std::collections::BTreeMap;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

use inseam::cli::{Streams, run};
use inseam::draw;

/// The day that every picture is made for, so that it is the same on every other.
const ON: &str = "2026-03-01";

/// Command lines as the README writes them, without `inseam` and without `--out` and `--on`.
/// `OUT` stands for the gallery's folder. All riders are invented.
const COMMANDS: &[&str] = &[
    "fit balance-12 --inseam 38cm --height 94cm --stage learning --age 3y",
    "fit coaster-16 --inseam 47cm --height 107cm --stage steady --age 5y",
    "fit trail-20 --inseam 59cm --height 127cm --stage steady --age 7y6m",
    "fit trail-24 --inseam 66cm --height 138cm --arm-reach 53cm",
    "fit step-26 --inseam 72cm --height 148cm --stage steady --age 11y6m",
    "fit trail-27 --inseam 79cm --height 165cm --stage confident --age 14y",
    "compare street-20 street-24 --inseam 60cm --height 128cm --age 8y --sex girl",
    "handover trail-24 --inseam 66cm --height 138cm --arm-reach 53cm --age 9y6m --weight 32kg --card OUT/handover.html",
];

/// Commands whose pictures carry no day and which therefore take none.
const COMMANDS_WITHOUT_A_DAY: &[&str] = &["rack"];

/// The gallery in the repository.
fn gallery() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("out")
}

/// Every file of a folder by name.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return BTreeMap::new();
    };
    let read = |entry: std::io::Result<std::fs::DirEntry>| {
        let path = entry.expect("an entry").path();
        let name = path.file_name().expect("a name").to_string_lossy();
        (
            name.into_owned(),
            std::fs::read(&path).expect("a readable file"),
        )
    };
    entries.map(read).collect()
}

/// Runs one command line in memory; it must end with 0.
fn make(words: &[String]) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let program = std::iter::once("inseam".to_owned());
    let status = run(
        program.chain(words.iter().cloned()).map(OsString::from),
        &mut Streams {
            out: &mut out,
            err: &mut err,
            columns: 100,
        },
    );
    assert_eq!(
        status,
        0,
        "inseam {}\n{}",
        words.join(" "),
        String::from_utf8_lossy(&err)
    );
}

/// Makes the whole gallery in a folder.
fn make_all(folder: &Path) {
    let out = folder.to_str().expect("the path is UTF-8");
    let words = |command: &str| -> Vec<String> {
        let words = command.split(' ').map(|word| word.replace("OUT", out));
        words.chain(["--out".to_owned(), out.to_owned()]).collect()
    };
    for command in COMMANDS {
        let mut words = words(command);
        words.extend(["--on".to_owned(), ON.to_owned()]);
        make(&words);
    }
    for command in COMMANDS_WITHOUT_A_DAY {
        make(&words(command));
    }
    for (name, picture) in [
        ("measuring", draw::measuring(draw::Form::Lying)),
        (
            "measuring-a-bike",
            draw::measuring_a_bike(draw::Form::Lying),
        ),
    ] {
        let path = folder.join(format!("{name}.svg"));
        std::fs::write(path, picture.svg).expect("a writable folder");
    }
}

#[test]
fn every_picture_in_out_is_what_its_command_makes_today() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    make_all(folder.path());
    let made = files(folder.path());
    assert!(made.len() >= 10, "{:?}", made.keys());
    if std::env::var_os("UPDATE_GALLERY").is_some() {
        let old = files(&gallery());
        std::fs::create_dir_all(gallery()).expect("a writable checkout");
        for (name, bytes) in &made {
            std::fs::write(gallery().join(name), bytes).expect("a writable gallery");
        }
        // Somebody's own pictures stay.
        let is_stale = |name: &str| is_kept(name) && !made.contains_key(name);
        for name in old.keys().filter(|name| is_stale(name)) {
            std::fs::remove_file(gallery().join(name)).expect("a writable gallery");
        }
        return;
    }
    let committed = files(&gallery());
    let again = "look at the pictures, then: UPDATE_GALLERY=1 cargo test --test gallery";
    for (name, bytes) in &made {
        let old = committed
            .get(name)
            .unwrap_or_else(|| panic!("out/{name} is missing; {again}"));
        assert!(old == bytes, "out/{name} is out of date; {again}");
    }
    // Pictures that somebody made for themselves in a checkout are their own; committed ones are not.
    for name in committed.keys() {
        let is_ours = made.contains_key(name);
        assert!(
            is_ours || !is_kept(name),
            "out/{name} is made by no command; {again}"
        );
    }
}

/// Whether `.gitignore` lets a file of `out/` be committed.
fn is_kept(name: &str) -> bool {
    let rules = include_str!("../.gitignore");
    rules.lines().any(|rule| rule == format!("!/out/{name}"))
}

#[test]
fn exactly_the_gallery_is_kept_by_gitignore() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    make_all(folder.path());
    let made: Vec<String> = files(folder.path()).into_keys().collect();
    let rules = include_str!("../.gitignore").lines();
    let mut kept: Vec<&str> = rules
        .filter_map(|rule| rule.strip_prefix("!/out/"))
        .collect();
    kept.sort_unstable();
    assert_eq!(made, kept);
}
