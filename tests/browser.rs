//! The shop-floor page in a real Chromium: each user's whole way, at phone, tablet and desktop width, by keyboard alone
//! and without script; nothing fetched from elsewhere, targets large enough, contrast AA (WCAG 2.1, 1.4.3 and 2.5.5).
//! Without a Chromium the tests say so and stop. `INSEAM_SHOTS=DIR` keeps a picture of every screen.

#![cfg(all(feature = "page", unix))]

#[path = "common/browser.rs"]
mod browser;
#[path = "common/serve.rs"]
mod serve;

use browser::{Browser, Tab};
use serde_json::{Value, json};
use serve::Served;

const WIDTHS: [u32; 3] = [390, 820, 1280];

/// A browser, or a loud word that there is none.
macro_rules! browser_or_skip {
    () => {
        match Browser::start() {
            Some(browser) => browser,
            None => {
                eprintln!("SKIPPED: no Chromium here; install `chromium` to run this test");
                return;
            }
        }
    };
}

/// Everything a person could stumble over on the page as it stands, in words.
const STUMBLES: &str = r"(() => {
  const found = [];
  const shown = it => it.checkVisibility({visibilityProperty: true}) && !it.closest('.unseen') && !it.matches('.skip');
  const name = it => `${it.tagName} ${it.className} ${(it.innerText || it.name || '').slice(0, 40)}`;
  if (document.documentElement.scrollWidth > innerWidth) found.push(`wider than the window: ${document.documentElement.scrollWidth}`);
  // Targets: 44 px (WCAG 2.1, 2.5.5). A box inside its label is pressed by the label.
  for (const it of document.querySelectorAll('a, button, input:not([type=hidden]), select, summary')) {
    if (!shown(it)) continue;
    const r = (it.closest('label') || it).getBoundingClientRect();
    if (r.width < 44 || r.height < 44) found.push(`small target ${Math.round(r.width)}x${Math.round(r.height)}: ${name(it)}`);
  }
  // Contrast (WCAG 2.1, 1.4.3), relative luminance as defined there.
  const parse = c => { const m = c.match(/[\d.]+/g).map(Number); return {rgb: m.slice(0, 3), a: m.length > 3 ? m[3] : 1}; };
  const light = rgb => { const [r, g, b] = rgb.map(v => { v /= 255; return v <= .03928 ? v / 12.92 : ((v + .055) / 1.055) ** 2.4; }); return .2126 * r + .7152 * g + .0722 * b; };
  const ground = it => { for (let e = it; e; e = e.parentElement) { const c = parse(getComputedStyle(e).backgroundColor); if (c.a === 1) return c.rgb; } return [255, 255, 255]; };
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const it = walk.currentNode.parentElement;
    if (!walk.currentNode.textContent.trim() || !shown(it) || it.closest('script, style, option')) continue;
    const style = getComputedStyle(it), size = parseFloat(style.fontSize);
    const [a, b] = [light(parse(style.color).rgb), light(ground(it))];
    const ratio = (Math.max(a, b) + .05) / (Math.min(a, b) + .05);
    const large = size >= 24 || (size >= 18.66 && style.fontWeight >= 700);
    if (ratio < (large ? 3 : 4.5)) found.push(`contrast ${ratio.toFixed(2)}: ${name(it)}`);
  }
  // Every box has a name, every picture a word for it.
  for (const it of document.querySelectorAll('input:not([type=hidden]), select')) if (!it.labels.length) found.push(`no label: ${name(it)}`);
  for (const it of document.querySelectorAll('img')) if (!it.hasAttribute('alt')) found.push(`no alt: ${it.src}`);
  for (const it of document.querySelectorAll('svg[role=img]')) if (!it.getAttribute('aria-label')) found.push('a sign without a word');
  return found;
})()";

fn stumbles(browser: &mut Browser, tab: &Tab) -> Vec<String> {
    let found = browser.value(tab, STUMBLES);
    found
        .as_array()
        .unwrap()
        .iter()
        .map(Value::to_string)
        .collect()
}

fn home(shop: &Served) -> String {
    format!("http://{}", shop.address)
}

