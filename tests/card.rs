//! The sheets on paper: headless Chromium prints card, build sheet and stop card of every sample at every
//! stage, and the fullest there can be, each to exactly one page. Without a Chromium the printing tests say so.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::Arc;

use inseam::advice::handover::{Handover, handover};
use inseam::bike::{Bike, library};
use inseam::draw::card_view;
use inseam::file::Document;
use inseam::report::build_sheet::build_sheet;
use inseam::report::card::{Extras, Paper, card};
use inseam::rider::{Rider, RiderFile, Stage};
use inseam::{Options, Units};
use jiff::civil::{Date, date};

const ON: Date = date(2026, 3, 1);
const LONG: &str =
    "Wilhelmina-Maximiliane WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW";

fn rider(text: &str) -> Arc<Rider> {
    let file: RiderFile = Document::from_text("rider", text).read().unwrap();
    Arc::new(Rider::new(&file, ON).unwrap())
}

fn bike(text: &str) -> Arc<Bike> {
    Arc::new(
        library::read("bike", &Document::from_text("bike", text))
            .unwrap_or_else(|error| panic!("{error}")),
    )
}

fn sample(id: &str) -> &'static str {
    let sample = library::SAMPLES.iter().find(|(name, _)| *name == id);
    sample.unwrap().1
}

fn work(rider: &Arc<Rider>, bike: &Arc<Bike>, forecast: bool) -> Handover {
    let options = Options {
        forecast,
        ..Options::bare(ON)
    };
    handover(rider, bike, &options)
}

fn extras(handover: &Handover, paper: Paper, units: Units) -> Extras {
    Extras {
        serial_number: Some("C-0000 0000 0000 0000".to_owned()),
        shop: Some(format!("The {LONG} shop")),
        technician: Some(LONG.to_owned()),
        picture: Some(card_view(&handover.fit, units).svg),
        paper,
        units,
    }
}

/// A rider of this height, named as long as a name can be, at about the age that goes with it.
fn named_child(height_mm: f64, stage: Stage) -> Arc<Rider> {
    let weight = 16.0 * (height_mm / 1000.0).powi(2);
    let months = (24.0 + (height_mm - 860.0) / 65.0 * 12.0).clamp(24.0, 180.0);
    rider(&format!(
        "name: {LONG}\nheight: {height_mm}\nage: {months:.0} months\nweight: {weight:.2} kg\nstage: {stage}\n"
    ))
}

/// Every sample at every stage: the middle one of the riders that it fits; where it fits none, none.
fn fitting() -> Vec<Handover> {
    let mut handovers = Vec::new();
    for bike in library::samples() {
        for stage in Stage::ALL {
            let fits: Vec<_> = (0..24)
                .map(|step| named_child(820.0 + 40.0 * f64::from(step), *stage))
                .filter(|rider| work(rider, &bike, false).fit.verdict.fits())
                .collect();
            if let Some(rider) = fits.get(fits.len() / 2) {
                handovers.push(work(rider, &bike, true));
            }
        }
    }
    assert!(handovers.len() > 30, "{}", handovers.len());
    handovers
}

/// Every sample at every stage, and a rider who is too small, one who is too tall, and one measured too badly.
fn stopped() -> Vec<Handover> {
    let mut handovers = Vec::new();
    for bike in library::samples() {
        for stage in Stage::ALL {
            for height in [820.0, 1100.0, 1300.0, 1740.0] {
                let options = Options::new(ON);
                let handover = handover(&named_child(height, *stage), &bike, &options);
                if !handover.fit.verdict.fits() {
                    handovers.push(handover.with_nearest(Some(LONG.to_owned())));
                }
            }
        }
    }
    assert!(handovers.len() > 100, "{}", handovers.len());
    handovers
}

