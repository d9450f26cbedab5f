//! A real Chromium, spoken to over its debugging pipe: what a person sees, presses and types.

use std::collections::VecDeque;
use std::fs::File;
use std::io::{BufRead as _, BufReader, Write as _};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use tempfile::TempDir;

/// How long anything may take on a busy machine.
const PATIENCE: Duration = Duration::from_secs(60);

pub(crate) struct Browser {
    child: Child,
    to: File,
    from: BufReader<File>,
    last: u64,
    /// Events that came while something else was waited for.
    pub(crate) events: VecDeque<Value>,
    _folder: TempDir,
}

/// One window.
pub(crate) struct Tab {
    session: String,
}

impl Browser {
    /// None where there is no Chromium.
    pub(crate) fn start() -> Option<Self> {
        let program = ["chromium", "chromium-browser", "google-chrome"]
            .into_iter()
            .find(|name| Command::new(name).arg("--version").output().is_ok())?;
        let folder = tempfile::tempdir().expect("a folder");
        let [to, from] = ["to", "from"].map(|name| folder.path().join(name));
        for pipe in [&to, &from] {
            assert!(
                Command::new("mkfifo")
                    .arg(pipe)
                    .status()
                    .expect("mkfifo")
                    .success()
            );
        }
        let profile = folder.path().join("profile");
        let line = format!(
            "exec {program} --headless --no-sandbox --disable-gpu --no-first-run --disable-background-networking --disable-component-update --user-data-dir='{}' --remote-debugging-pipe about:blank 3<'{}' 4>'{}'",
            profile.display(),
            to.display(),
            from.display()
        );
        let child = Command::new("sh")
            .args(["-c", &line])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("a shell");
        let to = File::options().write(true).open(to).expect("a pipe");
        let from = BufReader::new(File::open(from).expect("a pipe"));
        Some(Self {
            child,
            to,
            from,
            last: 0,
            events: VecDeque::new(),
            _folder: folder,
        })
    }

    fn send(&mut self, session: &str, method: &str, parameters: &Value) -> u64 {
        self.last += 1;
        let mut message = json!({"id": self.last, "method": method, "params": parameters});
        if !session.is_empty() {
            message["sessionId"] = session.into();
        }
        let mut bytes = message.to_string().into_bytes();
        bytes.push(0);
        self.to.write_all(&bytes).expect("the browser listens");
        self.last
    }

    fn read(&mut self) -> Value {
        let mut bytes = Vec::new();
        self.from
            .read_until(0, &mut bytes)
            .expect("the browser speaks");
        bytes.pop();
        serde_json::from_slice(&bytes).expect("JSON")
    }

    fn call(&mut self, session: &str, method: &str, parameters: &Value) -> Value {
        self.ask(session, method, parameters)
            .unwrap_or_else(|error| panic!("{method}: {error}"))
    }

    fn ask(&mut self, session: &str, method: &str, parameters: &Value) -> Result<Value, Value> {
        let id = self.send(session, method, parameters);
        loop {
            let mut message = self.read();
            if message["id"] == id {
                return match message.get("error") {
                    Some(error) => Err(error.clone()),
                    None => Ok(message["result"].take()),
                };
            }
            self.events.push_back(message);
        }
    }

    pub(crate) fn tab(&mut self, width: u32, dark: bool) -> Tab {
        let target = self.call("", "Target.createTarget", &json!({"url": "about:blank"}));
        let attached = self.call(
            "",
            "Target.attachToTarget",
            &json!({"targetId": target["targetId"], "flatten": true}),
        );
        let session = attached["sessionId"]
            .as_str()
            .expect("a session")
            .to_owned();
        for domain in ["Page", "Runtime", "Network", "Log"] {
            self.call(&session, &format!("{domain}.enable"), &json!({}));
        }
        let scheme = if dark { "dark" } else { "light" };
        self.call(
            &session,
            "Emulation.setEmulatedMedia",
            &json!({"features": [{"name": "prefers-color-scheme", "value": scheme}]}),
        );
        self.call(
            &session,
            "Emulation.setDeviceMetricsOverride",
            &json!({"width": width, "height": 1000, "deviceScaleFactor": 1, "mobile": width < 500}),
        );
        Tab { session }
    }

    pub(crate) fn command(&mut self, tab: &Tab, method: &str, parameters: &Value) -> Value {
        self.call(&tab.session, method, parameters)
    }

    pub(crate) fn open(&mut self, tab: &Tab, address: &str) {
        self.command(tab, "Page.navigate", &json!({"url": address}));
        self.wait(
            tab,
            "document.readyState === 'complete' && location.href !== 'about:blank'",
        );
    }

    /// The value of an expression on the page.
    pub(crate) fn value(&mut self, tab: &Tab, expression: &str) -> Value {
        let parameters =
            json!({"expression": expression, "returnByValue": true, "awaitPromise": true});
        // A page that is being replaced has no value yet.
        let Ok(mut result) = self.ask(&tab.session, "Runtime.evaluate", &parameters) else {
            return Value::Null;
        };
        assert!(
            result.get("exceptionDetails").is_none(),
            "{expression}: {result}"
        );
        result["result"]["value"].take()
    }