#[test]
fn nobody_stumbles_on_any_screen_at_any_width_in_light_or_dark() {
    let mut browser = browser_or_skip!();
    let folder = tempfile::tempdir().unwrap();
    let shop = Served::start(&["--riders", folder.path().to_str().unwrap()]);
    let child = "inseam=60cm&height=128cm&age=8y&sex=girl&units=cm&weight=27kg";
    let screens = [
        ("blank", "/".to_owned()),
        ("child", format!("/?{child}")),
        ("wrong", "/?inseam=5&height=138cm&colour=red".to_owned()),
        ("fits", format!("/fit?frame=street-20&{child}")),
        ("too-big", format!("/fit?frame=trail-26&{child}")),
        (
            "two",
            format!("/compare?frame=street-20&frame=street-24&{child}"),
        ),
        ("rack", "/rack?units=cm".to_owned()),
        ("handover", format!("/handover?frame=street-20&{child}")),
        ("stop", format!("/handover?frame=trail-26&{child}")),
        ("bike", "/bike".to_owned()),
        (
            "bike-wrong",
            "/bike?name=Ours&style=trail&tyres=54x&standover=60cm".to_owned(),
        ),
        ("bike-child", format!("/bike?{child}")),
    ];
    let mut all = look_at(&mut browser, &shop, &screens);
    all.extend(browser.complaints(&home(&shop)));
    assert!(all.is_empty(), "{}", all.join("\n"));
}

/// Opens every screen at every width, light and dark; gives what one stumbles over.
fn look_at(browser: &mut Browser, shop: &Served, screens: &[(&str, String)]) -> Vec<String> {
    let mut all = Vec::new();
    for dark in [false, true] {
        for width in WIDTHS {
            let tab = browser.tab(width, dark);
            for (name, path) in screens {
                browser.open(&tab, &(home(shop) + path));
                let light = if dark { "dark" } else { "light" };
                browser.keep_picture(&tab, &format!("{name}-{width}-{light}"));
                let found = stumbles(browser, &tab);
                all.extend(
                    found
                        .iter()
                        .map(|one| format!("{name} {width} {light}: {one}")),
                );
            }
        }
    }
    all
}

/// A folder of the invented holiday course.
fn course(folder: &str) -> String {
    format!("{}/tests/data/course/{folder}", env!("CARGO_MANIFEST_DIR"))
}

#[test]
fn nobody_stumbles_on_the_book_full_empty_broken_or_without_folders() {
    let mut browser = browser_or_skip!();
    let folder = tempfile::tempdir().unwrap();
    let made = |name: &str| {
        let path = folder.path().join(name);
        std::fs::create_dir(&path).unwrap();
        path
    };
    let (empty, broken, many) = (made("empty"), made("broken"), made("many"));
    for file in ["ada.yaml", "milo.yaml"] {
        let from = format!("{}/{file}", course("riders"));
        std::fs::copy(from, broken.join(file)).unwrap();
    }
    std::fs::write(broken.join("torn.yaml"), "height: [\n").unwrap();
    for child in 0..100_u32 {
        let height = 1000 + 6 * child;
        let text = format!(
            "name: Child with a long name {child}\nheight: {height}\ninseam: {}\nage: 8y\n",
            height * 45 / 100
        );
        std::fs::write(many.join(format!("child-{child:03}.yaml")), text).unwrap();
    }
    let frames = course("frames");
    let text = |path: &std::path::Path| path.to_str().unwrap().to_owned();
    let shops: [(&str, Vec<String>); 5] = [
        ("full", vec![course("riders"), course("records")]),
        ("empty", vec![text(&empty), text(&empty)]),
        ("broken", vec![text(&broken), text(&broken)]),
        ("many", vec![text(&many), course("records")]),
        ("none", Vec::new()),
    ];
    for (name, folders) in shops {
        let mut arguments = Vec::new();
        if let [riders, records] = folders.as_slice() {
            arguments.extend(["--riders", riders, "--records", records]);
            arguments.extend(["--frames", &frames]);
        }
        let shop = Served::start(&arguments);
        let screens = [
            ("assign", "/assign?on=2026-07-07&units=cm"),
            ("due", "/due?on=2026-07-08&within=1y&units=cm"),
            ("book", "/book?on=2026-07-07&units=cm"),
            (
                "keep",
                "/handover?frame=street-20&height=128cm&inseam=60cm&on=2026-07-07&units=cm",
            ),
        ]
        .map(|(screen, path)| (format!("{screen}-{name}"), path.to_owned()));
        let screens: Vec<(&str, String)> = screens
            .iter()
            .map(|(screen, path)| (screen.as_str(), path.clone()))
            .collect();
        let mut all = look_at(&mut browser, &shop, &screens);
        all.extend(browser.complaints(&home(&shop)));
        assert!(all.is_empty(), "{}", all.join("\n"));
    }
}

