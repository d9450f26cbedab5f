//! `inseam handover` as a command: the exit code, and a card that is written whole or not at all.
//! What is on the card is `handover` and `card`.

use std::ffi::OsString;

use inseam::cli;

fn run(args: &[&str]) -> (u8, String, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let pictures = tempfile::tempdir().unwrap();
    let out_folder = ["--out", pictures.path().to_str().unwrap()];
    let args = ["inseam"].iter().chain(args).chain(&out_folder);
    let code = cli::run(
        args.map(|arg| OsString::from(*arg)),
        &mut cli::Streams {
            out: &mut out,
            err: &mut err,
            columns: 400,
        },
    );
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (code, text(out), text(err))
}

fn with_child<'a>(args: &[&'a str]) -> Vec<&'a str> {
    const CHILD: [&str; 8] = [
        "--inseam",
        "66cm",
        "--height",
        "138cm",
        "--weight",
        "31kg",
        "--on",
        "2026-03-01",
    ];
    let mut all = vec!["handover"];
    all.extend(args);
    all.extend(CHILD);
    all
}

#[test]
fn a_bike_that_does_not_fit_ends_a_strict_run_with_its_own_code() {
    let args = ["handover", "trail-24", "--height", "115cm", "--strict"];
    assert_eq!(run(&args).0, 3);
}

#[test]
fn a_failed_run_leaves_the_old_card_and_prints_no_half_answer() {
    let folder = tempfile::tempdir().unwrap();
    let card = folder.path().join("card.html");
    std::fs::write(&card, "the old card").unwrap();
    let path = card.to_str().unwrap();
    let (code, out, err) = run(&["handover", "trail-24", "--card", path]);
    assert_eq!((code, out.as_str()), (1, ""), "{err}");
    let (code, _, _) = run(&with_child(&["no-such-bike", "--card", path]));
    assert_eq!(code, 1);
    assert_eq!(std::fs::read_to_string(&card).unwrap(), "the old card");

    let a_folder = folder.path().to_str().unwrap();
    let (code, out, err) = run(&with_child(&["trail-24", "--card", a_folder]));
    assert_eq!((code, out.as_str()), (1, ""), "a folder is no card: {err}");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);

    let (code, _, _) = run(&with_child(&["trail-24", "--card", path]));
    assert_eq!(code, 0);
    let written = std::fs::read_to_string(&card).unwrap();
    assert!(written.starts_with("<!DOCTYPE html>"));
    assert!(written.trim_end().ends_with("</html>"));
}

#[test]
fn a_serial_number_goes_on_the_build_sheet_alone_and_nowhere_without_a_paper() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = folder.path().join("build.html");
    let path = sheet.to_str().unwrap();
    let number = ["--serial-number", "C-0042"];
    let alone = ["handover", "trail-24", "--build-sheet", path];
    let (code, _, err) = run(&[&alone[..], &number[..]].concat());
    assert_eq!(code, 0, "{err}");
    assert!(std::fs::read_to_string(&sheet).unwrap().contains("C-0042"));
    let (code, _, err) = run(&with_child(&["trail-24", number[0], number[1]]));
    assert_ne!(code, 0);
    assert!(
        err.contains("--record") && err.contains("--build-sheet"),
        "{err}"
    );
}
