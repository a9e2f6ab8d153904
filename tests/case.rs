//! A builder for end-to-end tests: own folder, cleared environment, fixed width, paths replaced.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::LazyLock;
use std::time::Duration;

/// How the folder of the shared demo begins.
const SHARED_DEMO: &str = "demo-";

/// A knowledge base in a folder of its own, and commands run on it.
pub(crate) struct Case {
    folder: tempfile::TempDir,
}

/// What a command printed and how it ended, with the folder's path replaced by `<case>`.
#[derive(Debug)]
pub(crate) struct Ran {
    pub(crate) stdout: String,
    pub(crate) stderr: String,
    pub(crate) code: i32,
}

impl Case {
    /// An empty folder.
    pub(crate) fn new() -> Self {
        Self {
            folder: tempfile::tempdir().unwrap(),
        }
    }

    /// A copy of the demo knowledge base in `kb/`, without its state.
    pub(crate) fn demo() -> Self {
        let case = Self::new();
        copy_demo(&case.path("kb"));
        case
    }

    /// The demo, opened once for all tests that change nothing in it: learning from its tickets
    /// takes seconds. It lies in the target folder, and the next run an hour later removes it.
    pub(crate) fn shared_demo() -> &'static Self {
        static SHARED: LazyLock<Case> = LazyLock::new(|| {
            let target = Path::new(env!("CARGO_TARGET_TMPDIR"));
            remove_old(target);
            let folder = tempfile::Builder::new()
                .prefix(SHARED_DEMO)
                .tempdir_in(target)
                .unwrap();
            let case = Case { folder };
            copy_demo(&case.path("kb"));
            case.run(&["ask", "warm"]);
            case
        });
        &SHARED
    }

    /// A copy of the demo of one's own, with the state that opening it made.
    pub(crate) fn warm_demo() -> Self {
        let case = Self::new();
        copy(&Self::shared_demo().path("kb"), &case.path("kb"));
        case
    }

    /// The demo with the tickets of its last quarter and a month alone, for tests that let everything be
    /// made again many times; and how many tickets these are.
    pub(crate) fn short_demo() -> (Self, usize) {
        let case = Self::demo();
        let mut tickets = 0;
        for entry in std::fs::read_dir(case.path("kb/tickets")).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_str().unwrap();
            if ["2026-q3.jsonl", "2026-q4.jsonl"].contains(&name) {
                tickets += std::fs::read_to_string(&path).unwrap().lines().count();
            } else {
                std::fs::remove_file(&path).unwrap();
            }
        }
        (case, tickets)
    }

    /// A path in the folder.
    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Writes a file, with the folders above it.
    pub(crate) fn file(self, name: &str, content: impl AsRef<[u8]>) -> Self {
        self.write(name, content);
        self
    }

    /// Writes a file later in a test.
    pub(crate) fn write(&self, name: &str, content: impl AsRef<[u8]>) {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, content).unwrap();
    }

    /// Runs `fixtally` with these arguments in the folder.
    pub(crate) fn run(&self, args: &[&str]) -> Ran {
        self.run_with_input(args, "")
    }

    /// Runs `fixtally` with a standard input.
    pub(crate) fn run_with_input(&self, args: &[&str], input: &str) -> Ran {
        use std::io::Write as _;
        let mut child = self
            .command(args)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // A command that reads no input may close it first; that is no failure of the test.
        let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
        let output = child.wait_with_output().unwrap();
        let clean = |bytes: &[u8]| {
            let text = String::from_utf8_lossy(bytes)
                .replace(self.folder.path().to_str().unwrap(), "<case>");
            // Elsewhere a backslash is no part of a path but of JSON.
            if cfg!(windows) {
                text.replace('\\', "/")
            } else {
                text
            }
        };
        Ran {
            stdout: clean(&output.stdout),
            stderr: clean(&output.stderr),
            code: output.status.code().unwrap_or(-1),
        }
    }

    /// The command before it runs, for tests that need the process itself.
    pub(crate) fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_fixtally"));
        command
            .args(args)
            .current_dir(self.folder.path())
            .env_clear()
            .env("PATH", std::env::var_os("PATH").unwrap_or_default())
            .env("HOME", self.folder.path())
            .env("COLUMNS", "80");
        command
    }
}

fn copy_demo(into: &Path) {
    copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("kb"), into);
    // There is one where somebody tried the demo in the clone.
    let _ = std::fs::remove_dir_all(into.join(".state"));
}

/// Removes what earlier runs shared.
fn remove_old(target: &Path) {
    for entry in std::fs::read_dir(target).into_iter().flatten().flatten() {
        let shared = entry.file_name().to_string_lossy().starts_with(SHARED_DEMO);
        let made = entry.metadata().and_then(|about| about.modified());
        let age = made.ok().and_then(|time| time.elapsed().ok());
        if shared && age > Some(Duration::from_secs(3600)) {
            let _ = std::fs::remove_dir_all(entry.path());
        }
    }
}

fn copy(from: &Path, into: &Path) {
    for entry in walkdir::WalkDir::new(from) {
        let entry = entry.unwrap();
        let to = into.join(entry.path().strip_prefix(from).unwrap());
        if entry.file_type().is_dir() {
            std::fs::create_dir_all(to).unwrap();
        } else {
            std::fs::copy(entry.path(), to).unwrap();
        }
    }
}

impl Ran {
    /// Expects exit code 0.
    pub(crate) fn ok(self) -> Self {
        self.exits(0)
    }

    /// Expects an exit code.
    pub(crate) fn exits(self, code: i32) -> Self {
        assert_eq!(
            self.code, code,
            "stdout:\n{}\nstderr:\n{}",
            self.stdout, self.stderr
        );
        self
    }

    /// Expects these words on standard output.
    pub(crate) fn says(self, words: &str) -> Self {
        assert!(
            self.stdout.contains(words),
            "no `{words}` in:\n{}\nstderr:\n{}",
            self.stdout,
            self.stderr
        );
        self
    }

    /// Expects these words on standard error.
    pub(crate) fn complains(self, words: &str) -> Self {
        assert!(
            self.stderr.contains(words),
            "no `{words}` in:\n{}",
            self.stderr
        );
        self
    }

    /// Standard output as JSON.
    pub(crate) fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.stdout).unwrap_or_else(|e| panic!("{e} in:\n{}", self.stdout))
    }
}