#[test]
fn the_morning_hand_out_goes_from_the_rack_to_the_list_by_keyboard_and_without_script() {
    let mut browser = browser_or_skip!();
    let folders = ["riders", "frames", "records"].map(course);
    let [riders, frames, records] = &folders;
    let shop = Served::start(&["--riders", riders, "--frames", frames, "--records", records]);
    for width in WIDTHS {
        let tab = browser.tab(width, false);
        without_script(&mut browser, &tab);
        browser.open(&tab, &home(&shop));
        browser.tab_to(&tab, "it.matches('nav a') && it.innerText === 'The book'");
        browser.press(&tab, "Enter");
        browser.wait(
            &tab,
            "location.pathname === '/assign' && document.querySelectorAll('.stack tbody tr').length > 5",
        );
        browser.tab_to(&tab, "it.name === 'units'");
        browser.press(&tab, "ArrowDown");
        browser.tab_to(&tab, "it.matches('form button.main')");
        browser.press(&tab, "Enter");
        browser.wait(
            &tab,
            "location.search.includes('units=in') && document.querySelector('.stack')",
        );
        // The list is printed under the heading that was just typed.
        browser.tab_to(&tab, "it.name === 'title'");
        browser.type_text(&tab, "Group B");
        browser.tab_to(&tab, "it.innerText === 'List to print'");
        browser.press(&tab, "Enter");
        browser.wait(
            &tab,
            "location.search.includes('format=list') && document.body.innerText.includes('Group B')",
        );
        // Inches with their sixteenths, and none runs into the next column.
        let wide = browser.text(
            &tab,
            "[...document.querySelectorAll('td.n')].filter(it => it.scrollWidth > it.clientWidth).map(it => it.innerText).join('; ')",
        );
        assert_eq!(wide, "", "{width}");
        browser.value(&tab, "history.back()");
        browser.wait(&tab, "document.querySelector('.stack a')");
        // From a row to its pair.
        browser.tab_to(&tab, "it.closest('.stack') && it.tagName === 'A'");
        browser.press(&tab, "Enter");
        browser.wait(
            &tab,
            "location.pathname === '/fit' && location.search.includes('rider=') && document.querySelector('.verdict.ok')",
        );
        browser.open(&tab, &(home(&shop) + "/due?on=2026-07-08"));
        browser.value(&tab, "document.getElementById('within').value = '1y'");
        browser.tab_to(&tab, "it.matches('form button.main')");
        browser.press(&tab, "Enter");
        browser.wait(
            &tab,
            "location.search.includes('within=1y') && document.querySelectorAll('.day').length > 3",
        );
        browser.tab_to(&tab, "it.innerText === 'Who is served'");
        browser.press(&tab, "Enter");
        browser.wait(
            &tab,
            "location.pathname === '/book' && document.querySelectorAll('.stack tbody tr').length > 5",
        );
    }
    assert_eq!(browser.complaints(&home(&shop)), Vec::<String>::new());
}

#[test]
fn a_record_is_kept_by_keyboard_without_script_and_is_due() {
    let mut browser = browser_or_skip!();
    let [riders, frames] = ["riders", "frames"].map(course);
    for width in WIDTHS {
        let folder = tempfile::tempdir().unwrap();
        let records = folder.path().to_str().unwrap();
        let shop = Served::start(&[
            "--riders",
            &riders,
            "--frames",
            &frames,
            "--records",
            records,
        ]);
        let tab = browser.tab(width, false);
        without_script(&mut browser, &tab);
        let path = "/handover?frame=street-20&rider=ada&on=2026-07-07";
        browser.open(&tab, &(home(&shop) + path));
        browser.tab_to(&tab, "it.innerText === 'Keep the record'");
        browser.press(&tab, "Enter");
        browser.wait(
            &tab,
            "document.getElementById('technician').checkVisibility()",
        );
        browser.keep_picture(&tab, &format!("record-{width}-light"));
        assert_eq!(stumbles(&mut browser, &tab), Vec::<String>::new());
        browser.tab_to(&tab, "it.id === 'technician'");
        browser.type_text(&tab, "Sam");
        browser.tab_to(&tab, "it.innerText === 'Keep'");
        browser.press(&tab, "Enter");
        browser.wait(&tab, "document.querySelector('h1').innerText === 'Kept'");
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
        browser.tab_to(&tab, "it.matches('#answer .main')");
        browser.press(&tab, "Enter");
        browser.wait(
            &tab,
            "location.pathname === '/due' && document.querySelector('.day')",
        );
        assert!(
            browser
                .text(&tab, "document.querySelector('.day').innerText")
                .contains("Ada")
        );
        assert_eq!(browser.complaints(&home(&shop)), Vec::<String>::new());
    }
}

