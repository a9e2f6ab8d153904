//! A state of a call on a terminal: 80 columns, line under line, nothing redrawn and nothing said
//! by colour or place alone, so that it reads the same over a slow line, in a pipe and aloud.

mod lines;

use super::answer::{Answer, ArticleLine, Basis, FixLine, Stop};
use super::call::{Asking, CallState, Closing, OpenCase, Showing, proof};
use super::markdown;
use super::percent;
use super::table::cut;
use crate::base::escape::terminal_line;
use crate::call::hand_over::{HandOver, spoken};
use anstyle::Style;
use lines::{Out, WIDTH, ago};
use std::fmt::Write as _;
use unicode_width::UnicodeWidthStr as _;

/// An article this likely is shown alone.
const SURE: f64 = 0.7;

/// From this chance on it is said that no article may cover the case.
const UNLISTED_FROM: f64 = 0.1;

const BOLD: Style = Style::new().bold();
const ALARM: Style = Style::new().bold().invert();

/// The line under everything that tells somebody to do something.
const FOOTER: &str = "Local codes and licensed practice prevail.";

/// A state as lines; ends with a line feed.
#[must_use]
pub fn text(state: &CallState) -> String {
    let mut out = Out(String::new());
    out.offers(&state.open);
    if let Some(why) = &state.unclear {
        out.wrapped("Not clear: ", why);
        return out.0;
    }
    for (say, what) in &state.help {
        out.wrapped(&format!("  {say:<26}"), what);
    }
    if !state.help.is_empty() {
        return out.0;
    }
    out.listed("Heard: ", &state.heard);
    out.listed("But: ", &state.unknown);
    if let Some(number) = state.remark {
        out.line(&format!(
            "Remark {number} is left; `fixtally remarks` lists it."
        ));
    }
    if !state.earlier.is_empty() {
        let known: Vec<String> = state
            .earlier
            .iter()
            .map(|e| format!("{} \"{}\"", e.id, e.title))
            .collect();
        out.listed("This site rang before: ", &known);
    }
    if state.brief {
        return out.0;
    }
    if let Some(closed) = &state.closed {
        out.closed(closed);
        return out.0;
    }
    let danger = state.answer.as_ref().filter(|a| !a.danger.is_empty());
    let handing_on = state.closing.is_some();
    if let Some(hand_over) = state.hand_over.as_ref().filter(|_| handing_on) {
        out.hand_over(hand_over, state.answer.as_ref());
    }
    if let Some(closing) = &state.closing {
        out.closing(closing);
        return out.0;
    }
    if let Some(answer) = danger {
        out.dangers(&answer.danger);
        return out.0;
    }
    if let Some(showing) = &state.showing {
        out.ask_first(state.answer.as_ref());
        out.showing(showing);
        return out.0;
    }
    out.listed("Changed: ", &state.changed);
    if let Some(answer) = &state.answer {
        out.answer(answer);
        if let Some(check) = &state.asking {
            out.asking(check);
        }
        out.stop(answer);
    }
    out.0
}

impl Out {
    fn offers(&mut self, open: &[OpenCase]) {
        if open.is_empty() {
            return;
        }
        self.line("Left open:");
        for (at, case) in open.iter().enumerate() {
            let text = format!("{}, {}: {}", case.id, ago(case.minutes_ago), case.said);
            self.line(&format!(
                "{:>3}. {}",
                at + 1,
                cut(&terminal_line(&text), WIDTH - 5)
            ));
        }
        let example = if open.len() == 1 {
            "`go on`"
        } else {
            "`go on 1`"
        };
        self.line(&format!(
            "Say {example} to take it up again, or begin with what the caller says."
        ));
    }

    /// Dangers to make sure of, whatever else is shown.
    fn ask_first(&mut self, answer: Option<&Answer>) {
        let asked = answer.map_or(&[][..], |answer| &answer.ask_first);
        for (at, one) in asked.iter().enumerate() {
            let number = if asked.len() > 1 {
                format!(" {}", at + 1)
            } else {
                String::new()
            };
            self.line(&format!(
                "{ALARM} ASK FIRST{number} {ALARM:#} {BOLD}{}{BOLD:#}",
                terminal_line(&one.title)
            ));
            let text = format!(
                "\"{}\" was said, perhaps not as a fact. Is it so? Make sure, then say `yes{number}` or \
                 `no danger{number}`.",
                one.why
            );
            self.wrapped("  ", &text);
        }
    }

