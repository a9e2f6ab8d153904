//! Readings in the state folder: what was read from tickets' words, once for each distinct text.
//!
//! `readings` holds them under the digest of all that a reading rests on, sorted, with the key of
//! the reader that made them; the same tickets and articles give the same bytes. While a run reads,
//! each finished chunk is added to `readings.part`, so a run that was killed goes on where it
//! stopped; a torn end is cut off. Answering uses what is there and never waits.

use super::derived::{self, Unused};
use crate::base::ids::{ArticleId, FixId};
use crate::notes::{ReadTry, Reading};
use crate::tickets::care::was_read;
use crate::tickets::{RawTicket, Ticket, TryResult};
use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::fs::{File, OpenOptions};
use std::io::{self, Read as _, Write as _};
use std::path::{Path, PathBuf};

/// The finished file.
pub(crate) const FILE: &str = "readings";
/// The file of a run that is not finished.
const PART: &str = "readings.part";
/// Chances are kept to a ten-thousandth.
const SCALE: f64 = 10_000.0;
/// Bytes of the checksum behind each chunk of the unfinished file.
const SUM: usize = 8;

/// The digest of all that the reading of one ticket rests on.
type Digest = [u8; 16];

/// One reading; articles and fixes by their place among the names.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
struct Entry {
    digest: Digest,
    article: Option<(u32, u16)>,
    tries: Vec<(u32, TryResult, u16)>,
}

/// All readings that are kept.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub(crate) struct Kept {
    /// Ids of articles and fixes, sorted.
    names: Vec<String>,
    /// Sorted by digest.
    entries: Vec<Entry>,
}

impl Kept {
    /// What is kept, whatever made it. A damaged file is as none.
    pub(crate) fn open(state: &Path) -> Self {
        derived::read_any(&state.join(FILE)).map_or_else(|_| Self::default(), |(_, kept)| kept)
    }

    /// The reading of a ticket; none where it was never read. Of a forgotten text, what was read before.
    pub(crate) fn of(&self, ticket: &RawTicket) -> Option<Reading> {
        if let Some(remembered) = Reading::remembered(ticket) {
            return Some(remembered);
        }
        let digest = digest(ticket);
        let at = self
            .entries
            .binary_search_by(|entry| entry.digest.cmp(&digest))
            .ok()?;
        let entry = &self.entries[at];
        let name = |of: u32| self.names.get(of as usize).map_or("", String::as_str);
        let chance = |of: u16| f64::from(of) / SCALE;
        Some(Reading {
            article: entry
                .article
                .map(|(article, of)| (ArticleId::new(name(article)), chance(of))),
            tries: entry
                .tries
                .iter()
                .map(|(fix, result, of)| ReadTry {
                    fix: FixId::new(name(*fix)),
                    result: *result,
                    chance: chance(*of),
                })
                .collect(),
        })
    }

    /// Whether a ticket was ever read.
    pub(super) fn knows(&self, ticket: &RawTicket) -> bool {
        was_read(ticket).is_some() || {
            let digest = digest(ticket);
            let found = self.entries.binary_search_by(|e| e.digest.cmp(&digest));
            found.is_ok()
        }
    }
}

/// The key under which readings are kept: the reader that made them, and for which ledger.
pub(super) fn key(state: &Path) -> Result<String, Unused> {
    derived::read_any::<Kept>(&state.join(FILE)).map(|(key, _)| key)
}

/// Changes with what is kept; empty where nothing is.
pub(super) fn mark(state: &Path) -> String {
    derived::mark(&state.join(FILE)).unwrap_or_default()
}

/// What a reading rests on: everything that is looked at, and nothing else.
fn digest(ticket: &RawTicket) -> Digest {
    let rests_on = (
        &ticket.said,
        &ticket.notes,
        (&ticket.codes, &ticket.signs),
        (&ticket.device, &ticket.firmware),
        (&ticket.article, ticket.outcome, ticket.tries.is_empty()),
    );
    // Plain values; writing them to memory cannot fail.
    let bytes = serde_json::to_vec(&rests_on).unwrap_or_default();
    let mut digest = Digest::default();
    digest.copy_from_slice(&Sha256::digest(bytes)[..16]);
    digest
}

/// A run that reads: what is read already, and where the rest goes.
pub(super) struct Run {
    state: PathBuf,
    part: File,
    names: Vec<String>,
    numbers: HashMap<String, u32>,
    entries: BTreeMap<Digest, Entry>,
    wanted: HashSet<Digest>,
}

