//! Writes an index into an empty folder.

use super::SearchError;
use super::schema::{FORMAT, Fields, SIDE_FILE, Side, sum_of};
use super::tokens::{BETWEEN, NAME, Terms};
use crate::base::ids::TicketId;
use crate::evidence::layout::Layout;
use crate::evidence::texts::{Bags, Family};
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

/// Writes all texts as one segment; the same texts give the same counts.
///
/// # Errors
/// Where the folder cannot be written.
pub fn build(
    folder: &Path,
    layout: &Layout,
    bags: &Bags,
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
    for block in [
        &[Family::Own, Family::Callers, Family::CallersGrams][..],
        &[Family::Pair],
        &[Family::Fix],
        &[Family::Kind, Family::KindGrams],
    ] {
        for text in 0..block[0].texts(layout) {
            let mut document = TantivyDocument::new();
            for family in block {
                if let Some(bag) = bags.get(family).and_then(|b| b.get(text)) {
                    document.add_text(fields.of(*family), joined(bag));
                }
            }
            writer.add_document(document)?;
        }
    }
    for ticket in tickets {
        let mut document = TantivyDocument::new();
        document.add_text(fields.ticket, ticket.terms.join(&BETWEEN.to_string()));
        document.add_text(fields.ticket_id, ticket.id.as_str());
        document.add_i64(fields.ticket_day, day_number(ticket.day));
        writer.add_document(document)?;
    }
    writer.finalize()?;
    write_side(folder, bags).map_err(file)
}

/// Days since 1970.
pub(super) fn day_number(day: Date) -> i64 {
    i64::from((day - date(1970, 1, 1)).get_days())
}

fn joined(bag: &BTreeMap<String, u32>) -> String {
    let mut text = String::new();
    for (term, times) in bag {
        for _ in 0..*times {
            text.push_str(term);
            text.push(BETWEEN);
        }
    }
    text
}

fn write_side(folder: &Path, bags: &Bags) -> std::io::Result<()> {
    let length = |bag: &BTreeMap<String, u32>| bag.values().map(|n| u64::from(*n)).sum();
    let mut side = Side {
        format: FORMAT,
        ..Side::default()
    };
    for family in Family::ALL {
        side.lengths.push(
            bags.get(&family)
                .into_iter()
                .flatten()
                .map(length)
                .collect(),
        );
    }
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