    fn answer(&mut self, answer: &Answer) {
        self.ask_first(Some(answer));
        if let Some(ask) = answer.hardly_known {
            self.wrapped("", ask);
        }
        for article in listed_articles(answer) {
            let chance = if article.basis == Basis::Author {
                String::new()
            } else {
                format!("{} ", percent::chance(article.chance))
            };
            let title = cut(&terminal_line(&article.title), WIDTH - 12);
            self.line(&format!("{chance}{BOLD}{title}{BOLD:#}"));
        }
        // Beside no fix at all the figure would leave open what the rest is.
        if answer.unlisted >= UNLISTED_FROM && !answer.fixes.is_empty() {
            self.line(&format!(
                "{} no article covers it",
                percent::chance(answer.unlisted)
            ));
        }
        if answer.fixes.is_empty() {
            self.line("No fix is known for this. Say more, or hand on.");
        }
        for fix in &answer.fixes {
            self.fix(fix);
        }
    }

    fn fix(&mut self, fix: &FixLine) {
        let chance = match fix.basis {
            Basis::Tickets => percent::chance(fix.chance),
            Basis::Author => "-".to_owned(),
        };
        let minutes = format!("{:.0} min", fix.minutes);
        let title = cut(&terminal_line(&fix.title), WIDTH - 22);
        let gap = (WIDTH - 20).saturating_sub(title.width());
        self.line(&format!(
            "{:>2}. {BOLD}{title}{BOLD:#}{:gap$}{chance:>6} {minutes:>9}",
            fix.rank, ""
        ));
        let mut words = vec![proof(fix), fix.who.clone()];
        if !fix.hazards.is_empty() {
            words.push(format!("HAZARD {}", fix.hazards.join(", ")));
        }
        if !fix.allowed {
            words.push("not in this call".to_owned());
        }
        if !fix.after.is_empty() {
            let short = |id: &String| id.rsplit('#').next().unwrap_or(id).to_owned();
            let after: Vec<String> = fix.after.iter().map(short).collect();
            words.push(format!("first {}", after.join(", ")));
        }
        self.line(&format!(
            "    {}",
            cut(&terminal_line(&words.join("; ")), WIDTH - 4)
        ));
    }

    fn asking(&mut self, asking: &Asking) {
        let check = &asking.check;
        for caution in &check.cautions {
            self.wrapped("CAUTION: ", caution);
        }
        self.wrapped("ASK: ", &check.question);
        let answers: Vec<String> = check.answers.iter().map(|a| spoken(a)).collect();
        let saves = if check.saves_minutes >= 0.5 {
            format!("; saves {:.0} min", check.saves_minutes)
        } else {
            String::new()
        };
        let minutes = format!("({:.0} min, {}{saves})", check.minutes, check.who);
        self.wrapped("     ", &format!("{} {minutes}", answers.join(" / ")));
        for line in markdown::lines(&markdown::blocks(&asking.how), WIDTH - 5) {
            self.line(format!("     {line}").trim_end());
        }
    }

    fn stop(&mut self, answer: &Answer) {
        if let Some(stop) = answer.stop.as_ref().filter(|_| !answer.fixes.is_empty()) {
            let best: f64 = answer
                .fixes
                .iter()
                .filter(|f| f.allowed)
                .map(|f| f.chance)
                .sum();
            let why = if stop.after == 0 {
                format!(
                    "{} Together the fixes above end {} of such cases. `hand on` sums the case up.",
                    stop.why,
                    percent::chance(best)
                )
            } else {
                stop.why.clone()
            };
            self.wrapped("Hand on: ", &why);
        }
    }

    fn showing(&mut self, fix: &Showing) {
        let title = terminal_line(&fix.title);
        self.wrapped("FIX: ", &title);
        if let Some(because) = &fix.because {
            self.wrapped("     ", because);
        }
        for caution in &fix.cautions {
            self.wrapped("CAUTION: ", caution);
        }
        self.line(&format!("Who: {}. About {:.0} min.", fix.who, fix.minutes));
        self.numbered(&fix.steps);
        if let Some(text) = &fix.text {
            for line in markdown::lines(&markdown::blocks(text), WIDTH) {
                self.line(&line);
            }
        }
        if let Some(done) = &fix.done_when {
            self.wrapped("Done when: ", done);
        }
        self.line("Then say: fixed, no change, or could not.");
        self.line(FOOTER);
    }