#[test]
fn a_phone_gets_the_upright_picture_and_a_desk_the_lying_one() {
    let mut browser = browser_or_skip!();
    let shop = Served::start(&[]);
    let child = "inseam=60cm&height=128cm&age=8y&units=cm";
    for (path, kinds) in [
        ("fit?frame=street-20", &["side"][..]),
        ("fit?frame=trail-26", &["side"]),
        ("handover?frame=street-20", &["set-up"]),
        (
            "compare?frame=street-20&frame=street-24",
            &["two", "growth"],
        ),
        ("rack?", &["rack"]),
    ] {
        for width in WIDTHS {
            let tab = browser.tab(width, false);
            browser.open(&tab, &format!("{}/{path}&{child}", home(&shop)));
            for (index, kind) in kinds.iter().enumerate() {
                let image = format!("document.querySelectorAll('.picture picture img')[{index}]");
                browser.value(&tab, &format!("{image}.scrollIntoView()"));
                browser.wait(
                    &tab,
                    &format!("{image}.complete && {image}.naturalWidth > 0"),
                );
                let shown = browser.text(&tab, &format!("new URL({image}.currentSrc).pathname"));
                let form = if width < 960 { "-upright" } else { "" };
                assert_eq!(shown, format!("/picture/{kind}{form}"), "{path} at {width}");
                let shape = browser.value(
                    &tab,
                    &format!("{image}.naturalHeight / {image}.naturalWidth"),
                );
                assert_eq!(
                    shape.as_f64().unwrap() > 1.0,
                    width < 960,
                    "{path} at {width}"
                );
                // All of it is seen at once, without sliding it sideways.
                let whole = format!(
                    "{image}.getBoundingClientRect().right <= {width} && document.documentElement.scrollWidth <= {width}"
                );
                assert_eq!(browser.value(&tab, &whole), true, "{path} at {width}");
            }
        }
    }
    assert_eq!(browser.complaints(&home(&shop)), Vec::<String>::new());
}

#[test]
fn long_names_and_letters_twice_as_large_push_nothing_off_the_page() {
    let mut browser = browser_or_skip!();
    let folder = tempfile::tempdir().unwrap();
    let long =
        "Sternhimmelüberquerungsgesellschaftsrad of an extraordinarily long invented name 24";
    let written = include_str!("../frames/trail-24.yaml");
    let name = written
        .lines()
        .find(|line| line.starts_with("name:"))
        .unwrap();
    let file = written.replacen(name, &format!("name: {long}"), 1);
    let id = "long-sternhimmelueberquerungsgesellschaftsrad-24";
    std::fs::write(folder.path().join(format!("{id}.yaml")), file).unwrap();
    let other = include_str!("../frames/street-24.yaml");
    std::fs::write(folder.path().join("street-24.yaml"), other).unwrap();
    let shop = Served::start(&["--frames", folder.path().to_str().unwrap()]);
    let child = "inseam=66cm&height=138cm&age=9y&sex=girl&units=cm";
    for path in [
        format!("/?{child}"),
        format!("/fit?frame={id}&{child}"),
        format!("/compare?frame={id}&frame=street-24&{child}"),
        format!("/handover?frame={id}&{child}"),
        "/rack?units=cm".to_owned(),
        format!("/bike?{child}"),
    ] {
        for width in WIDTHS {
            let tab = browser.tab(width, false);
            browser.open(&tab, &(home(&shop) + &path));
            // Not the window's width: a phone's grows with what does not fit.
            let is_whole = format!("document.documentElement.scrollWidth <= {width}");
            assert_eq!(browser.value(&tab, &is_whole), true, "{path} at {width}");
            // A reader's own letters change what a narrow page is, too; here only the narrow one is asked.
            if width < 700 {
                let larger = "document.documentElement.style.fontSize = '200%'";
                browser.value(&tab, larger);
                assert_eq!(
                    browser.value(&tab, &is_whole),
                    true,
                    "{path}, large letters"
                );
            }
        }
    }
}

#[test]
fn paper_gets_the_lying_picture_and_keeps_names_with_what_they_name() {
    let mut browser = browser_or_skip!();
    let shop = Served::start(&[]);
    let child = "inseam=60cm&height=128cm&age=8y&sex=girl&units=cm";
    // Paper is as wide as a tablet held upright, whatever it is printed from.
    let tab = browser.tab(794, false);
    for path in [
        "fit?frame=street-20",
        "compare?frame=street-20&frame=street-24",
    ] {
        browser.open(&tab, &format!("{}/{path}&{child}", home(&shop)));
        let print = json!({"media": "print"});
        browser.command(&tab, "Emulation.setEmulatedMedia", &print);
        let seen =
            "[...document.querySelectorAll('.picture img')].filter(it => it.checkVisibility())";
        browser.wait(
            &tab,
            &format!("{seen}.length > 0 && {seen}.every(it => it.naturalWidth > it.naturalHeight)"),
        );
        let upright = format!("{seen}.some(it => it.currentSrc.includes('-upright'))");
        assert_eq!(browser.value(&tab, &upright), json!(false), "{path}");
        // A heading stays with what follows it; no browser does that for a caption.
        let apart = "document.querySelectorAll('caption').length \
             + [...document.querySelectorAll('table')].filter(it => \
                 getComputedStyle(document.getElementById(it.getAttribute('aria-labelledby'))).breakAfter !== 'avoid').length \
             + [...document.querySelectorAll('dl.figures')].filter(it => \
                 getComputedStyle(it).breakInside !== 'avoid').length";
        assert_eq!(browser.value(&tab, apart), json!(0), "{path}");
        browser.command(&tab, "Emulation.setEmulatedMedia", &json!({"media": ""}));
    }
}

