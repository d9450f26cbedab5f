//! The page as a user starts it: the program itself on a free port, and a client that speaks plain HTTP.

#![allow(dead_code, reason = "each test file uses some of it")]

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::{SocketAddr, TcpStream};
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::Duration;

/// A running `inseam serve`, ended when it goes out of scope.
pub(crate) struct Served {
    pub(crate) address: SocketAddr,
    pub(crate) link: String,
    pub(crate) child: Child,
    _out: BufReader<ChildStdout>,
}

pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) head: String,
    pub(crate) body: String,
}

impl Served {
    pub(crate) fn start(arguments: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_inseam"))
            .args(["serve", "--port", "0"])
            .args(arguments)
            .stdout(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let mut out = BufReader::new(child.stdout.take().expect("a pipe"));
        let mut line = String::new();
        out.read_line(&mut line).expect("a line");
        let link = line
            .split_whitespace()
            .find(|word| word.starts_with("http://"))
            .unwrap_or_else(|| panic!("no link in {line:?}"))
            .to_owned();
        let address = link["http://".len()..]
            .split('/')
            .next()
            .and_then(|address| address.parse().ok())
            .expect("an address");
        Self {
            address,
            link,
            child,
            _out: out,
        }
    }

    /// Resident memory, MB.
    pub(crate) fn memory_mb(&self) -> f64 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id()))
            .expect("the process is there");
        let line = status.lines().find(|line| line.starts_with("VmRSS:"));
        let kib: f64 = line
            .and_then(|line| line.split_whitespace().nth(1)?.parse().ok())
            .expect("a size");
        kib / 1024.0
    }

    pub(crate) fn get(&self, path: &str) -> Answer {
        self.ask("GET", path, &[], "")
    }

    pub(crate) fn post(&self, path: &str, body: &str) -> Answer {
        let kind = "Content-Type: application/x-www-form-urlencoded".to_owned();
        self.ask("POST", path, &[kind], body)
    }

    /// One request with its own headers; a `Host` among them takes the place of the right one.
    pub(crate) fn ask(&self, method: &str, path: &str, headers: &[String], body: &str) -> Answer {
        let mut lines = vec![
            format!("{method} {path} HTTP/1.1"),
            "Connection: close".to_owned(),
        ];
        if !headers.iter().any(|header| header.starts_with("Host:")) {
            lines.push(format!("Host: {}", self.address));
        }
        lines.extend_from_slice(headers);
        if !body.is_empty() {
            lines.push(format!("Content-Length: {}", body.len()));
        }
        let request = format!("{}\r\n\r\n{body}", lines.join("\r\n"));
        self.raw(request.as_bytes())
    }

    /// Whatever bytes; the answer as far as it comes.
    pub(crate) fn raw(&self, request: &[u8]) -> Answer {
        let mut stream = TcpStream::connect(self.address).expect("it listens");
        stream
            .set_read_timeout(Some(Duration::from_secs(60)))
            .expect("a limit");
        // A server may hang up on an oversized request before it is sent.
        let _ = stream.write_all(request);
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes);
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
        Answer {
            status: head
                .split_whitespace()
                .nth(1)
                .and_then(|code| code.parse().ok())
                .unwrap_or(0),
            head: head.to_lowercase(),
            body: body.to_owned(),
        }
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Answer {
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        self.head
            .lines()
            .find_map(|line| line.strip_prefix(name)?.strip_prefix(": "))
    }

    pub(crate) fn json(&self) -> serde_json::Value {
        assert_eq!(self.status, 200, "{}", self.body);
        serde_json::from_str(&self.body).expect("JSON")
    }
}
