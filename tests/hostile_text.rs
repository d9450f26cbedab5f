//! Text that travels: whatever a name, a file name or an argument holds, no terminal, spreadsheet, picture or page
//! gets to obey it; and slips of the hand are answered with what to write.

mod common;

use common::program::{file, inseam, listing, run_at};
use common::{RIDER, TRAIL_24};
use tempfile::TempDir;

/// Escape, bell, bidirectional override and isolate, zero-width space and joiner, tag, byte-order mark, C1 control.
const HOSTILE: &str =
    "R\u{1b}[31med\u{7}\u{202e}x\u{2066}\u{200b}\u{200d}\u{e0041}\u{feff}\u{9b}2J";
const BODY: [&str; 4] = ["--height", "138cm", "--inseam", "66cm"];

/// Characters that no output may hold; the program's own colours are taken out before.
fn unseen(text: &str) -> Option<char> {
    let odd = |c: &char| {
        (c.is_control() && *c != '\n')
            || ('\u{200b}'..='\u{200f}').contains(c)
            || ('\u{202a}'..='\u{202e}').contains(c)
            || ('\u{2060}'..='\u{206f}').contains(c)
            || ('\u{e0000}'..='\u{e0fff}').contains(c)
            || *c == '\u{feff}'
    };
    text.chars().find(odd)
}

#[track_caller]
fn assert_seen(what: &str, text: &str) {
    assert_eq!(unseen(text), None, "{what}: {text:?}");
}

fn shop(name: &str) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    // YAML takes anything in a double-quoted text by its number.
    let numbers: Vec<String> = name
        .chars()
        .map(|c| format!("\\U{:08x}", u32::from(c)))
        .collect();
    let quoted = numbers.concat();
    let frame = TRAIL_24.replacen("name: ", &format!("name: \"{quoted}\" # "), 1);
    let rider = RIDER.replacen("Rider A", &format!("\"{quoted}\""), 1);
    file(folder.path(), "trail.yaml", frame);
    file(folder.path(), "rider.yaml", rider);
    folder
}

/// Invisible but no control characters: those are refused where they stand.
const INVISIBLE: &str = "=\u{202e}HYPER\u{200b}LINK\u{2066}(\"<b>&\u{feff}\u{e0041}\")\u{ffff}";

#[test]
fn an_invisible_name_reaches_no_output() {
    let folder = shop(INVISIBLE);
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (frame, rider, out, card) = (
        path("trail.yaml"),
        path("rider.yaml"),
        path("out"),
        path("card.html"),
    );
    let both = [frame.as_str(), "--rider", &rider];
    for args in [
        &[&["fit"][..], &both, &["--out", &out]].concat()[..],
        &[&["fit"][..], &both, &["--format", "json", "--out", &out]].concat(),
        &[&["size"][..], &both].concat(),
        &[&["size"][..], &both, &["--format", "csv"]].concat(),
        &[&["size"][..], &both, &["--format", "json"]].concat(),
        &[&["compare", "street-24"][..], &both, &["--out", &out]].concat(),
        &[
            &["handover"][..],
            &both,
            &[
                "--card",
                &card,
                "--shop",
                HOSTILE,
                "--technician",
                HOSTILE,
                "--out",
                &out,
            ],
        ]
        .concat(),
        &["rack", &frame, "--out", &out],
        &["rack", &frame, "--format", "csv", "--out", &out],
        &["rack", &frame, "--format", "json", "--out", &out],
        &["check", &frame, &rider],
    ] {
        let ran = inseam(args);
        assert_eq!(ran.status, 0, "{args:?}: {}", ran.err);
        assert_seen("out", &ran.out);
        assert_seen("err", &ran.err);
    }
    for name in listing(&folder.path().join("out")) {
        let picture = std::fs::read_to_string(folder.path().join("out").join(&name)).unwrap();
        assert_seen(&name, &picture);
        roxmltree::Document::parse(&picture).unwrap();
    }
    let card = std::fs::read_to_string(card).unwrap();
    assert_seen("card", &card);
    assert!(
        card.contains("HYPERLINK") && !card.contains("<b>&"),
        "escaped"
    );
}

