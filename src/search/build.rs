//! Writes an index into an empty folder.

use super::SearchError;
use super::schema::{FORMAT, Fields, SIDE_FILE, Side, sum_of};
use super::tokens::{NAME, Terms, put};
use crate::base::ids::TicketId;
use crate::evidence::layout::Layout;
use crate::evidence::texts::{Counted, Family, Texts};
use jiff::civil::{Date, date};
use std::collections::BTreeMap;
use std::path::Path;
use tantivy::{Index, TantivyDocument};

/// Memory for one segment; tantivy takes what it needs beyond.
const MEMORY: usize = 256 << 20;

/// What the caller of one ticket said, as kept terms.
#[derive(Clone, Debug, PartialEq)]
pub struct TicketText {
    /// The ticket.
    pub id: TicketId,
    /// The day it was closed.
    pub day: Date,
    /// Its terms.
    pub terms: Vec<String>,
}

/// The families whose texts stand in one document, in the order of the blocks.
const BLOCKS: [&[Family]; 4] = [
    &[Family::Own, Family::Callers, Family::CallersGrams],
    &[Family::Pair],
    &[Family::Fix],
    &[Family::Kind, Family::KindGrams],
];

/// Documents made ahead of those being written.
const AHEAD: usize = 4;

/// Writes all texts as one segment; the same texts give the same counts.
///
/// # Errors
/// Where the folder cannot be written.
pub fn build(
    folder: &Path,
    layout: &Layout,
    texts: &dyn Texts,
    tickets: impl IntoIterator<Item = TicketText>,
) -> Result<(), SearchError> {
    let file = |source| SearchError::File {
        path: folder.to_owned(),
        source,
    };
    std::fs::create_dir_all(folder).map_err(file)?;
    let fields = Fields::new();
    let directory =
        tantivy::directory::MmapDirectory::open(folder).map_err(tantivy::TantivyError::from)?;
    let tokenizers = tantivy::tokenizer::TokenizerManager::default();
    tokenizers.register(NAME, Terms::default());
    let mut writer = Index::builder()
        .schema(fields.schema.clone())
        .tokenizers(tokenizers)
        .single_segment_index_writer(directory, MEMORY)?;
    let mut lengths: BTreeMap<Family, Vec<u64>> = BTreeMap::new();
    // One thread counts the texts, this one writes them.
    std::thread::scope(|scope| {
        let (send, made) = std::sync::mpsc::sync_channel::<Vec<(Family, Counted)>>(AHEAD);
        scope.spawn(move || {
            for block in BLOCKS {
                for text in 0..block[0].texts(layout) {
                    let of = block.iter().map(|f| (*f, texts.text(*f, text)));
                    if send.send(of.collect()).is_err() {
                        return;
                    }
                }
            }
        });
        for texts in made {
            let mut document = TantivyDocument::new();
            for (family, counted) in texts {
                let length = counted.iter().map(|(_, n)| u64::from(*n)).sum();
                let terms = counted.iter().map(|(term, n)| (term.as_str(), *n));
                lengths.entry(family).or_default().push(length);
                document.add_text(fields.of(family), joined(terms));
            }
            writer.add_document(document)?;
        }
        Ok::<_, SearchError>(())
    })?;
    for ticket in tickets {
        let mut document = TantivyDocument::new();
        let terms = ticket.terms.iter().map(|term| (term.as_str(), 1));
        document.add_text(fields.ticket, joined(terms));
        document.add_text(fields.ticket_id, ticket.id.as_str());
        document.add_i64(fields.ticket_day, day_number(ticket.day));
        writer.add_document(document)?;
    }
    writer.finalize()?;
    write_side(folder, lengths).map_err(file)
}

/// Days since 1970.
pub(super) fn day_number(day: Date) -> i64 {
    i64::from((day - date(1970, 1, 1)).get_days())
}

fn joined<'t>(counted: impl IntoIterator<Item = (&'t str, u32)>) -> String {
    let mut text = String::new();
    for (term, times) in counted {
        put(term, times, &mut text);
    }
    text
}

fn write_side(folder: &Path, mut lengths: BTreeMap<Family, Vec<u64>>) -> std::io::Result<()> {
    let of = |family: &Family| lengths.remove(family).unwrap_or_default();
    let mut side = Side {
        format: FORMAT,
        lengths: Family::ALL.iter().map(of).collect(),
        ..Side::default()
    };
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        if !name.starts_with('.') {
            side.files.insert(name, entry.metadata()?.len());
        }
    }
    let mut bytes = postcard::to_stdvec(&side).map_err(std::io::Error::other)?;
    let sum = sum_of(&bytes);
    bytes.extend(sum);
    std::fs::write(folder.join(SIDE_FILE), bytes)
}
