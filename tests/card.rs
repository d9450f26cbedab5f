//! The card on paper: headless Chromium prints every sample bike at every stage, and the longest cards
//! there can be, each to exactly one page. Without a Chromium the printing tests say so and stop.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use inseam::advice::handover::{Handover, handover};
use inseam::bike::{Bike, library};
use inseam::report::card::{Extras, Paper, card};
use inseam::rider::{Rider, RiderFile, Stage};
use inseam::yaml::Document;
use inseam::{Options, Units, draw};
use jiff::civil::{Date, date};

const ON: Date = date(2026, 3, 1);
const LONG: &str =
    "Wilhelmina-Maximiliane WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW";

fn rider(text: &str) -> Rider {
    let file: RiderFile = Document::from_text("rider", text).read().unwrap();
    Rider::new(&file, ON).unwrap()
}

fn bike(text: &str) -> Bike {
    library::read("bike", &Document::from_text("bike", text)).unwrap_or_else(|problems| {
        let problems: Vec<_> = problems.iter().map(|p| p.excerpt(false)).collect();
        panic!("{}", problems.join("\n"))
    })
}

fn work(rider: &Rider, bike: &Bike, units: Units, forecast: bool) -> Handover {
    let options = Options {
        units,
        forecast,
        ..Options::bare(ON)
    };
    handover(rider, bike, &options)
}

/// A stand-in for the drawing: the size that the card keeps free for it.
fn picture() -> String {
    r##"<?xml version="1.0"?>
<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="60mm" viewBox="0 0 90 60"><rect x="0.5" y="0.5" width="89" height="59" fill="none" stroke="#000"/><text x="45" y="32" font-size="5" text-anchor="middle">90 x 60 mm</text></svg>
"##
    .to_owned()
}

fn extras(paper: Paper) -> Extras {
    Extras {
        shop: Some(format!("The {LONG} shop")),
        technician: Some(LONG.to_owned()),
        picture: Some(picture()),
        paper,
    }
}

/// A rider of this height, named as long as a name can be, at about the age that goes with it.
fn named_child(height_mm: f64, stage: Stage) -> Rider {
    let weight = 16.0 * (height_mm / 1000.0).powi(2);
    let months = (24.0 + (height_mm - 860.0) / 65.0 * 12.0).clamp(24.0, 180.0);
    rider(&format!(
        "name: {LONG}\nheight: {height_mm}\nage: {months:.0} months\nweight: {weight:.2} kg\nstage: {stage}\n"
    ))
}

/// Every sample at every stage: the middle one of the riders that it fits, and where it fits none a
/// rider who is too small, so that the card carries its warning.
fn sample_handovers() -> Vec<(Bike, Handover)> {
    let mut handovers = Vec::new();
    for bike in library::samples() {
        for stage in Stage::ALL {
            let fits: Vec<_> = (0..24)
                .map(|step| named_child(820.0 + 40.0 * f64::from(step), *stage))
                .filter(|rider| work(rider, &bike, Units::Mm, false).fit.verdict.fits())
                .collect();
            let rider = fits.get(fits.len() / 2).cloned();
            let rider = rider.unwrap_or_else(|| named_child(900.0, *stage));
            // Both ways of printing a length come up on every bike.
            let units = [Units::Mm, Units::In][handovers.len() % 2];
            handovers.push((bike.clone(), work(&rider, &bike, units, true)));
        }
    }
    handovers
}

/// The fullest card: nothing fits, everything is there, every part has a printed torque and a long name.
fn fullest() -> Handover {
    let sample = library::SAMPLES.iter().find(|(id, _)| *id == "trail-24");
    let mut text = sample.unwrap().1.replace("Sample trail 24", LONG).replace(
        "air_spring: true",
        "air_spring: {reference_pressure: 4 bar, reference_rider: 40 kg, min: 2.5 bar, max: 6 bar}",
    );
    // Within reach of the fingertips only, and not the same at both ends.
    text = text.replacen("{min: 45, max: 75}", "{min: 72, max: 88}", 1);
    text.push_str("torque:\n");
    for index in 0..30 {
        writeln!(text, "  {index} {LONG}: 5.5").unwrap();
    }
    let rider = rider(&format!(
        "name: {LONG}\nheight: 1250\ninseam: 520\nage: 7y\nweight: 22 kg\nstage: steady\n"
    ));
    work(&rider, &bike(&text), Units::Mm, true)
}

