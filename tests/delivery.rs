//! Nothing torn: what a run writes is whole or not there, whatever happens to the run; what it may not write to, it
//! leaves alone; what it reads has an end. The program runs as a process throughout.
#![cfg(unix)]

mod common;

use std::fs;
use std::os::unix::fs::{PermissionsExt as _, symlink};
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::time::Duration;

use common::program::{file, listing, process};
use common::{RIDER, TRAIL_24};
use tempfile::TempDir;

const BODY: [&str; 4] = ["--height", "138cm", "--inseam", "66cm"];

fn program(folder: &Path) -> Command {
    let mut command = process();
    command.current_dir(folder);
    command
}

fn run(folder: &Path, args: &[&str]) -> Output {
    program(folder).args(args).output().unwrap()
}

fn err(ran: &Output) -> String {
    String::from_utf8(ran.stderr.clone()).unwrap()
}

fn shop() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    file(folder.path(), "trail.yaml", TRAIL_24);
    file(folder.path(), "rider.yaml", RIDER);
    folder
}

fn spawn(command: &mut Command) -> Child {
    command
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

fn is_whole(path: &Path) -> bool {
    let text =
        fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    text.starts_with("<svg") && text.trim_end().ends_with("</svg>")
}

#[test]
fn a_reader_that_leaves_takes_neither_the_picture_nor_the_exit_code() {
    let folder = shop();
    for round in 0..12 {
        let out = folder.path().join(format!("out-{round}"));
        let mut command = program(folder.path());
        command.args([
            "fit",
            "trail.yaml",
            "--height",
            "100cm",
            "--strict",
            "--out",
        ]);
        let mut child = spawn(command.arg(&out));
        drop(child.stdout.take());
        let ran = child.wait_with_output().unwrap();
        assert_eq!(ran.status.code(), Some(3), "{}", err(&ran));
        assert!(is_whole(&out.join("trail.svg")));
    }
}

#[test]
fn one_target_that_cannot_be_written_leaves_nothing_new_and_says_nothing_on_standard_output() {
    let folder = shop();
    fs::write(folder.path().join("plain"), "kept").unwrap();
    let before = listing(folder.path());
    for args in [
        &[
            "handover",
            "trail.yaml",
            "--card",
            "new/card.html",
            "--out",
            "plain",
        ][..],
        &[
            "handover",
            "trail.yaml",
            "--card",
            "plain/card.html",
            "--out",
            "new/out",
        ],
        &["fit", "trail.yaml", "--out", "plain/deeper"],
        &["compare", "trail.yaml", "street-24", "--out", "plain"],
        &["rack", "trail.yaml", "--out", "plain"],
        &["fit", "trail.yaml", "--out", "/proc/nowhere"],
    ] {
        let body = if args[0] == "rack" { &[][..] } else { &BODY };
        let ran = run(folder.path(), &[args, body].concat());
        assert_eq!(ran.status.code(), Some(1), "{args:?}: {}", err(&ran));
        assert!(ran.stdout.is_empty(), "{args:?}");
        assert!(err(&ran).starts_with("error: "), "{args:?}: {}", err(&ran));
        assert_eq!(listing(folder.path()), before, "{args:?}");
    }
    assert_eq!(
        fs::read_to_string(folder.path().join("plain")).unwrap(),
        "kept"
    );
}

#[test]
fn two_outputs_of_one_run_never_share_a_name() {
    let folder = tempfile::tempdir().unwrap();
    for length in [40, 80, 120] {
        let [a, b] = ["a", "b"].map(|letter| letter.repeat(length));
        let [first, second] =
            [&a, &b].map(|stem| file(folder.path(), &format!("{stem}.yaml"), TRAIL_24));
        let out = format!("out-{length}");
        let more = ["--age", "9y6m", "--sex", "girl", "--out", &out];
        for args in [
            &["fit", &first][..],
            &["handover", &first],
            &["compare", &first, &second],
        ] {
            let ran = run(folder.path(), &[args, &BODY, &more].concat());
            assert!(ran.status.success(), "{}", err(&ran));
        }
        let pictures = listing(&folder.path().join(&out));
        assert_eq!(pictures.len(), 4, "{pictures:?}");
        for end in ["-growth.svg", "-handover.svg"] {
            assert!(
                pictures.iter().any(|name| name.ends_with(end)),
                "{pictures:?}"
            );
        }
    }
    // The card and the picture under one name: told, and neither is written.
    let args = [
        "handover",
        "trail-24",
        "--card",
        "out/trail-24-handover.svg",
    ];
    let ran = run(folder.path(), &[&args[..], &BODY].concat());
    assert_eq!(ran.status.code(), Some(1));
    assert!(err(&ran).contains("two files of this run"), "{}", err(&ran));
    assert!(!folder.path().join("out").exists());
}

#[test]
fn a_picture_of_an_earlier_child_is_said_to_be_one_and_stays() {
    let folder = tempfile::tempdir().unwrap();
    let compare = |more: &[&str]| {
        let args = ["compare", "street-20", "street-24", "--out", "st"];
        let ran = run(folder.path(), &[&args[..], more].concat());
        assert!(ran.status.success(), "{}", err(&ran));
        err(&ran)
    };
    assert!(!compare(&["--height", "150cm"]).contains("earlier run"));
    assert!(!compare(&["--height", "128cm", "--age", "8y"]).contains("earlier run"));
    let old = "st/compare-street-20-street-24-growth.svg";
    let said = compare(&["--height", "150cm"]);
    assert!(
        said.contains(&format!("{old} is of an earlier run")),
        "{said}"
    );
    assert!(folder.path().join(old).exists());
}

#[test]
fn letters_of_many_bytes_are_not_cut_in_two() {
    let folder = tempfile::tempdir().unwrap();
    let stem = "自".repeat(60);
    let frame = file(folder.path(), &format!("{stem}.yaml"), TRAIL_24);
    let ran = run(folder.path(), &[&["handover", &frame][..], &BODY].concat());
    assert!(ran.status.success(), "{}", err(&ran));
    let name = format!("{}-handover.svg", "自".repeat(26));
    assert_eq!(listing(&folder.path().join("out")), [name]);
}

#[test]
fn what_the_run_reads_and_what_is_no_file_is_never_written() {
    let folder = shop();
    let at = |name: &str| folder.path().join(name);
    fs::create_dir(at("folder")).unwrap();
    symlink("rider.yaml", at("to-rider")).unwrap();
    symlink("/dev/null", at("to-device")).unwrap();
    symlink("pipe", at("to-pipe")).unwrap();
    symlink("folder", at("to-folder")).unwrap();
    let made = Command::new("mkfifo").arg(at("pipe")).status().unwrap();
    assert!(made.success());
    let before = listing(folder.path());
    for (card, words) in [
        ("rider.yaml", "this command reads"),
        ("./folder/../rider.yaml", "this command reads"),
        ("trail.yaml", "this command reads"),
        ("to-rider", "this command reads"),
        ("folder", "is a folder"),
        ("to-folder", "is a folder"),
        ("pipe", "is a pipe"),
        ("to-pipe", "is a pipe"),
        ("to-device", "is a device"),
        ("new/", "names a folder"),
        (".", "names a folder"),
        ("-", "is standard output"),
    ] {
        let args = [
            "handover",
            "trail.yaml",
            "--rider",
            "rider.yaml",
            "--card",
            card,
        ];
        let ran = run(folder.path(), &args);
        assert_eq!(ran.status.code(), Some(1), "{card}: {}", err(&ran));
        assert!(err(&ran).contains(words), "{card}: {}", err(&ran));
        assert!(ran.stdout.is_empty());
        assert_eq!(listing(folder.path()), before, "{card}");
    }
    assert_eq!(fs::read_to_string(at("rider.yaml")).unwrap(), RIDER);
    assert_eq!(fs::read_to_string(at("trail.yaml")).unwrap(), TRAIL_24);
    // A picture is no exception.
    fs::create_dir(at("out")).unwrap();
    symlink("../trail.yaml", at("out/trail.svg")).unwrap();
    let ran = run(folder.path(), &[&["fit", "trail.yaml"][..], &BODY].concat());
    assert_eq!(ran.status.code(), Some(1));
    assert!(err(&ran).contains("this command reads"), "{}", err(&ran));
}

#[test]
fn access_rights_are_kept_and_a_new_file_follows_the_umask() {
    let folder = shop();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    let card = folder.path().join("card.html");
    let hand_over = |umask: &str| {
        let line = format!(
            "umask {umask}; exec \"$0\" handover trail.yaml --rider rider.yaml --card card.html"
        );
        let ran = Command::new("sh")
            .args(["-c", &line, env!("CARGO_BIN_EXE_inseam")])
            .current_dir(folder.path())
            .output()
            .unwrap();
        assert!(ran.status.success(), "{}", err(&ran));
    };
    for (umask, wanted) in [("077", 0o600), ("022", 0o644), ("027", 0o640)] {
        let _ = fs::remove_file(&card);
        hand_over(umask);
        assert_eq!(mode(&card), wanted, "umask {umask}");
    }
    for kept in [0o600, 0o640, 0o664, 0o400] {
        fs::set_permissions(&card, fs::Permissions::from_mode(kept)).unwrap();
        hand_over("022");
        assert_eq!(mode(&card), kept, "{kept:o}");
    }
}

#[test]
fn pipes_and_devices_are_refused_as_input_before_they_are_opened() {
    let folder = shop();
    let shelf = folder.path().join("shelf");
    fs::create_dir(&shelf).unwrap();
    for name in ["pipe.yaml", "shelf/pipe.yaml"] {
        let path = folder.path().join(name);
        assert!(Command::new("mkfifo").arg(path).status().unwrap().success());
    }
    // Opening a pipe that nobody writes to would wait for ever.
    for (args, words) in [
        (&["fit", "pipe.yaml", "--height", "138cm"][..], "is a pipe"),
        (&["fit", "trail.yaml", "--rider", "pipe.yaml"], "is a pipe"),
        (&["check", "pipe.yaml"], "is a pipe"),
        (&["check", "/dev/zero"], "is a device"),
        (
            &["size", "--height", "138cm", "--frames", "shelf"],
            "1 pipes or devices",
        ),
    ] {
        let ran = run(folder.path(), args);
        let said = err(&ran) + std::str::from_utf8(&ran.stdout).unwrap();
        assert!(said.contains(words), "{args:?}: {said}");
    }
}

/// Ten runs a millisecond apart are killed at points spread over a whole run.
#[test]
fn a_killed_run_leaves_the_old_picture_or_the_new_and_the_next_run_sweeps() {
    let folder = shop();
    let out = folder.path().join("out");
    let fit = || {
        let mut command = program(folder.path());
        command.args(["fit", "trail.yaml", "--exact"]).args(BODY);
        command
    };
    assert!(fit().output().unwrap().status.success());
    let picture = out.join("trail.svg");
    for step in 0..100_u64 {
        let mut child = spawn(&mut fit());
        std::thread::sleep(Duration::from_micros(step * 150));
        child.kill().unwrap();
        child.wait().unwrap();
        assert!(is_whole(&picture), "step {step}");
    }
    // What a run killed in the middle of writing leaves.
    fs::write(out.join(".inseam-abcdefABCDEF.part"), "<svg").unwrap();
    fs::write(out.join(".inseam-notes"), "a user's own").unwrap();
    assert!(fit().output().unwrap().status.success());
    assert_eq!(listing(&out), [".inseam-notes", "trail.svg"]);
}

#[test]
fn many_runs_at_once_in_one_folder_leave_whole_files_and_nothing_else() {
    let folder = shop();
    let children: Vec<Child> = (0..60)
        .map(|index| {
            let frame = ["trail.yaml", "trail-24", "street-24"][index % 3];
            let mut command = program(folder.path());
            spawn(command.args(["fit", frame, "--exact"]).args(BODY))
        })
        .collect();
    for child in children {
        let ran = child.wait_with_output().unwrap();
        assert!(ran.status.success(), "{}", err(&ran));
    }
    let out = folder.path().join("out");
    assert_eq!(
        listing(&out),
        ["street-24.svg", "trail-24.svg", "trail.svg"]
    );
    for name in listing(&out) {
        assert!(is_whole(&out.join(name)));
    }
}

#[test]
fn closed_streams_and_a_full_disk_end_with_the_right_code() {
    let folder = shop();
    for (line, code) in [
        ("\"$0\" fit trail.yaml --height 138cm >&-", 0),
        ("\"$0\" fit trail.yaml --height 138cm 2>&-", 0),
        ("\"$0\" fit trail.yaml --height 100cm --strict >&- 2>&-", 3),
        ("\"$0\" fit - --height 138cm <&-", 1),
        ("\"$0\" fit trail.yaml --rider - <&-", 1),
        ("\"$0\" fit trail.yaml --height 138cm >/dev/full", 1),
        ("\"$0\" --help >/dev/full", 1),
        ("\"$0\" check trail.yaml >/dev/full", 1),
        ("\"$0\" fit trail.yaml --hight 138cm 2>/dev/full", 2),
    ] {
        let ran = Command::new("sh")
            .args(["-c", line, env!("CARGO_BIN_EXE_inseam")])
            .current_dir(folder.path())
            .output()
            .unwrap();
        assert_eq!(ran.status.code(), Some(code), "{line}: {}", err(&ran));
        assert!(!err(&ran).contains("panicked"), "{line}");
        if line.contains("fit trail.yaml --height 138cm") {
            assert!(is_whole(&folder.path().join("out/trail.svg")), "{line}");
        }
    }
}

/// `script`, from util-linux, gives a command a terminal; where it is missing there is nothing to try.
#[cfg(target_os = "linux")]
#[test]
fn a_dash_at_a_terminal_says_how_to_send_a_file() {
    let folder = shop();
    let line = format!("{} fit - --height 138cm", env!("CARGO_BIN_EXE_inseam"));
    let Ok(ran) = Command::new("script")
        .args(["-qec", &line, "/dev/null"])
        .current_dir(folder.path())
        .stdin(Stdio::null())
        .output()
    else {
        return;
    };
    let out = String::from_utf8_lossy(&ran.stdout);
    assert!(out.contains("nothing is sent to it"), "{out}");
    assert_eq!(ran.status.code(), Some(1));
}