/// The fullest card: everything is there, every part has a printed torque and a long name.
fn fullest() -> Handover {
    let mut text = sample("trail-24").replace("Sample trail 24", LONG).replace(
        "air_spring: true",
        "air_spring: {reference_pressure: 4 bar, reference_rider: 40 kg, min: 2.5 bar, max: 6 bar}",
    );
    // Within reach of the fingertips only.
    text = text.replacen("{min: 45, max: 75}", "{min: 58, max: 75}", 1);
    // Nothing is known of its parts: every kind is listed.
    let (before, after) = text.split_once("parts:\n").unwrap();
    let (_, after) = after.split_once("weight:").unwrap();
    text = format!("{before}weight:{after}torque:\n");
    for index in 0..30 {
        writeln!(text, "  {index} {LONG}: 5.5").unwrap();
    }
    let rider = rider(&format!(
        "name: {LONG}\nheight: 1380\ninseam: 660\nage: 9y\nweight: 28 kg\nstage: steady\n"
    ));
    let handover = work(&rider, &bike(&text), true);
    assert!(handover.fit.verdict.fits(), "{:?}", handover.stop());
    handover
}

/// A bike by the tape with levers unlike and an air fork, for a rider of no known weight: long notes and a whole range of
/// pressure.
fn taped() -> Handover {
    let text = format!(
        "name: {LONG}\nstyle: trail\ntyres: {{front: 47-406, rear: 47-406, min_pressure: 2, max_pressure: 4.5}}\n\
         measured: {{bottom_bracket_height: 260, seat_height_lowest: 655, seat_height_highest: 805, standover: 560}}\n\
         seat_post: {{length: 300, minimum_insertion: 75}}\nfork: {{travel: 60, air_spring: true}}\ncranks: {{length: 140}}\n\
         brakes: {{front: {{kind: hand, reach: {{min: 55, max: 80}}}}, rear: {{kind: hand, reach: {{min: 60, max: 90}}}}}}\n"
    );
    let rider = rider(&format!(
        "name: {LONG}\nheight: 1350\ninseam: 640\nage: 10y\n"
    ));
    let handover = work(&rider, &bike(&text), true);
    assert!(handover.fit.verdict.fits(), "{:?}", handover.stop());
    handover
}

/// A half-empty frame file: what the card says where figures are missing.
fn barest() -> Handover {
    let kept = |line: &&str| {
        !["weight:", "price:"]
            .iter()
            .any(|key| line.starts_with(key))
    };
    let lines: Vec<_> = sample("trail-24").lines().filter(kept).collect();
    let text = lines
        .join("\n")
        .replace(", min_pressure: 1.4, max_pressure: 3.5", "")
        .replace(", diameter: 27.2", "");
    let handover = work(&rider("height: 1380\n"), &bike(&text), true);
    assert!(handover.fit.verdict.fits());
    handover
}

fn chromium() -> Option<PathBuf> {
    let names = ["chromium", "chromium-browser", "google-chrome", "chrome"];
    let path = std::env::var_os("PATH")?;
    let found = std::env::split_paths(&path)
        .flat_map(|folder| names.map(|name| folder.join(name)))
        .find(|candidate| candidate.is_file());
    if found.is_none() {
        eprintln!("NOT TESTED: no chromium on this machine, so no card was printed");
    }
    found
}

/// Every word of a PDF stands inside the sheet's margins and is large enough to be read, as another program
/// reads the PDF back.
fn is_readable(pdf: &Path) {
    /// Least size, pt, and how tall a word of 1 pt stands in the sheets' face (ascent 0.905, descent 0.212).
    const LEAST_PT: f64 = 9.0;
    const TALL: f64 = 1.117;
    /// Margin of the sheets, pt, less what rounding takes.
    const MARGIN_PT: f64 = 8.0 * 72.0 / 25.4 - 0.6;
    let read = Command::new("pdftotext")
        .args(["-bbox", &pdf.to_string_lossy(), "-"])
        .output();
    let Ok(read) = read else {
        eprintln!("NOT TESTED: no pdftotext on this machine, so no printed word was measured");
        return;
    };
    let words = String::from_utf8(read.stdout).unwrap();
    let number = |line: &str, name: &str| -> f64 {
        let (_, rest) = line.split_once(&format!("{name}=\"")).unwrap();
        rest.split('"').next().unwrap().parse().unwrap()
    };
    let (mut page, mut count) = ((0.0, 0.0), 0);
    for line in words.lines().map(str::trim_start) {
        if line.starts_with("<page") {
            page = (number(line, "width"), number(line, "height"));
        } else if line.starts_with("<word") {
            let [left, top, right, foot] =
                ["xMin", "yMin", "xMax", "yMax"].map(|name| number(line, name));
            count += 1;
            let (width, height) = page;
            assert!(
                left >= MARGIN_PT && right <= width - MARGIN_PT,
                "{line} on a sheet {width} wide"
            );
            assert!(
                top >= MARGIN_PT - 3.0 && foot <= height - MARGIN_PT + 3.0,
                "{line} on a sheet {height} high"
            );
            assert!(foot - top >= LEAST_PT * TALL - 0.05, "{line}");
        }
    }
    assert!(count > 100 || words.contains(">two<"), "{count} words");
}