#[test]
fn no_cell_of_a_table_starts_a_formula_and_numbers_stay_numbers() {
    for name in ["=1+1", "+1", "-1", "@SUM(A1)", "＝1", "\u{202e}=1"] {
        let folder = shop(name);
        let frame = folder.path().join("trail.yaml");
        let out = folder.path().join("out");
        let (frame, out) = (frame.to_str().unwrap(), out.to_str().unwrap());
        for args in [
            &["size", frame, "--height", "138cm", "--format", "csv"][..],
            &["rack", frame, "--format", "csv", "--out", out],
        ] {
            let ran = inseam(args);
            let mut rows = csv::Reader::from_reader(ran.out.as_bytes());
            let headers = rows.headers().unwrap().clone();
            let row = rows.records().next().unwrap().unwrap();
            let column = |name: &str| headers.iter().position(|title| title == name).unwrap();
            let cell = &row[column("name")];
            assert!(cell.starts_with('\''), "{cell:?}");
            for (title, cell) in headers.iter().zip(&row) {
                if title.ends_with("_mm") && !cell.is_empty() {
                    cell.parse::<f64>().unwrap();
                }
            }
        }
    }
}

#[test]
fn a_name_that_cannot_be_seen_is_refused() {
    for name in ["\u{200b}", "\u{202e}\u{2066}", " \u{feff} ", "\u{3164}"] {
        let folder = shop(name);
        for file in ["trail.yaml", "rider.yaml"] {
            let path = folder.path().join(file);
            let ran = inseam(&["check", path.to_str().unwrap()]);
            assert_eq!(ran.status, 1, "{name:?} in {file}");
            assert!(ran.out.contains("name: "), "{}", ran.out);
        }
    }
}

#[test]
fn arguments_are_repeated_without_what_cannot_be_seen() {
    for args in [
        &["fit", "trail-24", HOSTILE][..],
        &[HOSTILE],
        &["fit", "trail-24", "--stage", HOSTILE],
        &["fit", "trail-24", "--born", HOSTILE],
        &["fit", "trail-24", "--sex", HOSTILE],
        &["fit", "trail-24", "--height", HOSTILE],
        &["fit", "trail-24", "--format", HOSTILE],
        &["fit", "trail-24", "--units", HOSTILE],
        &["size", "--only", HOSTILE],
        &["size", "--limit", HOSTILE],
        &["completions", HOSTILE],
        &["fit", &format!("--{HOSTILE}")],
        &["man", HOSTILE],
        &["fit", HOSTILE, "--height", "138cm"],
        &["fit", "trail-24", "--rider", HOSTILE],
        &["size", "--height", "138cm", "--frames", HOSTILE],
        &["check", HOSTILE],
        &[
            "fit",
            "trail-24",
            "--height",
            "138cm",
            "--out",
            &format!("/proc/{HOSTILE}"),
        ],
    ] {
        let ran = inseam(args);
        assert_ne!(ran.status, 0, "{args:?}");
        assert_seen("out", &ran.out);
        assert_seen("err", &ran.err);
    }
}

#[cfg(target_os = "linux")]
#[test]
fn file_names_are_repeated_without_what_cannot_be_seen() {
    let folder = tempfile::tempdir().unwrap();
    let shelf = folder.path().join("a\u{1b}[31m\u{202e}b");
    std::fs::create_dir(&shelf).unwrap();
    let good = file(&shelf, "go\u{1b}]0;od\u{202e}.yaml", TRAIL_24);
    let bad = file(
        &shelf,
        "b\nad\u{1b}.yaml",
        "name: \"\\e[31m\"\n\"tor\\eque\": 3\n",
    );
    let out = shelf.join("out");
    let (shelf, out) = (shelf.to_str().unwrap(), out.to_str().unwrap());
    for args in [
        &["check", &good, &bad][..],
        &["fit", &good, "--height", "138cm", "--out", out],
        &["size", "--frames", shelf, "--height", "138cm"],
        &["size", &bad, "--height", "138cm"],
        &["rack", "--frames", shelf, "--out", out],
        &["rack", &bad, &good, "--out", out],
        &["fit", &bad, "--height", "138cm"],
    ] {
        let ran = inseam(args);
        assert_seen("out", &ran.out);
        assert_seen("err", &ran.err);
    }
}