    fn dangers(&mut self, dangers: &[Stop]) {
        for (at, danger) in dangers.iter().enumerate() {
            let number = if dangers.len() > 1 {
                format!(" {}", at + 1)
            } else {
                String::new()
            };
            self.line(&format!(
                "{ALARM} STOP - DANGER{number} {ALARM:#} {BOLD}{}{BOLD:#}",
                terminal_line(&danger.title)
            ));
            self.wrapped("  ", &danger.why);
            self.line("Do now:");
            self.numbered(&danger.do_now);
        }
        let how = if dangers.len() > 1 {
            "`no danger 1`, `no danger 2`"
        } else {
            "`no danger`"
        };
        self.wrapped("", &format!("Nothing else is offered. Where somebody on site says that it does not apply: {how}."));
        self.line(FOOTER);
    }

    fn closing(&mut self, closing: &Closing) {
        self.wrapped("CLOSING: ", &closing.question);
        for (at, choice) in closing.choices.iter().enumerate() {
            self.line(&format!(
                "{:>2}. {}",
                at + 1,
                cut(&terminal_line(&choice.title), WIDTH - 4)
            ));
        }
    }

    fn closed(&mut self, closed: &super::call::Closed) {
        let article = match &closed.article {
            Some(id) => format!(", under {id}"),
            None => String::new(),
        };
        let follows = closed
            .follows
            .as_ref()
            .map_or_else(String::new, |id| format!(", continuing {id}"));
        self.wrapped(
            "CLOSED ",
            &format!("{}: {}{article}{follows}.", closed.ticket, closed.ending),
        );
        if let Some(taken_out) = &closed.taken_out {
            self.wrapped("", &format!("Taken out: {taken_out}."));
        }
        self.line("It is in the ledger. `undo` opens it again; anything else begins a new case.");
    }

    fn hand_over(&mut self, case: &HandOver, answer: Option<&Answer>) {
        self.line("HAND-OVER");
        if let Some(answer) = answer {
            for stop in &answer.danger {
                self.wrapped("DANGER: ", &format!("{}, {}", stop.title, stop.why));
                self.numbered(&stop.do_now);
            }
            for asked in &answer.ask_first {
                let text = format!("{}, not made sure of (said: {})", asked.title, asked.why);
                self.wrapped("DANGER: ", &text);
            }
        }
        self.wrapped("Said: ", &case.said.join(" / "));
        self.listed("Shown: ", &case.shown);
        self.listed("Seen: ", &case.seen);
        let none = vec!["nothing".to_owned()];
        self.listed(
            "Tried: ",
            if case.tried.is_empty() {
                &none
            } else {
                &case.tried
            },
        );
        self.listed("Not a danger, as somebody on site said: ", &case.not_danger);
        if !case.likely.is_empty() {
            self.line("Still likely:");
        }
        for fix in &case.likely {
            let mut line = String::new();
            if !fix.only_author {
                let _ = write!(line, "{}, ", percent::chance(fix.chance));
            }
            let _ = write!(line, "{}, {}", fix.title, fix.who);
            if !fix.hazards.is_empty() {
                let _ = write!(line, ", HAZARD {}", fix.hazards.join(", "));
            }
            if !fix.after.is_empty() {
                let _ = write!(line, ", first: {}", fix.after.join(", "));
            }
            self.wrapped("  - ", &line);
        }
        self.listed("Bring: ", &case.bring);
        if let Some(who) = &case.who {
            self.line(&format!("Who may do all of it: {who}."));
        }
        for caution in &case.cautions {
            self.wrapped("CAUTION: ", caution);
        }
        self.listed("Notes: ", &case.notes);
        self.line(FOOTER);
    }
}

/// One article where it is likely, else all that are listed.
fn listed_articles(answer: &Answer) -> &[ArticleLine] {
    let sure = answer.articles.first().is_some_and(|a| a.chance >= SURE);
    let shown = if sure { 1 } else { answer.articles.len() };
    &answer.articles[..shown.min(answer.articles.len())]
}