/// Prints one HTML file and counts the pages of the PDF.
fn pages(chromium: &Path, html: &str, keep_as: &str) -> usize {
    let folder = tempfile::tempdir().unwrap();
    let (page, pdf) = (
        folder.path().join("card.html"),
        folder.path().join("card.pdf"),
    );
    std::fs::write(&page, html).unwrap();
    let print = Command::new(chromium)
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-first-run",
        ])
        .args(["--disable-background-networking", "--no-pdf-header-footer"])
        .arg(format!(
            "--user-data-dir={}",
            folder.path().join("profile").display()
        ))
        .arg(format!("--print-to-pdf={}", pdf.display()))
        .arg(format!("file://{}", page.display()))
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .unwrap();
    assert!(print.success(), "chromium ended with {print}");
    is_readable(&pdf);
    let bytes = std::fs::read(&pdf).unwrap();
    if let Some(keep) = std::env::var_os("INSEAM_KEEP_CARDS") {
        let keep = Path::new(&keep);
        std::fs::copy(&pdf, keep.join(keep_as)).unwrap();
        std::fs::copy(&page, keep.join(keep_as).with_extension("html")).unwrap();
    }
    // A page object is `/Type /Page`, the tree above it `/Type /Pages`.
    let mark = b"/Type /Page";
    bytes
        .windows(mark.len() + 1)
        .filter(|window| window.starts_with(mark) && window[mark.len()] != b's')
        .count()
}

/// Sheets of one size of letters one after the other in one document, each from the top of a new page: it has
/// as many pages as sheets exactly when no sheet takes two.
fn bound(sheets: &[String]) -> String {
    let (head, _) = sheets[0].split_once("<body>").unwrap();
    let mut all = format!("{head}<body>");
    for sheet in sheets {
        let (of_this, body) = sheet.split_once("<body>").unwrap();
        let size = |head: &str| head.split("html { font: ").nth(1).unwrap()[..8].to_owned();
        let (body, _) = body.split_once("</body>").unwrap();
        write!(
            all,
            "<div style=\"break-before: page; font-size: {}\">{body}</div>",
            size(of_this).split('/').next().unwrap()
        )
        .unwrap();
    }
    all + "</body></html>"
}

/// Every sheet of a kind on both papers, lengths in millimetres and inches by turns.
fn all_print_to_one_page(
    name: &str,
    handovers: &[Handover],
    sheet: impl Fn(&Handover, &Extras) -> String,
) {
    let Some(chromium) = chromium() else { return };
    for paper in [Paper::A4, Paper::Letter] {
        let sheets: Vec<_> = handovers
            .iter()
            .zip([Units::Mm, Units::In, Units::Cm].iter().cycle())
            .map(|(handover, units)| sheet(handover, &extras(handover, paper, *units)))
            .collect();
        let keep = format!("{name}-{paper:?}.pdf");
        let count = pages(&chromium, &bound(&sheets), &keep);
        // INSEAM_KEEP_CARDS keeps the document, to see which sheet is the long one.
        assert_eq!(count, sheets.len(), "{name} on {paper:?}");
    }
}

#[test]
fn every_card_prints_to_one_page() {
    all_print_to_one_page("card", &fitting(), |handover, extras| {
        card(handover, extras).unwrap()
    });
}