#[test]
fn slips_on_the_command_line_are_answered_with_the_cure() {
    let folder = tempfile::tempdir().unwrap();
    let shelf = folder.path().to_str().unwrap();
    for (args, status, words) in [
        (&["--born", "01.09.2016"][..], 2, "write 2016-09-01"),
        (&["--on", "3/4/2026"], 2, "2026-04-03 or 2026-03-04"),
        (&["--sex", "f"], 2, "did you mean `girl`?"),
        (&["--sex", "m"], 2, "did you mean `boy`?"),
        (&["--sex", "female"], 2, "did you mean `girl`?"),
        (
            &["--inseam", "66cm66cm"],
            2,
            "gives the same unit twice; write for example 66cm",
        ),
        (&["--height", "2 in 4 ft"], 2, "write for example 4 ft 2 in"),
        (&["--age", "9y13m"], 2, "write for example 10y1m"),
        (&["--height", "-"], 2, "is not a length"),
        (&["--height", "–138cm"], 2, "write it with `-`"),
        (
            &["--height", "1/0 cm"],
            2,
            "is not a finite number; allowed 700 to 2000 mm",
        ),
        (&["--rider", shelf], 1, "is a folder; name one file in it"),
        (
            &["--height", "66cm", "--inseam", "138cm"],
            2,
            "--inseam: found 138cm with a height of 66cm: are the two swapped?",
        ),
        (
            &["--inseam=138cm", "--height=66cm"],
            2,
            "--inseam: found 138cm with a height of 66cm: are the two swapped?",
        ),
        (
            &["--inseam", "138cm", "--height", "1.45m"],
            2,
            "are inseam and height swapped?",
        ),
        // Both inside their ranges, but not on one body.
        (
            &["--height", "75cm", "--inseam", "95cm"],
            1,
            "found 950 mm with a height of 750 mm: are the two swapped?",
        ),
        (
            &[
                "--height",
                "138cm",
                "--measured-on",
                "2023-11-01",
                "--on",
                "2026-03-01",
            ],
            1,
            "measure again",
        ),
        (
            &[
                "--height",
                "138cm",
                "--measured-on",
                "2026-03-02",
                "--on",
                "2026-03-01",
            ],
            1,
            "after the day of the fit",
        ),
    ] {
        let ran = inseam(&[&["fit", "trail-24"][..], args].concat());
        assert_eq!(ran.status, status, "{args:?}: {}", ran.err);
        assert!(ran.err.contains(words), "{args:?}: {}", ran.err);
    }
}

/// One grammar: a file says the same.
#[test]
fn slips_in_a_file_are_answered_with_the_cure() {
    let folder = tempfile::tempdir().unwrap();
    for (line, words) in [
        (
            "height: 66cm66cm",
            "gives the same unit twice; write for example 66cm",
        ),
        ("height: 2 in 4 ft", "write for example 4 ft 2 in"),
        ("height: 138cm\nage: 9y13m", "write for example 10y1m"),
        ("height: '-'", "is not a length"),
        (
            "height: 660\ninseam: 1380",
            "height: found 660 mm; allowed 700 to 2000 mm",
        ),
        (
            "height: 750\ninseam: 950",
            "inseam: found 950 mm with a height of 750 mm: are the two swapped?",
        ),
        (
            "height: .inf",
            "is not a finite number; allowed 700 to 2000 mm",
        ),
        (
            "height: 138cm\nage: .nan",
            "is not a finite number; allowed 12 to 1200 months",
        ),
    ] {
        let rider = file(folder.path(), "rider.yaml", line);
        let ran = inseam(&["check", &rider]);
        assert!(ran.out.contains(words), "{line}: {}", ran.out);
    }
}

