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
fn what_is_of_one_rider_asks_for_one_and_is_not_passed_over() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let sheet = at("sheet.html");
    for (flags, named) in [
        (vec!["--card", "card.html"], "--card"),
        (vec!["--record", "record.yaml"], "--record"),
        (vec!["--strict"], "--strict"),
        (vec!["--format", "json"], "--format json"),
    ] {
        let flags: Vec<_> = flags
            .iter()
            .map(|flag| {
                if flag.contains('.') {
                    at(flag)
                } else {
                    (*flag).to_owned()
                }
            })
            .collect();
        let mut args = vec!["handover", "trail-24", "--build-sheet", &sheet];
        args.extend(flags.iter().map(String::as_str));
        let (code, out, err) = run(&args);
        assert_eq!((code, out.as_str()), (1, ""), "{named}");
        assert!(
            err.contains(&format!("{named}: wants a rider"))
                && err.contains("--build-sheet alone needs none"),
            "{}",
            err
        );
    }
    let (_, _, err) = run(&["handover", "trail-24"]);
    assert!(err.contains("a handover: wants a rider"), "{}", err);
    assert_eq!(
        std::fs::read_dir(folder.path()).unwrap().count(),
        0,
        "nothing is written"
    );
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

#[test]
fn a_raise_says_what_it_is_measured_from_in_every_object() {
    let folder = tempfile::tempdir().unwrap();
    let of = |bracket: &str| {
        let path = folder.path().join(format!("taped{}.yaml", bracket.len()));
        let text = format!(
            "name: Taped\nstyle: trail\ntyres: {{front: 54-507, rear: 54-507}}\ncranks: {{length: 140}}\n\
             brakes: {{front: {{kind: none}}, rear: {{kind: coaster}}}}\n\
             measured: {{{bracket}seat_height_lowest: 640, seat_height_highest: 790, standover: 560}}\n"
        );
        std::fs::write(&path, text).unwrap();
        let path = path.to_str().unwrap().to_owned();
        let child = ["--age", "9y", "--sex", "girl", "--format", "json"];
        let (_, out, err) = run(&with_child(&[&[path.as_str()][..], &child].concat()));
        let object: serde_json::Value = serde_json::from_str(&out).expect(&err);
        let first = |list: &serde_json::Value| {
            let raise = &list[0];
            [
                raise["saddle_height_mm"].as_f64(),
                raise["seat_height_mm"].as_f64(),
            ]
        };
        let months = first(&object["fit"]["growth"]["schedule"]);
        (months, first(&object["visits"]["raises"]))
    };
    let (months, visits) = of("bottom_bracket_height: 290, ");
    for [saddle, seat] in [months, visits] {
        let (saddle, seat) = (saddle.unwrap(), seat.unwrap());
        assert!(seat > saddle + 200.0 && seat < 790.0, "{saddle} {seat}");
    }
    // Nobody holds a tape to a bracket that nobody found.
    let (months, visits) = of("");
    for [saddle, seat] in [months, visits] {
        assert_eq!(saddle, None);
        assert!(
            seat.is_some_and(|seat| (600.0..790.0).contains(&seat)),
            "{seat:?}"
        );
    }
}
