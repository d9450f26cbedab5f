//! The program as a process: what it writes and where, what it reads, and how it ends when a stream or a disk fails.
//! Nothing here looks at a fit.

mod common;

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use common::program::{file, listing, process, run_at};
use common::{RIDER, TRAIL_24};

const RIDER_FLAGS: [&str; 4] = ["--height", "138cm", "--inseam", "66cm"];

fn fit(folder: &Path) -> Command {
    let mut command = process();
    command.args(["fit", "trail-24", "--out"]).arg(folder);
    command.args(RIDER_FLAGS);
    command
}

fn with_input(command: &mut Command, input: &[u8]) -> Output {
    let mut child = command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    // The program may refuse the input before it has read all of it.
    let _ = stdin.write_all(input);
    drop(stdin);
    child.wait_with_output().unwrap()
}

fn text(bytes: &[u8]) -> &str {
    std::str::from_utf8(bytes).unwrap()
}

#[test]
fn no_name_leads_out_of_the_folder_for_pictures() {
    let spaced = TRAIL_24.replacen("name:", "name: ../../../elsewhere #", 1);
    for (name, picture) in [
        ("...yaml", "bike.svg"),
        ("..-..-etc.yaml", "etc.svg"),
        ("-.yaml", "bike.svg"),
        ("~root.yaml", "root.svg"),
        ("C:\\bikes.yaml", "C--bikes.svg"),
        ("two words.yaml", "two-words.svg"),
        ("line\nbreak.yaml", "line-break.svg"),
        ("a.b.c.yaml", "a-b-c.svg"),
        ("Ümläut.yaml", "Ümläut.svg"),
        (
            &format!("{}.yaml", "n".repeat(200)),
            &format!("{}.svg", "n".repeat(80)),
        ),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let frame = file(folder.path(), name, &spaced);
        let out = folder.path().join("deep/er/out");
        let ran = process()
            .current_dir(folder.path())
            .args(["fit", &frame, "--out"])
            .arg(&out)
            .args(RIDER_FLAGS)
            .output()
            .unwrap();
        assert!(ran.status.success(), "{name}: {}", text(&ran.stderr));
        assert_eq!(listing(&out), [picture], "{name}");
        assert_eq!(listing(folder.path()).len(), 2, "{name}: file and folder");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_file_name_that_is_no_text_still_works() {
    use std::os::unix::ffi::OsStrExt as _;
    let folder = tempfile::tempdir().unwrap();
    let name = std::ffi::OsStr::from_bytes(b"\xff\xfe.yaml");
    std::fs::write(folder.path().join(name), TRAIL_24).unwrap();
    let ran = process()
        .current_dir(folder.path())
        .arg("fit")
        .arg(name)
        .args(RIDER_FLAGS)
        .output()
        .unwrap();
    assert!(ran.status.success(), "{}", text(&ran.stderr));
    assert_eq!(listing(&folder.path().join("out")), ["bike.svg"]);
}

#[test]
fn a_picture_replaces_the_old_one_whole() {
    let folder = tempfile::tempdir().unwrap();
    let old = folder.path().join("trail-24.svg");
    std::fs::write(&old, "old").unwrap();
    // A second name for the old file shows whether it was written into or replaced.
    let kept = folder.path().join("kept");
    std::fs::hard_link(&old, &kept).unwrap();
    assert!(fit(folder.path()).output().unwrap().status.success());
    assert_eq!(std::fs::read_to_string(&kept).unwrap(), "old");
    let new = std::fs::read_to_string(&old).unwrap();
    assert!(new.trim_end().ends_with("</svg>"));
    assert_eq!(listing(folder.path()), ["kept", "trail-24.svg"]);
}

#[cfg(unix)]
#[test]
fn a_link_in_the_way_is_replaced_and_not_followed() {
    let folder = tempfile::tempdir().unwrap();
    let target = folder.path().join("precious");
    std::fs::write(&target, "precious").unwrap();
    std::os::unix::fs::symlink(&target, folder.path().join("trail-24.svg")).unwrap();
    assert!(fit(folder.path()).output().unwrap().status.success());
    assert_eq!(std::fs::read_to_string(&target).unwrap(), "precious");
}

#[test]
fn a_target_that_cannot_be_written_is_named_and_nothing_is_left_behind() {
    let folder = tempfile::tempdir().unwrap();
    // A folder where the picture should go.
    let in_the_way = folder.path().join("trail-24.svg");
    std::fs::create_dir(&in_the_way).unwrap();
    std::fs::write(in_the_way.join("inside"), "kept").unwrap();
    let ran = fit(folder.path()).output().unwrap();
    assert_eq!(ran.status.code(), Some(1));
    assert!(
        text(&ran.stderr).contains("trail-24.svg"),
        "{}",
        text(&ran.stderr)
    );
    assert_eq!(listing(folder.path()), ["trail-24.svg"]);
    assert_eq!(listing(&in_the_way), ["inside"]);
    // A file where the folder should be.
    let plain = file(folder.path(), "plain", "kept");
    let ran = fit(Path::new(&plain)).output().unwrap();
    assert_eq!(ran.status.code(), Some(1));
    assert!(text(&ran.stderr).contains("plain"), "{}", text(&ran.stderr));
    assert_eq!(std::fs::read_to_string(&plain).unwrap(), "kept");
}

/// A limit on file sizes stands in for a full disk: the write fails half-way.
#[cfg(unix)]
#[test]
fn a_disk_that_fills_up_leaves_the_old_file_and_no_half() {
    let folder = tempfile::tempdir().unwrap();
    for (name, args) in [
        ("trail-24.svg", "fit trail-24 --out \"$1\""),
        (
            "card.html",
            "handover trail-24 --card \"$1/card.html\" --out \"$1\"",
        ),
    ] {
        std::fs::write(folder.path().join(name), "old").unwrap();
        let before = listing(folder.path());
        let line =
            format!("trap '' XFSZ; ulimit -f 2; exec \"$0\" {args} --height 138cm --inseam 66cm");
        let ran = Command::new("sh")
            .args(["-c", &line, env!("CARGO_BIN_EXE_inseam")])
            .arg(folder.path())
            .output()
            .unwrap();
        let err = text(&ran.stderr);
        assert_eq!(ran.status.code(), Some(1), "{name}: {err}");
        assert!(err.contains(name), "{name}: {err}");
        let old = std::fs::read_to_string(folder.path().join(name)).unwrap();
        assert_eq!(old, "old", "{name}");
        assert_eq!(listing(folder.path()), before, "{name}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_behind_standard_output_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let full = || {
        std::fs::File::options()
            .write(true)
            .open("/dev/full")
            .unwrap()
    };
    let commands: [&[&str]; 6] = [
        &["fit", "trail-24", "--height", "138cm"],
        &["size", "--height", "138cm", "--format", "json"],
        &["rack", "street-20", "--format", "csv"],
        &["schema", "frame"],
        &["completions", "zsh"],
        &["man"],
    ];
    for args in commands {
        let ran = process()
            .current_dir(folder.path())
            .args(args)
            .stdout(full())
            .output()
            .unwrap();
        let err = text(&ran.stderr);
        assert_eq!(ran.status.code(), Some(1), "{args:?}: {err}");
        assert!(err.contains("standard output"), "{args:?}: {err}");
    }
}

#[test]
fn a_dash_reads_standard_input() {
    let folder = tempfile::tempdir().unwrap();
    let frame = file(folder.path(), "trail.yaml", TRAIL_24);
    let rider = file(folder.path(), "rider.yaml", RIDER);
    let run = |frame: &str, rider: &str, input: &str| {
        let ran = with_input(
            process().current_dir(folder.path()).args([
                "fit",
                frame,
                "--rider",
                rider,
                "--on",
                "2026-03-01",
                "--format",
                "json",
            ]),
            input.as_bytes(),
        );
        (
            ran.status.code(),
            text(&ran.stdout).to_owned(),
            text(&ran.stderr).to_owned(),
        )
    };
    let (code, from_files, _) = run(&frame, &rider, "");
    assert_eq!(code, Some(0));
    for (frame, rider, input) in [
        ("-", rider.as_str(), TRAIL_24),
        (frame.as_str(), "-", RIDER),
    ] {
        let (code, out, err) = run(frame, rider, input);
        assert_eq!(code, Some(0), "{err}");
        assert!(out == from_files, "the same answer");
    }
    // One stream cannot be two files.
    let (code, out, err) = run("-", "-", RIDER);
    assert_eq!((code, out.as_str()), (Some(1), ""));
    assert!(err.contains("<stdin>"), "{err}");
}

#[test]
fn input_beyond_the_cap_is_refused_without_reading_it_all() {
    let folder = tempfile::tempdir().unwrap();
    let long = "#".repeat(64 << 20);
    let ran = with_input(
        process()
            .current_dir(folder.path())
            .args(["fit", "-"])
            .args(RIDER_FLAGS),
        long.as_bytes(),
    );
    assert_eq!(ran.status.code(), Some(1));
    assert!(
        text(&ran.stderr).contains("larger than"),
        "{}",
        text(&ran.stderr)
    );
    if cfg!(target_os = "linux") {
        let ran = process().args(["check", "/dev/zero"]).output().unwrap();
        assert_eq!(ran.status.code(), Some(1));
    }
    assert_eq!(listing(folder.path()), [""; 0]);
}

/// The rules of no-color.org and bixense.com/clicolors: none into a pipe, some when forced, none when refused.
#[test]
fn colours_only_where_they_are_wanted() {
    let colours = |settings: &[(&str, &str)]| {
        let ran = process()
            .args(["fit", "trail-42", "--height", "138cm"])
            .envs(settings.iter().copied())
            .output()
            .unwrap();
        assert_eq!(ran.status.code(), Some(1));
        text(&ran.stderr).contains('\u{1b}')
    };
    assert!(!colours(&[]));
    assert!(colours(&[("CLICOLOR_FORCE", "1")]));
    assert!(!colours(&[("NO_COLOR", "1")]));
    assert!(!colours(&[("NO_COLOR", "1"), ("CLICOLOR_FORCE", "0")]));
}

#[test]
fn reports_keep_to_the_width_of_the_terminal() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let rider = [
        "--height",
        "128cm",
        "--age",
        "8y",
        "--sex",
        "girl",
        "--on",
        "2026-03-01",
    ];
    let commands: [&[&str]; 3] = [
        &["fit", "street-20", "--out", out],
        &["compare", "street-20", "street-24", "--out", out],
        &["handover", "street-20", "--out", out],
    ];
    for columns in [60, 80, 120] {
        for args in commands {
            let ran = run_at(columns, &[args, &rider].concat());
            let plain = anstream::adapter::strip_str(&ran.out).to_string();
            for line in plain.lines() {
                let width = line.chars().count();
                assert!(width <= columns, "{args:?} at {columns}: {width}: {line}");
            }
        }
        let ran = run_at(columns, &["rack", "--out", out]);
        for line in ran.out.lines() {
            let width = line.chars().count();
            assert!(width <= columns, "rack at {columns}: {width}: {line}");
        }
    }
}

#[test]
fn a_reader_that_leaves_early_is_no_error() {
    let folder = tempfile::tempdir().unwrap();
    let commands: [(&[&str], i32); 10] = [
        (&["--help"], 0),
        (&["fit", "trail-24", "--height", "138cm"], 0),
        (&["fit", "trail-24", "--height", "100cm", "--strict"], 3),
        (
            &["fit", "trail-24", "--height", "138cm", "--format", "json"],
            0,
        ),
        (&["size", "--height", "138cm", "--format", "json"], 0),
        (&["rack", "street-20", "street-24", "--format", "csv"], 0),
        (&["check", "missing.yaml"], 1),
        (&["schema", "frame"], 0),
        (&["completions", "zsh"], 0),
        (&["man"], 0),
    ];
    for (args, code) in commands {
        let mut child = process()
            .current_dir(folder.path())
            .args(args)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let ran = child.wait_with_output().unwrap();
        let err = text(&ran.stderr);
        assert_eq!(ran.status.code(), Some(code), "{args:?}: {err}");
        assert!(
            !err.contains("panicked") && !err.contains("Broken"),
            "{args:?}: {err}"
        );
    }
    // Nor is a closed standard error, where the bad news would have gone.
    let mut child = process()
        .args(["fit", "trail-42", "--height", "138cm"])
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stderr.take());
    assert_eq!(child.wait().unwrap().code(), Some(1));
}