impl Run {
    /// Goes on where a run of the same reader stopped, else begins; readings that this reader made
    /// and finished are taken over.
    ///
    /// # Errors
    /// Where the state folder cannot be written.
    pub(super) fn open(state: &Path, reader: &str) -> io::Result<Self> {
        let path = state.join(PART);
        let mut run = Self {
            state: state.to_owned(),
            part: OpenOptions::new()
                .read(true)
                .write(true)
                .create(true)
                .truncate(false)
                .open(&path)?,
            names: Vec::new(),
            numbers: HashMap::new(),
            entries: BTreeMap::new(),
            wanted: HashSet::new(),
        };
        let finished = derived::read_any::<Kept>(&state.join(FILE));
        if let Ok((key, kept)) = finished
            && key.starts_with(&format!("{reader} "))
        {
            run.take(&kept.names, kept.entries);
        }
        run.resume(reader)?;
        Ok(run)
    }

    /// Reads the unfinished file as far as it is whole, and cuts off the rest.
    fn resume(&mut self, reader: &str) -> io::Result<()> {
        let mut bytes = Vec::new();
        self.part.read_to_end(&mut bytes)?;
        let head = chunk(reader.as_bytes());
        let mut whole = 0;
        if bytes.starts_with(&head) {
            whole = head.len();
            while let Some((content, length)) = next(&bytes[whole..]) {
                let Ok((names, entries)) =
                    postcard::from_bytes::<(Vec<String>, Vec<Entry>)>(content)
                else {
                    break;
                };
                self.take(&names, entries);
                whole += length;
            }
        }
        self.part.set_len(whole as u64)?;
        io::Seek::seek(&mut self.part, io::SeekFrom::End(0))?;
        if whole == 0 {
            self.part.write_all(&head)?;
        }
        Ok(())
    }

    fn number(&mut self, name: &str) -> u32 {
        if let Some(number) = self.numbers.get(name) {
            return *number;
        }
        // Articles and fixes are far fewer than 2³².
        let number = u32::try_from(self.names.len()).unwrap_or(u32::MAX);
        self.names.push(name.to_owned());
        self.numbers.insert(name.to_owned(), number);
        number
    }

    fn take(&mut self, names: &[String], entries: Vec<Entry>) {
        let numbers: Vec<u32> = names.iter().map(|name| self.number(name)).collect();
        let number = |of: u32| numbers.get(of as usize).copied().unwrap_or(0);
        for mut entry in entries {
            if let Some((article, _)) = &mut entry.article {
                *article = number(*article);
            }
            for (fix, ..) in &mut entry.tries {
                *fix = number(*fix);
            }
            self.entries.insert(entry.digest, entry);
        }
    }

    /// Of these tickets one for each text that was not read yet, in their order.
    pub(super) fn unread<'t>(&self, tickets: impl Iterator<Item = &'t Ticket>) -> Vec<&'t Ticket> {
        let mut seen = BTreeSet::new();
        tickets
            .filter(|ticket| was_read(ticket).is_none())
            .filter(|ticket| {
                let digest = digest(ticket);
                !self.entries.contains_key(&digest) && seen.insert(digest)
            })
            .collect()
    }

    /// The readings of these tickets stay when the run ends.
    pub(super) fn want<'t>(&mut self, tickets: impl Iterator<Item = &'t Ticket>) {
        self.wanted.extend(tickets.map(|ticket| digest(ticket)));
    }

    /// Keeps what was read of these tickets.
    ///
    /// # Errors
    /// Where the state folder cannot be written.
    pub(super) fn add(&mut self, read: Vec<(&Ticket, Reading)>) -> io::Result<()> {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to 0..=10,000 before"
        )]
        let small = |chance: f64| (chance.clamp(0.0, 1.0) * SCALE).round() as u16;
        let mut entries = Vec::with_capacity(read.len());
        for (ticket, reading) in read {
            let article = reading
                .article
                .map(|(id, chance)| (self.number(id.as_str()), small(chance)));
            let tries = reading
                .tries
                .into_iter()
                .map(|t| (self.number(t.fix.as_str()), t.result, small(t.chance)))
                .collect();
            entries.push(Entry {
                digest: digest(ticket),
                article,
                tries,
            });
        }
        let content = postcard::to_stdvec(&(&self.names, &entries)).map_err(io::Error::other)?;
        self.part.write_all(&chunk(&content))?;
        self.entries
            .extend(entries.into_iter().map(|entry| (entry.digest, entry)));
        Ok(())
    }

    /// What is read so far.
    pub(super) fn kept(&self) -> Kept {
        Kept {
            names: self.names.clone(),
            entries: self.entries.values().cloned().collect(),
        }
    }

    /// Writes what was read of the tickets that [`Self::want`] was told as the finished file under a
    /// key, and removes the unfinished one. Readings of other texts are forgotten.
    ///
    /// # Errors
    /// Where the state folder cannot be written.
    pub(super) fn finish(mut self, key: &str) -> io::Result<()> {
        let wanted = std::mem::take(&mut self.wanted);
        self.entries.retain(|digest, _| wanted.contains(digest));
        let mut used: BTreeMap<&str, u32> = BTreeMap::new();
        for entry in self.entries.values() {
            let article = entry.article.iter().map(|(article, _)| article);
            for name in article.chain(entry.tries.iter().map(|(fix, ..)| fix)) {
                used.insert(&self.names[*name as usize], *name);
            }
        }
        let names: Vec<String> = used.keys().map(|name| (*name).to_owned()).collect();
        let mut numbers = vec![0; self.names.len()];
        for (new, old) in used.values().enumerate() {
            numbers[*old as usize] = u32::try_from(new).unwrap_or(u32::MAX);
        }
        let mut entries: Vec<Entry> = self.entries.into_values().collect();
        for entry in &mut entries {
            if let Some((article, _)) = &mut entry.article {
                *article = numbers[*article as usize];
            }
            for (fix, ..) in &mut entry.tries {
                *fix = numbers[*fix as usize];
            }
        }
        derived::write(&self.state.join(FILE), key, &Kept { names, entries })?;
        drop(self.part);
        std::fs::remove_file(self.state.join(PART))
    }
}

