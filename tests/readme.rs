//! What the documents promise: every command in `README.md` runs, every file shown is good, every source
//! and caution is the program's own, and the README's commands leave the committed pictures as they are.
#![cfg(unix)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use inseam::bike::library;
use inseam::cautions::CAUTIONS;
use inseam::file::Document;
use inseam::fit::CheckId;
use inseam::sources::Source;
use tempfile::TempDir;

const README: &str = include_str!("../README.md");
const RIDER: &str = include_str!("data/rider.yaml");

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The contents of every fenced block of one language, in order.
fn blocks(language: &str) -> Vec<String> {
    let fence = format!("```{language}\n");
    let after = README.split(&fence).skip(1);
    after
        .map(|rest| {
            let (block, _) = rest.split_once("```").expect("the fence is closed");
            block.to_owned()
        })
        .collect()
}

/// Every command line of the README that runs this program, as a shell takes it.
fn commands() -> Vec<String> {
    let lines = blocks("sh");
    let lines = lines.iter().flat_map(|block| block.lines());
    lines
        .map(|line| line.replace("cargo run --release --", "inseam"))
        // The page runs until it is stopped; `tests/page.rs` asks it.
        .filter(|line| line.starts_with("inseam ") && !line.starts_with("inseam serve"))
        .collect()
}

/// A folder with what the commands find in the repository.
fn checkout() -> TempDir {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let put = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        let parent = path.parent().expect("a parent");
        std::fs::create_dir_all(parent).expect("a writable folder");
        std::fs::write(&path, bytes).expect("a writable folder");
    };
    for (id, text) in library::SAMPLES {
        put(&format!("frames/{id}.yaml"), text.as_bytes());
    }
    put("tests/data/rider.yaml", RIDER.as_bytes());
    for shelf in [
        "tests/data/course/frames",
        "tests/data/course/riders",
        "tests/data/course/records",
    ] {
        for entry in std::fs::read_dir(root().join(shelf)).expect("a shelf of the course") {
            let path = entry.expect("an entry").path();
            let name = path.strip_prefix(root()).expect("in the checkout");
            let bytes = std::fs::read(&path).expect("a readable file");
            put(name.to_str().expect("a plain name"), &bytes);
        }
    }
    put("tests/data/chart.csv", include_bytes!("data/chart.csv"));
    folder
}

/// Runs a line as a shell does, with the program on the path.
fn shell(line: &str, folder: &Path) -> Output {
    let program = PathBuf::from(env!("CARGO_BIN_EXE_inseam"));
    let mut path = program.parent().expect("a folder").as_os_str().to_owned();
    path.push(":");
    path.push(std::env::var_os("PATH").unwrap_or_default());
    Command::new("sh")
        .args(["-c", line])
        .current_dir(folder)
        .env("PATH", path)
        .output()
        .expect("a shell")
}

fn must_run(line: &str, folder: &Path) -> String {
    let ran = shell(line, folder);
    let error = String::from_utf8_lossy(&ran.stderr);
    assert!(ran.status.success(), "{line}\n{}\n{error}", ran.status);
    let out = String::from_utf8(ran.stdout).expect("all output is UTF-8");
    assert!(!out.trim().is_empty(), "{line} says nothing");
    out
}

#[test]
fn the_first_two_blocks_are_the_job_and_the_tests() {
    let all = blocks("sh");
    assert_eq!(
        all[0].trim(),
        "cargo run --release -- fit trail-24 --inseam 66cm --height 138cm --arm-reach 53cm"
    );
    assert_eq!(all[1].trim(), "cargo test --locked");
}

#[test]
fn every_command_of_the_readme_runs_and_leaves_the_committed_pictures_as_they_are() {
    let folder = checkout();
    let commands = commands();
    assert!(commands.len() >= 10, "{commands:#?}");
    for line in &commands {
        must_run(line, folder.path());
    }
    let made = std::fs::read_dir(folder.path().join("out")).expect("pictures");
    let mut matching = 0;
    for entry in made {
        let entry = entry.expect("an entry");
        let name = entry.file_name().into_string().expect("a plain name");
        // Anything else in out/ is ignored by git.
        if include_str!("../.gitignore").contains(&format!("!/out/{name}\n")) {
            let committed = std::fs::read(root().join("out").join(&name)).expect("committed");
            let made = std::fs::read(entry.path()).expect("a readable picture");
            assert!(made == committed, "{name} is not the committed picture");
            matching += 1;
        }
    }
    assert!(matching >= 5, "{matching} pictures of the gallery");
}

#[test]
fn every_file_shown_is_good() {
    let folder = checkout();
    let shown = blocks("yaml");
    assert_eq!(shown.len(), 2, "a rider file and a frame file");
    for (index, text) in shown.iter().enumerate() {
        let name = format!("shown-{index}.yaml");
        std::fs::write(folder.path().join(&name), text).expect("a writable folder");
        let said = must_run(&format!("inseam check {name}"), folder.path());
        assert!(
            said.lines().next().is_some_and(|line| line.ends_with("ok")),
            "{said}"
        );
    }
    assert_eq!(shown[0], RIDER, "the rider file is the one in tests/data");
    let frame = Document::from_text("README.md", &shown[1]).read();
    let sample = library::sample("trail-24").expect("a sample bike");
    let frame: inseam::bike::FrameSpec = frame.unwrap_or_else(|wrong| panic!("{wrong:#?}"));
    assert_eq!(frame, sample.spec);
}

#[test]
fn the_readme_shows_every_caution_source_check_and_picture() {
    for caution in CAUTIONS {
        assert!(README.contains(&format!("\n- {caution}\n")), "{caution}");
    }
    for source in Source::ALL {
        let row = format!("\n| {} | ", source.citation());
        assert!(README.contains(&row), "{}", source.citation());
    }
    for check in CheckId::ALL {
        let row = format!("\n| {} | ", check.name().replace('_', " "));
        assert!(README.contains(&row), "{}", check.name());
    }
    for link in README.split("](").skip(1) {
        let (target, _) = link.split_once(')').expect("the link is closed");
        let is_elsewhere = target.starts_with('#') || target.starts_with("https://");
        assert!(is_elsewhere || root().join(target).exists(), "{target}");
    }
}