#[test]
fn every_build_sheet_prints_to_one_page() {
    all_print_to_one_page("build", &fitting(), |handover, extras| {
        build_sheet(handover, extras).unwrap()
    });
    let every_third: Vec<_> = fitting().into_iter().step_by(3).collect();
    all_print_to_one_page("bike", &every_third, |handover, extras| {
        build_sheet(&handover.fit.bike, extras).unwrap()
    });
}

#[test]
fn every_stop_card_prints_to_one_page() {
    all_print_to_one_page("stop", &stopped(), |handover, extras| {
        card(handover, extras).unwrap()
    });
}

#[test]
fn the_fullest_and_the_barest_sheets_print_to_one_page() {
    let both = [fullest(), barest(), taped()];
    all_print_to_one_page("extreme-card", &both, |handover, extras| {
        card(handover, extras).unwrap()
    });
    all_print_to_one_page("extreme-build", &both, |handover, extras| {
        build_sheet(handover, extras).unwrap()
    });
}

#[test]
fn two_pages_are_counted_as_two() {
    let Some(chromium) = chromium() else { return };
    let two = "<p>one</p><p style=\"break-before: page\">two</p>";
    assert_eq!(pages(&chromium, two, "two.pdf"), 2);
}

#[test]
fn names_stay_text_on_every_sheet() {
    let nasty = "<script>alert(\"x\")</script> & 'y'";
    let text = sample("trail-24").replace(
        "name: Sample trail 24",
        "name: \"<script>bike</script>\"\ntorque: {\"<img src=x>\": 4}",
    );
    let quoted = nasty.replace('"', "\\\"");
    let fits = rider(&format!("name: \"{quoted}\"\nheight: 1380\n"));
    let stops = rider(&format!("name: \"{quoted}\"\nheight: 1150\n"));
    let extras = Extras {
        shop: Some(nasty.to_owned()),
        technician: Some(format!("\"><i>{nasty}")),
        ..Extras::default()
    };
    let bike = bike(&text);
    let fits = work(&fits, &bike, false);
    let stops = work(&stops, &bike, false).with_nearest(Some(nasty.to_owned()));
    assert!(fits.work.is_ok() && stops.work.is_err());
    let build = build_sheet(&fits, &extras).unwrap();
    assert!(build.contains("&#60;img src=x&#62;"), "{build}");
    for html in [
        build,
        build_sheet(&bike, &extras).unwrap(),
        card(&fits, &extras).unwrap(),
        card(&stops, &extras).unwrap(),
    ] {
        for bad in ["<script", "<img", "<i>"] {
            assert!(!html.contains(bad), "{bad}\n{html}");
        }
        assert!(html.contains("&#60;script&#62;"), "{html}");
    }
}

#[test]
fn every_sheet_is_one_file_that_fetches_nothing() {
    let handover = fullest();
    let extras = extras(&handover, Paper::A4, Units::Mm);
    for html in [
        card(&handover, &extras).unwrap(),
        build_sheet(&handover, &extras).unwrap(),
        card(&stopped()[0], &extras).unwrap(),
    ] {
        for outside in [
            "<link", "<script", "<iframe", "<img", "src=", "href=", "@import", "url(", "<?xml",
        ] {
            // What a picture takes from itself is no address.
            assert!(!html.replace("url(#", "").contains(outside), "{outside}");
        }
        // The meta element's own attribute, and the namespace that makes an SVG one.
        let addresses = html
            .replace("http-equiv", "")
            .replace("http://www.w3.org/2000/svg", "");
        assert!(!addresses.contains("http"));
        assert!(html.contains("http-equiv=\"Content-Security-Policy\""));
        assert!(html.contains("name=\"viewport\""));
    }
}

#[test]
fn what_does_not_fit_the_page_is_named_as_missing() {
    let handover = fullest();
    let html = build_sheet(&handover, &Extras::default()).unwrap();
    let bolts = &handover.work.as_ref().unwrap().bolts;
    let others = bolts.iter().filter(|bolt| bolt.step.is_none()).count();
    assert_eq!(others, 30);
    assert!(html.contains("25 more in the text report"), "{html}");
}