#[test]
fn on_paper_stand_every_finding_every_bike_and_the_childs_figures() {
    let mut browser = browser_or_skip!();
    let shop = Served::start(&[]);
    let child = "inseam=60cm&height=128cm&age=8y&units=cm";
    let tab = browser.tab(1280, false);
    for (path, folded, least) in [
        ("fit?frame=street-20&", ".findings .trade", 8),
        ("fit?frame=trail-26&", ".findings .trade", 1),
        ("size?", ".far .card", 1),
    ] {
        browser.open(&tab, &format!("{}/{path}{child}", home(&shop)));
        let print = json!({"media": "print"});
        browser.command(&tab, "Emulation.setEmulatedMedia", &print);
        // What is folded is laid out with the next frame.
        let all = format!("[...document.querySelectorAll('{folded}')]");
        let seen = "it.checkVisibility({contentVisibilityAuto: true, visibilityProperty: true}) && it.getBoundingClientRect().height > 10";
        browser.wait(
            &tab,
            &format!("{all}.length >= {least} && {all}.every(it => {seen})"),
        );
        let text = browser.text(&tab, "document.body.innerText");
        let figures = "inside leg (inseam) 60.0 cm, height 128.0 cm";
        assert_eq!(text.matches(figures).count(), 1, "{path}: {text}");
        // Nothing that only a screen can do.
        for word in ["Show the answer", "change\n", "Inside leg\n"] {
            assert!(!text.contains(word), "{path}: {word}");
        }
        browser.command(&tab, "Emulation.setEmulatedMedia", &json!({"media": ""}));
    }
}

#[test]
fn the_sales_floor_types_three_figures_and_goes_from_the_rack_to_the_side_view() {
    let mut browser = browser_or_skip!();
    let shop = Served::start(&[]);
    for width in WIDTHS {
        let tab = browser.tab(width, false);
        browser.open(&tab, &home(&shop));
        for (flag, text) in [
            ("inseam", "60"),
            ("height", "128"),
            ("arm-reach", "49"),
            ("age", "8"),
        ] {
            browser.click(&tab, &format!("#{flag}"));
            browser.type_text(&tab, text);
        }
        // No button: the answer comes by itself, and the address is the command line's.
        browser.wait(
            &tab,
            "location.search.includes('age=8y') && document.querySelectorAll('.card').length > 2",
        );
        let address = browser.text(&tab, "location.search");
        assert!(
            address.contains("inseam=60cm") && address.contains("arm-reach=49cm"),
            "{address}"
        );
        // What is typed stays as it is typed.
        assert_eq!(
            browser.text(&tab, "document.getElementById('inseam').value"),
            "60"
        );
        let told = browser.text(&tab, "document.getElementById('told').textContent");
        assert!(told.contains("fit"), "{told}");
        browser.click(&tab, ".card .name");
        browser.wait(
            &tab,
            "location.pathname === '/fit' && document.querySelector('.picture picture img').complete",
        );
        let width_of_picture = browser.value(
            &tab,
            "document.querySelector('.picture picture img').naturalWidth",
        );
        assert!(width_of_picture.as_f64().unwrap() > 0.0);
        let page = browser.text(&tab, "document.body.innerText");
        assert!(page.contains("Saddle height") && page.contains("About size only"));
        // And back to the rack with the same child.
        browser.click(&tab, ".links .button");
        browser.wait(
            &tab,
            "location.pathname === '/' && document.querySelectorAll('.card').length > 2",
        );
        // A slip is told beside its box while typing.
        browser.click(&tab, "#height");
        browser.value(&tab, "document.getElementById('height').select()");
        browser.type_text(&tab, "12");
        browser.wait(&tab, "document.querySelector('#height-hint .slip') && document.getElementById('height').getAttribute('aria-invalid')");
    }
    assert_eq!(browser.complaints(&home(&shop)), Vec::<String>::new());
}