/// A half-empty frame file: what the card says where figures are missing.
fn barest() -> Handover {
    let sample = library::SAMPLES.iter().find(|(id, _)| *id == "trail-24");
    let kept = |line: &&str| {
        ![
            "weight:",
            "price:",
            "brakes:",
            "  front: {kind",
            "  rear: {kind",
            "  top_tube:",
        ]
        .iter()
        .any(|key| line.starts_with(key))
    };
    let lines: Vec<_> = sample.unwrap().1.lines().filter(kept).collect();
    let text = lines
        .join("\n")
        .replace(", min_pressure: 1.4, max_pressure: 3.5", "")
        .replace(", diameter: 27.2", "");
    work(&rider("height: 1380\n"), &bike(&text), Units::In, true)
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
    let bytes = std::fs::read(&pdf).unwrap();
    if let Some(keep) = std::env::var_os("INSEAM_KEEP_CARDS") {
        std::fs::copy(&pdf, Path::new(&keep).join(keep_as)).unwrap();
    }
    // A page object is `/Type /Page`, the tree above it `/Type /Pages`.
    let mark = b"/Type /Page";
    bytes
        .windows(mark.len() + 1)
        .filter(|window| window.starts_with(mark) && window[mark.len()] != b's')
        .count()
}

/// Cards one after the other in one document, each from the top of a new page: it has as many pages as
/// cards exactly when no card takes two.
fn bound(cards: &[String]) -> String {
    let (head, _) = cards[0].split_once("<body>").unwrap();
    let mut all = format!("{head}<body>");
    for card in cards {
        let (_, body) = card.split_once("<body>").unwrap();
        let (body, _) = body.split_once("</body>").unwrap();
        write!(all, "<div style=\"break-before: page\">{body}</div>").unwrap();
    }
    all + "</body></html>"
}

#[test]
fn every_sample_at_every_stage_prints_to_one_page() {
    let Some(chromium) = chromium() else { return };
    let handovers = sample_handovers();
    assert!(handovers.len() >= 3);
    std::thread::scope(|scope| {
        for paper in [Paper::A4, Paper::Letter] {
            let (handovers, chromium) = (&handovers, &chromium);
            scope.spawn(move || {
                let cards: Vec<_> = handovers
                    .iter()
                    .map(|(bike, handover)| {
                        let picture = draw::card_view(bike, &handover.fit, handover.units).svg;
                        let extras = Extras {
                            picture: Some(picture),
                            ..extras(paper)
                        };
                        card(handover, &extras).unwrap()
                    })
                    .collect();
                let name = format!("samples-{paper:?}.pdf");
                assert_eq!(
                    pages(chromium, &bound(&cards), &name),
                    cards.len(),
                    "{paper:?}"
                );
            });
        }
    });
}

#[test]
fn the_fullest_and_the_barest_card_print_to_one_page() {
    let Some(chromium) = chromium() else { return };
    let (fullest, barest) = (fullest(), barest());
    std::thread::scope(|scope| {
        for paper in [Paper::A4, Paper::Letter] {
            for (handover, name) in [(&fullest, "fullest"), (&barest, "barest")] {
                let chromium = &chromium;
                scope.spawn(move || {
                    let html = card(handover, &extras(paper)).unwrap();
                    let file = format!("{name}-{paper:?}.pdf");
                    assert_eq!(pages(chromium, &html, &file), 1, "{name} on {paper:?}");
                });
            }
        }
    });
}

#[test]
fn two_pages_are_counted_as_two() {
    let Some(chromium) = chromium() else { return };
    let two = "<p>one</p><p style=\"break-before: page\">two</p>";
    assert_eq!(pages(&chromium, two, "two.pdf"), 2);
}