#[test]
fn any_width_is_a_width() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let body = [&BODY[..], &["--age", "9y6m", "--out", out]].concat();
    for columns in [0, 1, 2, 3, 7, 20, 40, 1000, 65_535] {
        for args in [
            &[&["fit", "trail-24"][..], &body].concat()[..],
            &[&["compare", "trail-24", "street-24"][..], &body].concat(),
            &[&["handover", "trail-24"][..], &body].concat(),
            &[&["size", "trail-24"][..], &BODY].concat(),
            &["rack", "trail-24", "--out", out],
            &["check", "missing.yaml"],
        ] {
            let ran = run_at(columns, args);
            assert!(!ran.out.is_empty(), "{args:?} at {columns}: {}", ran.err);
        }
    }
}

#[test]
fn a_folder_says_what_it_leaves_out_and_reads_any_case() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["one.yaml", "two.yml", "three.YAML", "four.Yml"] {
        file(folder.path(), name, TRAIL_24);
    }
    for name in ["a.txt", "b.txt", "c.json", "README", "d.yaml~"] {
        file(folder.path(), name, "");
    }
    std::fs::create_dir(folder.path().join("old.yaml")).unwrap();
    let shelf = folder.path().to_str().unwrap();
    let ran = inseam(&[
        "size", "--height", "138cm", "--frames", shelf, "--format", "csv",
    ]);
    assert_eq!((ran.status, ran.out.lines().count()), (0, 5), "{}", ran.err);
    let line = "for .yaml and .yml files: 2 .txt, 1 .json, 1 .yaml~, 1 folders, 1 without ending\n";
    assert!(ran.err.ends_with(line), "{}", ran.err);
    assert_eq!(ran.err.lines().count(), 1);
}

#[test]
fn a_rack_of_broken_files_is_bad_input_and_is_summed_up() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let out = out.to_str().unwrap();
    let shelf = folder.path().join("shelf");
    std::fs::create_dir(&shelf).unwrap();
    for index in 0..1200 {
        file(
            &shelf,
            &format!("{index:04}.yaml"),
            "name: x\nstile: street\nweels: 2\n",
        );
    }
    let shelf = shelf.to_str().unwrap();
    for args in [
        &["size", "--height", "138cm", "--frames", shelf][..],
        &["rack", "--frames", shelf, "--out", out],
    ] {
        let ran = inseam(args);
        assert_eq!(ran.status, 1, "{args:?}");
        assert_eq!(ran.err.matches("skipped ").count(), 11, "{args:?}");
        assert!(ran.err.contains("skipped 1190 more files"), "{}", ran.err);
        assert!(ran.out.len() < 20_000, "{}", ran.out.len());
    }
    let ran = inseam(&[
        "size", "--height", "138cm", "--frames", shelf, "--format", "json",
    ]);
    let answer: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(answer["skipped"].as_array().map(Vec::len), Some(1200));
}

/// More bikes than are held whole: the JSON still has every fit complete, and in the table's order.
#[test]
fn a_large_rack_is_whole_in_json() {
    let folder = tempfile::tempdir().unwrap();
    for index in 0..501 {
        let frame = TRAIL_24.replace("stack: 452", &format!("stack: {}", 430 + index % 40));
        file(folder.path(), &format!("{index:04}.yaml"), frame);
    }
    let shelf = folder.path().to_str().unwrap();
    let args = [
        "size",
        "--height",
        "138cm",
        "--age",
        "9y",
        "--on",
        "2026-03-01",
        "--frames",
        shelf,
        "--format",
    ];
    let json = inseam(&[&args[..], &["json", "--limit", "40"]].concat());
    let table = inseam(&[&args[..], &["csv", "--limit", "40"]].concat());
    let answer: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    let bikes = answer["bikes"].as_array().unwrap();
    assert_eq!(bikes.len(), 40);
    let mut rows = csv::Reader::from_reader(table.out.as_bytes());
    for (index, (bike, row)) in bikes.iter().zip(rows.records()).enumerate() {
        let row = row.unwrap();
        assert_eq!(bike["rank"], index + 1);
        assert_eq!(
            (&bike["id"], &row[0]),
            (&row[1].into(), &*(index + 1).to_string())
        );
        let fit = &bike["fit"];
        assert!(fit["findings"].as_array().unwrap().len() > 10);
        assert!(fit["growth"]["months"].as_array().unwrap().len() > 10);
        assert!(fit["rider"]["estimated"].as_array().unwrap().len() > 10);
    }
}