#[test]
fn the_parents_address_gives_the_same_answer_in_a_new_window() {
    let mut browser = browser_or_skip!();
    let shop = Served::start(&[]);
    let one = browser.tab(820, false);
    browser.open(
        &one,
        &(home(&shop) + "/fit?frame=street-20&inseam=60cm&height=128cm&age=8y&units=cm"),
    );
    browser.value(&one, "document.getElementById('other').value = 'street-24'");
    browser.click(&one, ".against button");
    browser.wait(
        &one,
        "location.pathname === '/compare' && document.querySelector('.two')",
    );
    let address = browser.text(&one, "location.href");
    let text = browser.text(&one, "document.body.innerText");
    assert!(text.contains("Sample street 20") && text.contains("Sample street 24"));
    let other = browser.tab(820, false);
    browser.open(&other, &address);
    assert_eq!(browser.text(&other, "document.body.innerText"), text);
    assert_eq!(browser.complaints(&home(&shop)), Vec::<String>::new());
}

#[test]
fn the_technician_ticks_the_list_and_opens_the_card() {
    let mut browser = browser_or_skip!();
    let shop = Served::start(&[]);
    let tab = browser.tab(820, false);
    browser.open(
        &tab,
        &(home(&shop) + "/fit?frame=trail-24&inseam=66cm&height=138cm&age=9y6m"),
    );
    browser.click(&tab, ".links .main");
    browser.wait(
        &tab,
        "location.pathname === '/handover' && document.querySelector('.ticks input')",
    );
    browser.click(&tab, ".ticks .pick");
    assert_eq!(
        browser.value(&tab, "document.querySelector('.ticks input').checked"),
        json!(true)
    );
    browser.click(&tab, ".links .main");
    browser.wait(
        &tab,
        "location.search.includes('format=card') && document.title.startsWith('Handover')",
    );
    assert!(
        browser
            .text(&tab, "document.body.innerText")
            .contains("Cautions")
    );
    assert_eq!(browser.complaints(&home(&shop)), Vec::<String>::new());
}

#[test]
fn the_keyboard_alone_is_enough() {
    let mut browser = browser_or_skip!();
    let shop = Served::start(&[]);
    let tab = browser.tab(1280, false);
    browser.open(&tab, &home(&shop));
    browser.press(&tab, "Tab");
    assert_eq!(
        browser.text(&tab, "document.activeElement.className"),
        "skip"
    );
    browser.tab_to(&tab, "it.id === 'inseam'");
    browser.type_text(&tab, "66");
    browser.tab_to(&tab, "it.id === 'height'");
    browser.type_text(&tab, "138");
    browser.tab_to(&tab, "it.name === 'stage'");
    browser.press(&tab, "ArrowDown");
    assert_eq!(
        browser.text(&tab, "document.querySelector('[name=stage]:checked').value"),
        "confident"
    );
    browser.tab_to(&tab, "it.tagName === 'SUMMARY'");
    browser.press(&tab, "Enter");
    browser.tab_to(&tab, "it.id === 'weight'");
    browser.type_text(&tab, "32");
    browser.press(&tab, "Enter");
    browser.wait(&tab, "location.search.includes('weight=32') && location.search.includes('stage=confident') && document.querySelector('.card')");
    browser.tab_to(&tab, "it.matches('.card')");
    let outline = browser.text(
        &tab,
        "getComputedStyle(document.activeElement).outlineStyle",
    );
    assert_eq!(outline, "solid", "the focus is seen");
    browser.press(&tab, "Enter");
    browser.wait(&tab, "location.pathname === '/fit'");
    browser.tab_to(&tab, "it.closest('.findings') && it.tagName === 'SUMMARY'");
    browser.press(&tab, "Enter");
    assert_eq!(
        browser.value(&tab, "document.activeElement.parentElement.open"),
        json!(true)
    );
    assert_eq!(browser.complaints(&home(&shop)), Vec::<String>::new());
}

#[test]
fn without_script_every_form_still_works() {
    let mut browser = browser_or_skip!();
    let folder = tempfile::tempdir().unwrap();
    let shop = Served::start(&["--riders", folder.path().to_str().unwrap()]);
    for width in WIDTHS {
        let tab = browser.tab(width, false);
        without_script(&mut browser, &tab);
        browser.open(&tab, &home(&shop));
        for (flag, text) in [("inseam", "60"), ("height", "128"), ("age", "8")] {
            browser.click(&tab, &format!("#{flag}"));
            browser.type_text(&tab, text);
        }
        std::thread::sleep(std::time::Duration::from_millis(700));
        assert_eq!(
            browser.text(&tab, "location.search"),
            "",
            "no script asks by itself"
        );
        browser.click(&tab, "#child button.main");
        browser.wait(&tab, "location.search.includes('inseam=60cm') && document.querySelectorAll('.card').length > 2");
        browser.click(&tab, ".card .name");
        browser.wait(&tab, "location.pathname === '/fit' && document.readyState === 'complete' && document.querySelector('.against button')");
        browser.click(&tab, ".against button");
        browser.wait(
            &tab,
            "location.pathname === '/compare' && document.querySelector('.two')",
        );
    }
    assert_eq!(browser.complaints(&home(&shop)), Vec::<String>::new());
}

