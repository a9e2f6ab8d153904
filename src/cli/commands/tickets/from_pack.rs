//! `fixtally tickets add --from-pack`: what was done on site, without a network.

use super::add::Work;
use super::{Failure, Session};
use crate::base::ids::{FixId, TicketId};
use crate::cli::ledger;
use crate::pack::returned::{self, Line};
use crate::tickets::Remark;
use crate::tickets::store::Remarks;
use serde_json::json;
use std::io::Write;
use std::path::Path;

/// Takes in what a pack saved. Taking the same in again changes nothing.
pub(super) fn take(
    work: &mut Work<'_>,
    file: &Path,
    lines: impl Iterator<Item = std::io::Result<String>>,
) -> Result<(), Failure> {
    let unreadable = |e: std::io::Error| Failure::file("read", file, &e);
    let mut first = true;
    for (at, line) in lines.enumerate() {
        let line = line.map_err(unreadable)?;
        if line.trim().is_empty() {
            continue;
        }
        match returned::read(&line, first) {
            Ok(Line::Pack) => {}
            Ok(Line::Ticket(ticket)) => work.line(file, at + 1, &ticket)?,
            Ok(Line::Remark(remark)) => add_remark(work, &remark)?,
            Err(why) if first => {
                return Err(Failure::new(format!("`{}`: {why}", file.display()))
                    .hint("save it with \"Save as a file\" in the pack"));
            }
            Err(why) => work.refuse(at + 1, &why),
        }
        first = false;
    }
    Ok(())
}

fn add_remark(work: &mut Work<'_>, raw: &returned::Remark) -> Result<(), Failure> {
    let about = if raw.on.contains('#') {
        let fix = FixId::new(&raw.on);
        (Some(fix.article()), Some(fix))
    } else {
        (Some(raw.on.as_str().into()), None)
    };
    let case = raw.case.as_deref().map(TicketId::new);
    let remark = Remark::new(raw.at, about, case, &raw.text, &work.scrubber);
    // The ledger keeps whole seconds.
    let same = |known: &Remark| {
        known.at.as_second() == remark.at.as_second()
            && known.text() == remark.text()
            && known.fix == remark.fix
            && known.article == remark.article
    };
    let known = work.store.remarks().map_err(ledger::failure)?;
    let number = match known.iter().find(|known| same(known)) {
        Some(known) => known.number,
        None => work.store.remark(&remark).map_err(ledger::failure)?,
    };
    told(work.session, number)
}

fn told(session: &Session, number: u64) -> Result<(), Failure> {
    let mut out = session.out();
    if session.json {
        writeln!(out, "{}", json!({ "remark": number }))?;
    } else {
        writeln!(out, "remark {number}")?;
    }
    Ok(())
}
