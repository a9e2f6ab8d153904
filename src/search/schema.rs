//! The fields of the index and its side file.
//!
//! Documents are added in the order of the layout: articles, pairs, fixes, kinds, then tickets. A
//! text's document number is therefore its own number plus the start of its block.

use super::tokens::NAME;
use crate::evidence::layout::Layout;
use crate::evidence::texts::Family;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use tantivy::schema::{Field, IndexRecordOption, STORED, Schema, TextFieldIndexing, TextOptions};

/// Raised with every change of fields, order of documents or side file.
pub(super) const FORMAT: u32 = 4;

/// The side file's name, in the index folder.
pub(super) const SIDE_FILE: &str = "lengths";

/// Bytes of the checksum at the end of the side file; tantivy keeps its own for its own files.
pub(super) const SUM: usize = 16;

/// The checksum of a side file's content.
pub(super) fn sum_of(content: &[u8]) -> [u8; SUM] {
    let mut sum = [0; SUM];
    sum.copy_from_slice(&Sha256::digest(content)[..SUM]);
    sum
}

/// What the index does not hold exactly: lengths (its own are rounded to one byte) and sizes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct Side {
    /// [`FORMAT`] when it was written.
    pub(super) format: u32,
    /// For each family, in the order of [`Family::ALL`], the length of every text.
    pub(super) lengths: Vec<Vec<u64>>,
    /// Every file of the index with its size.
    pub(super) files: BTreeMap<String, u64>,
}

/// The fields.
#[derive(Clone, Debug)]
pub(super) struct Fields {
    pub(super) schema: Schema,
    /// One field per family, in the order of [`Family::ALL`].
    pub(super) families: Vec<Field>,
    /// What the caller of one ticket said.
    pub(super) ticket: Field,
    /// That ticket's id.
    pub(super) ticket_id: Field,
    /// The day it was closed, counted from 1970.
    pub(super) ticket_day: Field,
}

impl Fields {
    pub(super) fn new() -> Self {
        let mut schema = Schema::builder();
        let indexing = TextFieldIndexing::default()
            .set_tokenizer(NAME)
            .set_index_option(IndexRecordOption::WithFreqs);
        let text = TextOptions::default().set_indexing_options(indexing);
        let families = Family::ALL
            .iter()
            .map(|f| schema.add_text_field(f.name(), text.clone()))
            .collect();
        let ticket = schema.add_text_field("ticket", text);
        // Only read back: a term for each ticket would be a third of the memory that indexing takes.
        let ticket_id = schema.add_text_field("ticket_id", STORED);
        let ticket_day = schema.add_i64_field("ticket_day", STORED);
        Self {
            schema: schema.build(),
            families,
            ticket,
            ticket_id,
            ticket_day,
        }
    }

    pub(super) fn of(&self, family: Family) -> Field {
        self.families[family as usize]
    }
}

/// The document number of a family's first text.
pub(super) fn start(family: Family, layout: &Layout) -> usize {
    let (articles, pairs, fixes) = (
        layout.articles.len(),
        layout.pairs.len(),
        layout.fixes.len(),
    );
    match family {
        Family::Own | Family::Callers | Family::CallersGrams => 0,
        Family::Pair => articles,
        Family::Fix => articles + pairs,
        Family::Kind | Family::KindGrams => articles + pairs + fixes,
    }
}