#[test]
fn a_bike_is_added_at_the_counter() {
    let mut browser = browser_or_skip!();
    let folder = tempfile::tempdir().unwrap();
    let shop = Served::start(&["--frames", folder.path().to_str().unwrap()]);
    let tab = browser.tab(820, false);
    browser.open(&tab, &(home(&shop) + "/bike"));
    for (flag, text) in [
        ("name", "Ours 24"),
        ("tyres", "54-507"),
        ("bottom_bracket_height", "29"),
        ("seat_height_lowest", "69"),
        ("seat_height_highest", "83"),
        ("standover", "59"),
        ("crank_length", "140"),
    ] {
        browser.click(&tab, &format!("#{flag}"));
        browser.type_text(&tab, text);
    }
    // The file grows as it is typed, and what it still needs is said.
    browser.wait(&tab, "document.querySelector('pre') && document.querySelector('pre').textContent.includes('seat_height_highest: \"83cm\"') && document.querySelector('pre').textContent.includes('length: \"140\"')");
    let text = browser.text(&tab, "document.querySelector('pre').textContent");
    assert!(
        text.contains("name: \"Ours 24\"") && text.contains("measured:"),
        "{text}"
    );
    assert_eq!(browser.complaints(&home(&shop)), Vec::<String>::new());
}

#[test]
fn a_changed_child_goes_along_to_every_form_of_the_page() {
    let mut browser = browser_or_skip!();
    let shop = Served::start(&[]);
    let tab = browser.tab(1280, false);
    browser.open(
        &tab,
        &(home(&shop)
            + "/compare?frame=street-20&frame=street-24&inseam=60cm&height=128cm&units=cm"),
    );
    browser.click(&tab, ".who > summary");
    browser.click(&tab, "#height");
    browser.value(&tab, "document.getElementById('height').select()");
    browser.type_text(&tab, "131");
    browser.wait(&tab, "location.search.includes('height=131cm')");
    assert!(
        browser
            .text(&tab, "document.querySelector('nav a').href")
            .contains("height=131cm")
    );
    browser.click(&tab, "#pick button");
    browser.wait(&tab, "document.readyState === 'complete' && document.querySelector('.who > summary').innerText.includes('131')");
    let address = browser.text(&tab, "location.search");
    assert!(
        address.contains("height=131cm") && !address.contains("128"),
        "{address}"
    );
    assert_eq!(browser.complaints(&home(&shop)), Vec::<String>::new());
}

#[test]
fn two_bikes_and_the_child_go_along_whichever_button_is_pressed() {
    let mut browser = browser_or_skip!();
    let shop = Served::start(&[]);
    for (is_scripted, button) in [
        (true, "#child button.main"),
        (true, "#pick button"),
        (false, "#child button.main"),
        (false, "#pick button"),
    ] {
        let tab = browser.tab(390, false);
        if !is_scripted {
            without_script(&mut browser, &tab);
        }
        browser.open(&tab, &(home(&shop) + "/compare"));
        for (id, bike) in [("first", "street-20"), ("second", "street-24")] {
            browser.value(
                &tab,
                &format!("document.getElementById('{id}').value = '{bike}'"),
            );
        }
        for (flag, text) in [("height", "128"), ("age", "8")] {
            browser.click(&tab, &format!("#{flag}"));
            browser.type_text(&tab, text);
        }
        browser.click(&tab, button);
        browser.wait(
            &tab,
            "document.readyState === 'complete' && location.search.includes('height=128cm') && document.querySelector('.two')",
        );
        let kept = browser.text(
            &tab,
            "[...document.querySelectorAll('#pick select'), document.getElementById('age')].map(it => it.value).join(' ')",
        );
        assert_eq!(
            kept, "street-20 street-24 8y",
            "{button}, script: {is_scripted}"
        );
    }
    // A bike that is chosen is answered by itself, as what is typed is.
    let tab = browser.tab(390, false);
    browser.open(
        &tab,
        &(home(&shop) + "/compare?frame=street-20&frame=street-24&height=128cm&units=cm"),
    );
    browser.value(&tab, "(() => { const box = document.getElementById('second'); box.value = 'trail-24'; box.dispatchEvent(new Event('input', {bubbles: true})); })()");
    browser.wait(&tab, "location.search.includes('trail-24') && document.querySelector('.two').innerText.includes('Sample trail 24')");
    assert_eq!(browser.complaints(&home(&shop)), Vec::<String>::new());
}

