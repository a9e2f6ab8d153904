//! What the sheet needs from whoever has the knowledge base, the ledger and the cases. The command line
//! hands in the real one, tests a short one.

use crate::view::call::{CallState, OpenCase};
use crate::view::evidence_table::ArticleTable;
use crate::view::show::Page;
use crate::view::written::Written;
use serde::Serialize;

/// The desk behind the sheet. All calls may take some milliseconds and are made off the event loop.
pub trait Desk: Send + Sync + 'static {
    /// Which knowledge base, with its devices.
    fn about(&self) -> About;
    /// A number that differs after every swap of articles or evidence.
    fn version(&self) -> u64;
    /// Cases in progress, the newest first.
    ///
    /// # Errors
    /// Where the cases cannot be read.
    fn pile(&self) -> Result<Vec<OpenCase>, Trouble>;
    /// Reserves a case; its id is safe once this returns.
    ///
    /// # Errors
    /// Where nothing can be written.
    fn begin(&self) -> Result<String, Trouble>;
    /// A case as it stands, open or closed.
    ///
    /// # Errors
    /// [`Trouble::Missing`], [`Trouble::Held`].
    fn look(&self, case: &str) -> Result<Sheet, Trouble>;
    /// Writes a line; it outlasts a crash once this returns.
    ///
    /// # Errors
    /// As [`Self::look`]; [`Trouble::Conflict`] where the case is not as `guard` says.
    fn write(&self, case: &str, guard: Guard, line: &str) -> Result<Sheet, Trouble>;
    /// Takes the last line back; of a closed case the lines that ended it.
    ///
    /// # Errors
    /// As [`Self::write`].
    fn undo(&self, case: &str, guard: Guard) -> Result<Sheet, Trouble>;
    /// Strikes a line through, or puts it back.
    ///
    /// # Errors
    /// As [`Self::write`].
    fn strike(&self, case: &str, guard: Guard, line: usize) -> Result<Sheet, Trouble>;
    /// The case as if a line were written; none for a fresh sheet. Nothing is kept.
    ///
    /// # Errors
    /// As [`Self::look`].
    fn peek(&self, case: Option<&str>, line: &str) -> Result<Sheet, Trouble>;
    /// Closed cases alike.
    ///
    /// # Errors
    /// As [`Self::look`].
    fn similar(&self, case: &str) -> Result<Vec<Alike>, Trouble>;
    /// The case as plain text.
    ///
    /// # Errors
    /// As [`Self::look`].
    fn summary(&self, case: &str) -> Result<String, Trouble>;
    /// Leaves a remark and gives its number.
    ///
    /// # Errors
    /// [`Trouble::Input`] where it is about nothing that there is.
    fn remark(&self, remark: &NewRemark) -> Result<u64, Trouble>;
    /// All articles by title.
    fn articles(&self) -> Vec<Title>;
    /// One article, by today's or an old id.
    ///
    /// # Errors
    /// [`Trouble::Missing`].
    fn article(&self, id: &str) -> Result<Reading, Trouble>;
    /// The file of an article, relative to the knowledge base.
    fn path_of(&self, article: &str) -> Option<String>;
    /// A picture that an article shows, by its path in the knowledge base.
    fn picture(&self, path: &str) -> Option<Vec<u8>>;
    /// Figures for the metrics.
    fn figures(&self) -> Figures;
    /// Calls `tell` after every change of the version or the pile.
    fn on_change(&self, tell: Box<dyn Fn() + Send + Sync>);
}

/// Why something was not done.
#[derive(Debug)]
pub enum Trouble {
    /// There is none of this name.
    Missing(String),
    /// Another process works on the case.
    Held(String),
    /// The case is not as the writer saw it; this is how it is.
    Conflict(Box<Sheet>),
    /// What was sent cannot be done; why.
    Input(String),
    /// Something is broken on this machine. The text is for the log alone: it may name local files.
    Broken(String),
}

/// What a writer saw.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Guard {
    /// How many lines the case had.
    pub on: usize,
    /// The desk's version, where the line names something by its place in a list.
    pub version: Option<u64>,
}

/// A case as a sheet shows it.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Sheet {
    /// The state.
    #[serde(flatten)]
    pub state: CallState,
    /// How many lines the case has, struck ones included: to be sent with the next one.
    pub on: usize,
    /// The desk's version.
    pub version: u64,
    /// Its lines.
    pub lines: Vec<Written>,
    /// The case as plain text, where it is about to be handed on.
    pub summary: Option<String>,
}

/// Which knowledge base, with what its devices show.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct About {
    /// Its name.
    pub name: String,
    /// The desk's version.
    pub version: u64,
    /// The day taken as today.
    pub as_of: String,
    /// The newest closing day that counts.
    pub evidence_to: Option<String>,
    /// Roles in order.
    pub roles: Vec<String>,
    /// Its devices.
    pub devices: Vec<Device>,
    /// What can be said in a line, with what it does.
    pub help: Vec<(String, String)>,
}

/// A device.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Device {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// Fault codes it shows.
    pub codes: Vec<String>,
    /// Its indicators.
    pub lamps: Vec<Lamp>,
}

/// An indicator.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Lamp {
    /// Its name.
    pub name: String,
    /// Its place on the drawing, across and down, where it has one.
    pub at: Option<[f64; 2]>,
    /// Its states.
    pub states: Vec<String>,
}

/// A closed case like the one in hand.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Alike {
    /// The ticket.
    pub id: String,
    /// When it was closed.
    pub closed: String,
    /// What was said, or the notes.
    pub said: String,
    /// The device.
    pub device: Option<String>,
    /// The article.
    pub article: Option<String>,
    /// What was tried.
    pub tries: Vec<Attempt>,
    /// How it ended: `resolved`, `handed-on`, `dropped`.
    pub outcome: Option<String>,
}

/// A try of a closed case.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Attempt {
    /// The fix in words.
    pub title: String,
    /// `resolved`, `no-change`, `not-possible`.
    pub result: String,
}

/// A remark to be left.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct NewRemark {
    /// The article it is about.
    pub article: Option<String>,
    /// The fix it is about, by full id.
    pub fix: Option<String>,
    /// The case it is left in.
    pub case: Option<String>,
    /// What is wrong.
    pub text: String,
}

/// An article in a list.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Title {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// Its area.
    pub area: String,
    /// Whether it stops the telephone.
    pub danger: bool,
}

/// An article to read.
#[derive(Clone, Debug)]
pub struct Reading {
    /// What every face shows.
    pub page: Page,
    /// The Markdown between the title and the first block.
    pub intro: String,
    /// The Markdown of its checks and fixes, by full id, with the file each was written in; only of
    /// those that may be shown.
    pub pieces: Vec<(String, String, String)>,
    /// What the tickets say of it, where it is served.
    pub evidence: Option<ArticleTable>,
}

/// Figures for the metrics.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Figures {
    /// Cases in progress that this server holds.
    pub open_cases: u64,
    /// Cases closed since the start.
    pub closed_cases: u64,
    /// Tickets that the answers rest on.
    pub tickets: u64,
    /// Articles that are served.
    pub articles: u64,
}