#[test]
fn names_stay_text() {
    let nasty = "<script>alert(\"x\")</script> & 'y'";
    let sample = library::SAMPLES.iter().find(|(id, _)| *id == "trail-24");
    let text = sample.unwrap().1.replace(
        "name: Sample trail 24",
        "name: \"<script>bike</script>\"\ntorque: {\"<img src=x>\": 4}",
    );
    let rider = rider(&format!(
        "name: \"{}\"\nheight: 1380\n",
        nasty.replace('"', "\\\"")
    ));
    let extras = Extras {
        shop: Some(nasty.to_owned()),
        technician: Some(format!("\"><b>{nasty}")),
        ..Extras::default()
    };
    let html = card(&work(&rider, &bike(&text), Units::Mm, false), &extras).unwrap();
    for bad in ["<script", "<img", "\"><b>"] {
        assert!(!html.contains(bad), "{bad}");
    }
    assert!(
        html.contains("&#60;script&#62;alert(&#34;x&#34;)&#60;/script&#62;"),
        "{html}"
    );
    assert!(html.contains("&#60;img src=x&#62;"));
}

#[test]
fn the_card_is_one_file_that_fetches_nothing() {
    let html = card(&fullest(), &extras(Paper::A4)).unwrap();
    for outside in [
        "<link", "<script", "<iframe", "<img", "src=", "href=", "@import", "url(", "<?xml",
    ] {
        assert!(!html.contains(outside), "{outside}");
    }
    let addresses: Vec<_> = html.match_indices("http").collect();
    // The meta element's own attribute, and the namespace that makes an SVG one.
    assert_eq!(addresses.len(), 2, "{addresses:?}");
    assert!(html.contains("<svg xmlns=\"http://www.w3.org/2000/svg\""));
    assert!(html.contains("http-equiv=\"Content-Security-Policy\""));
}

#[test]
fn what_does_not_fit_the_page_is_named_as_missing() {
    let handover = fullest();
    let html = card(&handover, &Extras::default()).unwrap();
    let shown = html.matches("<div class=\"bolt\">").count();
    let left = handover.bolts.len() - shown;
    assert!(left > 0);
    assert!(html.contains(&format!("{left} more parts do not fit this page")));
    assert!(handover.raises().count() > 4);
    assert!(html.contains("more dates in the text report"));
}

#[test]
fn the_cards_picture_has_its_words_whole_apart_and_on_the_sheet() {
    for (bike, handover) in sample_handovers() {
        for units in [Units::Mm, Units::Cm, Units::In] {
            let fit = &handover.fit;
            let plan = draw::card_view(&bike, fit, units).plan;
            let words: Vec<_> = plan
                .labels
                .iter()
                .map(|label| label.text.as_str())
                .collect();
            let mut wanted = vec![
                units.length(fit.setting.saddle_height_mm),
                units.length(fit.setting.exposed_post_mm),
                units.length(fit.setting.seat_height_mm),
            ];
            wanted.extend(fit.setting.lever_gap_mm.map(|gap| units.length(gap)));
            for figure in wanted {
                assert!(words.contains(&figure.as_str()), "{figure} in {words:?}");
            }
            let sheet = plan.sheet;
            for (index, label) in plan.labels.iter().enumerate() {
                let place = label.place;
                let inside = place.x >= sheet.x
                    && place.y >= sheet.y
                    && place.x + place.width <= sheet.x + sheet.width
                    && place.y + place.height <= sheet.y + sheet.height;
                assert!(inside, "{}: {label:?}", bike.id);
                for other in &plan.labels[index + 1..] {
                    let apart = place.x + place.width <= other.place.x
                        || other.place.x + other.place.width <= place.x
                        || place.y + place.height <= other.place.y
                        || other.place.y + other.place.height <= place.y;
                    assert!(apart, "{}: {label:?} on {other:?}", bike.id);
                }
            }
        }
    }
}
