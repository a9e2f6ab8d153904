//! A sheet's server as a child process, and a client of the few bytes of HTTP/1.1 that the tests need.

use crate::case::Case;
use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Stdio};
use std::time::Duration;

/// A running server; it is killed when it is dropped.
pub(super) struct Server {
    child: Child,
    pub(super) address: String,
}

/// An answer.
#[derive(Debug)]
pub(super) struct Answer {
    pub(super) status: u16,
    pub(super) head: String,
    pub(super) body: String,
}

impl Server {
    pub(super) fn start(case: &Case, more: &[&str]) -> Self {
        Self::run(case, &[&["-q"], more].concat(), Stdio::inherit())
    }

    /// One that logs all it ever logs into a file.
    pub(super) fn start_logging(case: &Case, log: std::fs::File) -> Self {
        Self::run(case, &["-v"], log.into())
    }

    fn run(case: &Case, more: &[&str], log: Stdio) -> Self {
        let args = [&["sheet", "--listen", "127.0.0.1:0"], more].concat();
        let mut child = case
            .command(&args)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(log)
            .spawn()
            .unwrap();
        let mut line = String::new();
        let mut out = BufReader::new(child.stdout.take().unwrap());
        out.read_line(&mut line).unwrap();
        let address = line
            .trim()
            .strip_prefix("The sheet is at http://")
            .unwrap_or_else(|| panic!("no address in `{line}`"))
            .trim_end_matches('/')
            .to_owned();
        Self { child, address }
    }

    /// Ends it as a power cut would.
    pub(super) fn kill(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }

    /// Asks it to stop, and gives its exit code.
    #[cfg(unix)]
    pub(super) fn stop(mut self) -> i32 {
        let id = self.child.id().to_string();
        let asked = std::process::Command::new("kill")
            .args(["-TERM", &id])
            .status();
        assert!(asked.unwrap().success());
        self.child.wait().unwrap().code().unwrap_or(-1)
    }

    /// Sends bytes as they are; none where the server is gone.
    pub(super) fn raw(&self, request: &[u8]) -> Option<Answer> {
        let mut stream = TcpStream::connect(&self.address).ok()?;
        stream
            .set_read_timeout(Some(Duration::from_secs(60)))
            .ok()?;
        // A server that refuses a body may close before it was sent.
        let _ = stream.write_all(request);
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes);
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let (head, body) = text.split_once("\r\n\r\n")?;
        let status = head.split(' ').nth(1)?.parse().ok()?;
        Some(Answer {
            status,
            head: head.to_lowercase(),
            body: body.to_owned(),
        })
    }

    /// A request with these header lines besides `Host`, `Connection` and the body's length.
    pub(super) fn ask(&self, method: &str, path: &str, headers: &[&str], body: &str) -> Answer {
        let host = headers
            .iter()
            .any(|line| line.to_lowercase().starts_with("host:"));
        let mut request = format!("{method} {path} HTTP/1.1\r\nConnection: close\r\n");
        if !host {
            request.push_str(&format!("Host: {}\r\n", self.address));
        }
        for line in headers {
            request.push_str(line);
            request.push_str("\r\n");
        }
        request.push_str(&format!("Content-Length: {}\r\n\r\n{body}", body.len()));
        self.raw(request.as_bytes()).expect("an answer")
    }

    pub(super) fn get(&self, path: &str) -> Answer {
        self.ask("GET", path, &[], "")
    }

    pub(super) fn post(&self, path: &str, body: &Value) -> Answer {
        let body = body.to_string();
        self.ask("POST", path, &["Content-Type: application/json"], &body)
    }

    /// Reserves a case.
    pub(super) fn begin(&self) -> String {
        let begun = self.post("/api/cases", &json!({})).is(201);
        begun["case"].as_str().unwrap().to_owned()
    }

    /// Writes a line on so many lines.
    pub(super) fn write(&self, case: &str, on: u64, line: &str) -> Answer {
        let body = json!({"on": on, "line": line});
        self.post(&format!("/api/cases/{case}/lines"), &body)
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Answer {
    /// Expects a status, and gives the body as JSON.
    pub(super) fn is(&self, status: u16) -> Value {
        assert_eq!(self.status, status, "{}\n{}", self.head, self.body);
        serde_json::from_str(&self.body).unwrap_or_else(|e| panic!("{e} in:\n{}", self.body))
    }
}