/// Content with its length before and its checksum behind.
fn chunk(content: &[u8]) -> Vec<u8> {
    let mut bytes = (content.len() as u64).to_le_bytes().to_vec();
    bytes.extend(content);
    bytes.extend(&Sha256::digest(content)[..SUM]);
    bytes
}

/// The content of a whole chunk and the chunk's length; none where the end is torn.
fn next(bytes: &[u8]) -> Option<(&[u8], usize)> {
    let (length, rest) = bytes.split_first_chunk::<8>()?;
    let length = usize::try_from(u64::from_le_bytes(*length)).ok()?;
    let content = rest.get(..length)?;
    let sum = rest.get(length..length.checked_add(SUM)?)?;
    (Sha256::digest(content)[..SUM] == *sum).then_some((content, 8 + length + SUM))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ticket(id: &str, notes: &str) -> Ticket {
        let json = serde_json::json!({
            "id": id, "closed": "2026-03-01T09:00:00Z", "notes": notes, "article": "trips",
        });
        Ticket::for_test(serde_json::from_value(json).unwrap())
    }

    fn reading(fix: &str, chance: f64) -> Reading {
        Reading {
            article: None,
            tries: vec![ReadTry {
                fix: FixId::new(fix),
                result: TryResult::Resolved,
                chance,
            }],
        }
    }

    #[test]
    fn a_run_goes_on_where_it_stopped_and_ends_in_the_same_bytes() {
        let tickets = [ticket("A", "a"), ticket("B", "b"), ticket("C", "a")];
        let of = |t: &Ticket| reading(&format!("trips#{}", t.notes.as_ref().unwrap()), 0.75);
        let whole = tempfile::tempdir().unwrap();
        let mut run = Run::open(whole.path(), "k").unwrap();
        // The same words are read once.
        let unread = run.unread(tickets.iter());
        assert_eq!(unread.len(), 2);
        run.add(unread.into_iter().rev().map(|t| (t, of(t))).collect())
            .unwrap();
        run.want(tickets.iter());
        run.finish("k 1").unwrap();

        let torn = tempfile::tempdir().unwrap();
        let mut run = Run::open(torn.path(), "k").unwrap();
        run.add(vec![(&tickets[0], of(&tickets[0]))]).unwrap();
        drop(run);
        let part = torn.path().join(PART);
        let mut bytes = std::fs::read(&part).unwrap();
        bytes.extend(&chunk(b"half a chunk")[..9]);
        std::fs::write(&part, bytes).unwrap();
        let mut run = Run::open(torn.path(), "k").unwrap();
        let unread = run.unread(tickets.iter());
        assert_eq!(unread.len(), 1);
        run.add(unread.into_iter().map(|t| (t, of(t))).collect())
            .unwrap();
        run.want(tickets.iter());
        run.finish("k 1").unwrap();
        let bytes = |folder: &Path| std::fs::read(folder.join(FILE)).unwrap();
        assert_eq!(bytes(whole.path()), bytes(torn.path()));
        assert!(!part.exists());

        let kept = Kept::open(torn.path());
        assert_eq!(kept.of(&tickets[2]), Some(reading("trips#a", 0.75)));
        assert_eq!(kept.of(&ticket("D", "d")), None);
        assert_eq!(key(torn.path()).as_deref(), Ok("k 1"));
        // Another reader begins anew.
        let run = Run::open(torn.path(), "other").unwrap();
        assert_eq!(run.unread(tickets.iter()).len(), 2);
    }
}