    pub(crate) fn text(&mut self, tab: &Tab, expression: &str) -> String {
        self.value(tab, expression)
            .as_str()
            .unwrap_or_default()
            .to_owned()
    }

    /// Waits until an expression holds on a page that has come whole.
    pub(crate) fn wait(&mut self, tab: &Tab, expression: &str) {
        let start = Instant::now();
        let guarded = format!(
            "(() => {{ try {{ return document.readyState === 'complete' && Boolean({expression}); }} catch {{ return false; }} }})()"
        );
        while self.value(tab, &guarded) != Value::Bool(true) {
            assert!(
                start.elapsed() < PATIENCE,
                "never came: {expression}\non {}",
                self.text(tab, "location.href + '\\n' + document.body.innerText")
            );
            std::thread::sleep(Duration::from_millis(50));
        }
    }

    pub(crate) fn type_text(&mut self, tab: &Tab, text: &str) {
        self.command(tab, "Input.insertText", &json!({"text": text}));
    }

    /// Presses one key.
    pub(crate) fn press(&mut self, tab: &Tab, key: &str) {
        let (code, text) = match key {
            "Tab" => (9, ""),
            "Enter" => (13, "\r"),
            " " => (32, " "),
            "ArrowDown" => (40, ""),
            other => panic!("no code for {other}"),
        };
        for kind in ["keyDown", "keyUp"] {
            let mut parameters = json!({
                "type": kind, "key": key, "code": if key == " " { "Space" } else { key },
                "windowsVirtualKeyCode": code, "nativeVirtualKeyCode": code,
            });
            if kind == "keyDown" && !text.is_empty() {
                parameters["text"] = text.into();
            }
            self.command(tab, "Input.dispatchKeyEvent", &parameters);
        }
    }

    /// Goes on by the tab key until the focus is where an expression about `it` says.
    pub(crate) fn tab_to(&mut self, tab: &Tab, expression: &str) {
        for _ in 0..200 {
            self.press(tab, "Tab");
            let is_there = format!("(it => Boolean(it && ({expression})))(document.activeElement)");
            if self.value(tab, &is_there) == Value::Bool(true) {
                return;
            }
        }
        panic!("the tab key never comes to: {expression}");
    }

    /// Clicks where a person would: in the middle of what is seen.
    pub(crate) fn click(&mut self, tab: &Tab, selector: &str) {
        let place = self.value(
            tab,
            &format!(
                "(() => {{ const it = document.querySelector({selector:?}); it.scrollIntoView({{block: 'center', behavior: 'instant'}}); const r = it.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; }})()"
            ),
        );
        for kind in ["mousePressed", "mouseReleased"] {
            self.command(
                tab,
                "Input.dispatchMouseEvent",
                &json!({"type": kind, "x": place[0], "y": place[1], "button": "left", "clickCount": 1}),
            );
        }
    }

    /// Keeps a picture of the whole page where `INSEAM_SHOTS` names a folder, to be looked at.
    pub(crate) fn keep_picture(&mut self, tab: &Tab, name: &str) {
        let Ok(folder) = std::env::var("INSEAM_SHOTS") else {
            return;
        };
        // Nobody scrolls here: what comes late comes now.
        self.value(
            tab,
            "Promise.all([...document.images].map(it => { it.loading = 'eager'; return it.decode().catch(() => 0); })).then(() => 0)",
        );
        let picture = self.command(
            tab,
            "Page.captureScreenshot",
            &json!({"captureBeyondViewport": true}),
        );
        let text = std::path::Path::new(&folder).join(format!("{name}.base64"));
        std::fs::write(&text, picture["data"].as_str().expect("a picture")).expect("written");
        let decode = format!(
            "base64 -d '{0}' > '{1}' && rm '{0}'",
            text.display(),
            text.with_extension("png").display()
        );
        assert!(
            Command::new("sh")
                .args(["-c", &decode])
                .status()
                .expect("sh")
                .success()
        );
    }

    /// Everything that a console or the network complained about, or that went elsewhere.
    pub(crate) fn complaints(&mut self, own: &str) -> Vec<String> {
        let events: Vec<Value> = self.events.drain(..).collect();
        events
            .iter()
            .filter_map(|event| {
                let parameters = &event["params"];
                match event["method"].as_str()? {
                    "Runtime.exceptionThrown" => Some(parameters.to_string()),
                    "Runtime.consoleAPICalled" if parameters["type"] == "error" => {
                        Some(parameters.to_string())
                    }
                    // The page answers wrong input with 400 on purpose.
                    "Log.entryAdded" if parameters["entry"]["level"] == "error" => {
                        Some(parameters["entry"]["text"].to_string())
                            .filter(|text| !text.contains("status of 400"))
                    }
                    "Network.requestWillBeSent" => {
                        let address = parameters["request"]["url"].as_str()?;
                        let is_own = address.starts_with(own) || address == "about:blank";
                        (!is_own).then(|| format!("asked elsewhere: {address}"))
                    }
                    _ => None,
                }
            })
            .collect()
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
