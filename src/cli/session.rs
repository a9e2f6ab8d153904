//! What holds for one command line: where the knowledge base is, what "now" is, how to print.

use super::{
    Failure,
    args::{Color, Global},
};
use jiff::civil::Date;
use serde::Serialize;
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};

/// The global options, resolved.
#[derive(Debug)]
pub struct Session {
    /// The knowledge base's folder.
    pub kb: PathBuf,
    /// Where state is asked to go; none for the default.
    pub state: Option<PathBuf>,
    /// Answers as JSON.
    pub json: bool,
    /// The date asked for as "now".
    pub as_of: Option<Date>,
    /// No progress, no notices.
    pub quiet: bool,
    /// More notices.
    pub verbose: bool,
    /// Which of two knowledge bases this one is, where a command reads two: said in each warning.
    pub side: Option<&'static str>,
    color: Color,
}

impl Session {
    /// Resolves the global options.
    #[must_use]
    pub(super) fn new(global: &Global) -> Self {
        let session = Self {
            kb: global.kb.clone(),
            state: global.state.clone(),
            json: global.json,
            as_of: global.as_of,
            quiet: global.quiet,
            verbose: global.verbose,
            side: None,
            color: global.color,
        };
        session.choice().write_global();
        session
    }

    /// A session without a command line: for programs that measure and for tests. Quiet, "now" as
    /// the knowledge base says.
    #[must_use]
    pub fn quiet(kb: &Path, state: &Path) -> Self {
        Self {
            kb: kb.to_owned(),
            state: Some(state.to_owned()),
            json: false,
            as_of: None,
            quiet: true,
            verbose: false,
            side: None,
            color: Color::Never,
        }
    }

    /// The same without progress and notices, for work behind a server.
    #[must_use]
    pub(super) fn quietly(&self) -> Self {
        Self {
            kb: self.kb.clone(),
            state: self.state.clone(),
            json: false,
            as_of: self.as_of,
            quiet: true,
            verbose: false,
            side: None,
            color: Color::Never,
        }
    }

    fn choice(&self) -> anstream::ColorChoice {
        match self.color {
            Color::Auto => anstream::ColorChoice::Auto,
            Color::Always => anstream::ColorChoice::Always,
            Color::Never => anstream::ColorChoice::Never,
        }
    }

    /// Standard output; colours are taken out where they are not wanted.
    #[must_use]
    pub fn out(&self) -> anstream::AutoStream<std::io::Stdout> {
        anstream::AutoStream::new(std::io::stdout(), self.choice())
    }

    /// Prints a report on standard output: as JSON where that was asked for, else its text.
    ///
    /// # Errors
    /// Where standard output cannot be written.
    pub(super) fn print(
        &self,
        value: &(impl Serialize + ?Sized),
        text: impl FnOnce() -> String,
    ) -> Result<(), Failure> {
        if self.json {
            return self.print_json(value);
        }
        Ok(write!(self.out(), "{}", text())?)
    }

    /// Prints a value on standard output as JSON, indented.
    ///
    /// # Errors
    /// Where standard output cannot be written.
    pub(super) fn print_json(&self, value: &(impl Serialize + ?Sized)) -> Result<(), Failure> {
        let mut out = self.out();
        serde_json::to_writer_pretty(&mut out, value).map_err(std::io::Error::from)?;
        Ok(writeln!(out)?)
    }

    /// The day reviews and ages are measured from: `--as-of`, else the real date.
    #[must_use]
    pub fn today(&self) -> Date {
        self.as_of
            .unwrap_or_else(|| jiff::ZonedDateTime::now().date())
    }

    /// Whether progress may be drawn on standard error.
    #[must_use]
    pub fn shows_progress(&self) -> bool {
        !self.quiet && std::io::stderr().is_terminal()
    }

    /// One line of notice on standard error, unless quiet.
    pub fn notice(&self, line: &str) {
        if !self.quiet {
            anstream::eprintln!("{line}");
        }
    }

    /// One line of warning on standard error, quiet or not: something is not as safe as it should be.
    pub fn warning(&self, line: &str) {
        match self.side {
            Some(side) => anstream::eprintln!("{side}: {line}"),
            None => anstream::eprintln!("{line}"),
        }
    }

    /// Prints what stopped a command.
    pub(super) fn show_failure(&self, failure: &Failure) {
        let (bold, reset) = (anstyle::Style::new().bold(), anstyle::Reset);
        anstream::eprintln!("{bold}error:{reset} {}", failure.message);
        for cause in &failure.causes {
            anstream::eprintln!("  because: {cause}");
        }
        for hint in &failure.hints {
            anstream::eprintln!("  try: {hint}");
        }
    }

    /// A path shown short: relative to the working folder where it lies below.
    #[must_use]
    pub fn short<'a>(&self, path: &'a Path) -> &'a Path {
        std::env::current_dir()
            .ok()
            .and_then(|cwd| path.strip_prefix(cwd).ok())
            .unwrap_or(path)
    }

    /// Says on standard error that something lasting begins.
    #[must_use]
    pub fn step(&self, what: &str) -> Step {
        if self.quiet {
            return Step {
                bar: indicatif::ProgressBar::hidden(),
            };
        }
        if !self.shows_progress() {
            self.notice(&format!("{what} …"));
            return Step {
                bar: indicatif::ProgressBar::hidden(),
            };
        }
        let bar = indicatif::ProgressBar::new_spinner().with_message(format!("{what} …"));
        bar.enable_steady_tick(std::time::Duration::from_millis(100));
        Step { bar }
    }
}

impl Session {
    /// Says on standard error that something of so many parts begins.
    #[must_use]
    pub fn steps(&self, what: &str, parts: u64) -> Step {
        let step = self.step(what);
        if self.shows_progress() {
            step.bar.set_length(parts);
            if let Ok(style) =
                indicatif::ProgressStyle::with_template("{msg} {wide_bar} {pos}/{len}")
            {
                step.bar.set_style(style);
            }
        }
        step
    }
}

/// Something lasting that goes on; its line vanishes from a terminal when it is done.
#[derive(Debug)]
pub struct Step {
    bar: indicatif::ProgressBar,
}

impl Step {
    /// One part is done.
    pub fn advance(&self) {
        self.bar.inc(1);
    }

    /// It is done.
    pub fn finish(self) {
        self.bar.finish_and_clear();
    }
}