fn without_script(browser: &mut Browser, tab: &Tab) {
    let value = json!({"value": true});
    browser.command(tab, "Emulation.setScriptExecutionDisabled", &value);
}

#[test]
fn one_step_back_shows_the_answer_before_with_its_own_figures() {
    let mut browser = browser_or_skip!();
    let shop = Served::start(&[]);
    // The pause after typing awaited, and the button pressed at once.
    for waits in [true, false] {
        let tab = browser.tab(390, false);
        browser.open(&tab, &home(&shop));
        let answered = |height: &str| {
            format!(
                "document.readyState === 'complete' && location.search.includes('height={height}cm') && document.querySelector('#answer').textContent.includes('height {height}')"
            )
        };
        for height in ["128", "105"] {
            browser.click(&tab, "#height");
            browser.value(&tab, "document.getElementById('height').select()");
            browser.type_text(&tab, height);
            if waits {
                browser.wait(&tab, &answered(height));
            }
            browser.click(&tab, "#child button.main");
            browser.wait(
                &tab,
                &format!("{} && location.hash === '#answer'", answered(height)),
            );
        }
        browser.value(&tab, "history.back()");
        browser.wait(&tab, &answered("128"));
        std::thread::sleep(std::time::Duration::from_millis(700));
        let box_and_address = browser.text(
            &tab,
            "`${document.getElementById('height').value} ${location.search} ${document.querySelector('#answer').textContent.includes('height 128')}`",
        );
        assert!(
            box_and_address.starts_with("128")
                && !box_and_address.contains("105")
                && box_and_address.ends_with("true"),
            "waits {waits}: {box_and_address}"
        );
        browser.value(&tab, "history.back()");
        browser.wait(&tab, "location.search === '' && document.querySelector('.blank') && document.getElementById('height').value === ''");
    }
    assert_eq!(browser.complaints(&home(&shop)), Vec::<String>::new());
}

#[test]
fn on_a_phone_no_figure_of_the_rack_is_torn_apart() {
    let mut browser = browser_or_skip!();
    let shop = Served::start(&[]);
    let tab = browser.tab(390, false);
    browser.open(&tab, &(home(&shop) + "/rack?units=in"));
    // A number with its fraction keeps to one line, and a cell to its column with room beside it.
    let torn = browser.text(
        &tab,
        r"[...document.querySelectorAll('.stack td.range')].flatMap(cell => {
          const found = [], text = cell.firstChild, range = document.createRange();
          for (const figure of text.data.matchAll(/\d+\s\d+\/\d+/g)) {
            range.setStart(text, figure.index); range.setEnd(text, figure.index + figure[0].length);
            if (range.getClientRects().length > 1) found.push(figure[0]);
          }
          const next = cell.nextElementSibling.getBoundingClientRect();
          range.selectNodeContents(cell);
          const right = range.getBoundingClientRect().right;
          if (next.left > cell.getBoundingClientRect().left && next.left - right < 12) found.push(`${cell.innerText} beside ${next.left - right}`);
          return found;
        }).join('; ')",
    );
    assert_eq!(torn, "");
}

#[test]
fn in_the_cautions_of_a_sheet_no_bullet_touches_the_column_before() {
    let mut browser = browser_or_skip!();
    let shop = Served::start(&[]);
    let pair = "/handover?frame=trail-24&inseam=66cm&height=138cm&age=9y6m&on=2026-03-01";
    for format in ["card", "build-sheet"] {
        for paper in ["a4", "letter"] {
            let tab = browser.tab(734, false);
            browser.command(
                &tab,
                "Emulation.setEmulatedMedia",
                &json!({"media": "print"}),
            );
            browser.open(
                &tab,
                &format!("{}{pair}&format={format}&paper={paper}", home(&shop)),
            );
            // From the first column's end to the words of the second: its bullet takes a letter's height of that.
            let gap_mm = browser.value(
                &tab,
                "(() => { const lines = [...document.querySelectorAll('.cautions li')].map(it => it.getBoundingClientRect()); const far = Math.max(...lines.map(it => it.left)); return (far - Math.min(...lines.map(it => it.right))) / 96 * 25.4; })()",
            );
            assert!(gap_mm.as_f64().unwrap() > 7.0, "{format} {paper}: {gap_mm}");
        }
    }
}
