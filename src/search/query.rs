//! Reads an index: candidates and exact counts.

use super::SearchError;
use super::build::day_number;
use super::schema::{FORMAT, Fields, SIDE_FILE, SUM, Side, start, sum_of};
use super::tokens::{NAME, Terms};
use crate::base::ids::TicketId;
use crate::base::spelling::{Vocabulary, Weighted};
use crate::evidence::bm25::{Constants, Counts, Size, term_score};
use crate::evidence::counted::{Candidates, CountsError};
use crate::evidence::layout::Layout;
use crate::evidence::texts::Family;
use jiff::civil::Date;
use std::path::Path;
use tantivy::collector::TopDocs;
use tantivy::postings::Postings;
use tantivy::query::{BooleanQuery, BoostQuery, Occur, Query, TermQuery};
use tantivy::schema::{Field, IndexRecordOption, Value};
use tantivy::{DocAddress, DocSet, Searcher, TERMINATED, TantivyDocument, Term};

/// Indexes up to this many bytes are read whole when opened, to find a damaged byte before a
/// question meets it; larger ones are checked by the sizes of their files.
const CHECKED_WHOLE: u64 = 64 << 20;

/// How many times as many tickets are looked at as are asked for, when likeness and age decide.
const CLOSEST: usize = 5;

/// An open index.
pub struct Index {
    searcher: Searcher,
    fields: Fields,
    side: Side,
    starts: Vec<usize>,
}

impl std::fmt::Debug for Index {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Index")
            .field("documents", &self.searcher.num_docs())
            .finish()
    }
}

impl Index {
    /// Opens the index that [`super::build`] wrote for this layout.
    ///
    /// # Errors
    /// Where it is missing, damaged or of another format; building it again is the remedy.
    pub fn open(folder: &Path, layout: &Layout) -> Result<Self, SearchError> {
        let side = read_side(folder)?;
        let damaged = || SearchError::Damaged(folder.to_owned());
        for (i, family) in Family::ALL.iter().enumerate() {
            if side.lengths.get(i).map(Vec::len) != Some(family.texts(layout)) {
                return Err(damaged());
            }
        }
        let index = tantivy::Index::open_in_dir(folder)?;
        index.tokenizers().register(NAME, Terms::default());
        if side.files.values().sum::<u64>() <= CHECKED_WHOLE
            && !index.validate_checksum()?.is_empty()
        {
            return Err(damaged());
        }
        let searcher = index.reader()?.searcher();
        let fields = Fields::new();
        if searcher.segment_readers().len() != 1 || index.schema() != fields.schema {
            return Err(damaged());
        }
        let starts = Family::ALL.iter().map(|f| start(*f, layout)).collect();
        Ok(Self {
            searcher,
            fields,
            side,
            starts,
        })
    }

    /// Every term of the articles' own words and of callers' words.
    ///
    /// # Errors
    /// Where the index cannot be read.
    pub fn vocabulary(&self) -> Result<Vocabulary, SearchError> {
        let mut terms = Vec::new();
        for family in [Family::Own, Family::Fix, Family::Callers] {
            let inverted = self
                .searcher
                .segment_reader(0)
                .inverted_index(self.fields.of(family))?;
            let mut stream = inverted
                .terms()
                .stream()
                .map_err(tantivy::TantivyError::from)?;
            while stream.advance() {
                terms.push(String::from_utf8_lossy(stream.key()).into_owned());
            }
        }
        Ok(Vocabulary::new(terms))
    }

    /// The closed tickets whose callers said the like, at most `most`: closest and newest first. How
    /// close a ticket is loses half its weight in `half_life` days before `as_of`.
    ///
    /// # Errors
    /// Where the index cannot be read.
    pub fn similar(
        &self,
        terms: &Weighted,
        most: usize,
        (as_of, half_life): (Date, f64),
    ) -> Result<Vec<TicketId>, SearchError> {
        if terms.is_empty() || most == 0 {
            return Ok(Vec::new());
        }
        let query = any_of(&[self.fields.ticket], terms);
        // The newest of the closest: more are taken than asked for, as age reorders them.
        let taken = (most * CLOSEST).max(CLOSEST * 10);
        let found = self
            .searcher
            .search(&query, &TopDocs::with_limit(taken).order_by_score())?;
        let today = day_number(as_of);
        let mut ranked = Vec::new();
        for (score, address) in found {
            let document: TantivyDocument = self.searcher.doc(address)?;
            let id = document.get_first(self.fields.ticket_id);
            let day = document.get_first(self.fields.ticket_day);
            if let (Some(id), Some(day)) =
                (id.and_then(|v| v.as_str()), day.and_then(|v| v.as_i64()))
            {
                let age = today.saturating_sub(day).max(0) as f64;
                ranked.push((
                    f64::from(score) * (-age / half_life).exp2(),
                    TicketId::new(id),
                ));
            }
        }
        ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
        Ok(ranked.into_iter().take(most).map(|(_, id)| id).collect())
    }

    /// The articles that tantivy's own rounded scores put first: what a plain text search costs, for
    /// comparison.
    ///
    /// # Errors
    /// Where the index cannot be read.
    pub fn plain(&self, terms: &Weighted, most: usize) -> Result<Vec<usize>, SearchError> {
        let fields = [self.fields.of(Family::Own), self.fields.of(Family::Callers)];
        let query = any_of(&fields, terms);
        let found = self
            .searcher
            .search(&query, &TopDocs::with_limit(most.max(1)).order_by_score())?;
        let number = |(_, address): (f32, DocAddress)| address.doc_id as usize;
        Ok(found.into_iter().map(number).collect())
    }

    /// The best articles by exact scores, ties by number, so that every face has the same ones; the
    /// same as [`crate::evidence::counted::text_scores`] over all articles, read posting by posting.
    fn exactly_matching(&self, terms: &Weighted, most: usize) -> tantivy::Result<Vec<usize>> {
        let own = self.exact_scores(Family::Own, Constants::OWN, terms)?;
        let callers = self.exact_scores(Family::Callers, Constants::CALLERS, terms)?;
        let scores = own.iter().zip(&callers).map(|(own, callers)| own + callers);
        let mut best: Vec<(usize, f64)> = scores
            .enumerate()
            .filter(|(_, score)| *score > 0.0)
            .collect();
        best.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        best.truncate(most);
        Ok(best.into_iter().map(|(article, _)| article).collect())
    }

    /// The score of every text of a family; 0 without any of the terms.
    fn exact_scores(
        &self,
        family: Family,
        constants: Constants,
        terms: &Weighted,
    ) -> tantivy::Result<Vec<f64>> {
        let lengths = &self.side.lengths[family as usize];
        let size = Size {
            texts: lengths.len() as u64,
            terms: lengths.iter().sum(),
        };
        let from = self.starts[family as usize];
        let field = self.fields.of(family);
        let inverted = self.searcher.segment_reader(0).inverted_index(field)?;
        let mut scores = vec![0.0; lengths.len()];
        for (term, weight) in terms {
            let term = Term::from_field_text(field, term);
            let df = u64::from(inverted.doc_freq(&term)?);
            let postings = inverted.read_postings(&term, IndexRecordOption::WithFreqs)?;
            let Some(mut postings) = postings else {
                continue;
            };
            while postings.doc() != TERMINATED {
                let text = postings.doc() as usize - from;
                let tf = postings.term_freq();
                let score = term_score(size, df, tf, lengths[text], constants);
                scores[text] += weight * score;
                postings.advance();
            }
        }
        Ok(scores)
    }

    fn read_counts(
        &self,
        family: Family,
        terms: &[&str],
        texts: &[usize],
    ) -> tantivy::Result<Counts> {
        let lengths = &self.side.lengths[family as usize];
        let mut counts = Counts {
            size: Size {
                texts: lengths.len() as u64,
                terms: lengths.iter().sum(),
            },
            len: texts.iter().map(|t| lengths[*t]).collect(),
            ..Counts::default()
        };
        let field = self.fields.of(family);
        let inverted = self.searcher.segment_reader(0).inverted_index(field)?;
        let from = self.starts[family as usize];
        for term in terms {
            let term = Term::from_field_text(field, term);
            let mut tf = vec![0; texts.len()];
            let postings = inverted.read_postings(&term, IndexRecordOption::WithFreqs)?;
            counts.df.push(u64::from(inverted.doc_freq(&term)?));
            if let Some(mut postings) = postings {
                for (slot, text) in tf.iter_mut().zip(texts) {
                    let wanted = u32::try_from(from + text).unwrap_or(u32::MAX);
                    let at = if postings.doc() < wanted {
                        postings.seek(wanted)
                    } else {
                        postings.doc()
                    };
                    if at == wanted {
                        *slot = postings.term_freq();
                    }
                }
            }
            counts.tf.push(tf);
        }
        Ok(counts)
    }
}

/// Any of the terms in any of the fields, weighted.
fn any_of(fields: &[Field], terms: &Weighted) -> BooleanQuery {
    let mut parts: Vec<(Occur, Box<dyn Query>)> = Vec::new();
    for (term, weight) in terms {
        for field in fields {
            let query = TermQuery::new(
                Term::from_field_text(*field, term),
                IndexRecordOption::WithFreqs,
            );
            #[allow(
                clippy::cast_possible_truncation,
                reason = "tantivy's scores are f32; exact ones follow"
            )]
            let query = BoostQuery::new(Box::new(query), *weight as f32);
            parts.push((Occur::Should, Box::new(query)));
        }
    }
    BooleanQuery::new(parts)
}

impl Candidates for Index {
    /// Texts must ascend.
    fn counts(
        &self,
        family: Family,
        terms: &[&str],
        texts: &[usize],
    ) -> Result<Counts, CountsError> {
        self.read_counts(family, terms, texts)
            .map_err(|e| CountsError(e.to_string()))
    }

    fn matching(&self, terms: &Weighted, most: usize) -> Result<Vec<usize>, CountsError> {
        self.exactly_matching(terms, most)
            .map_err(|e| CountsError(e.to_string()))
    }
}

fn read_side(folder: &Path) -> Result<Side, SearchError> {
    let path = folder.join(SIDE_FILE);
    let bytes = std::fs::read(&path).map_err(|source| SearchError::File { path, source })?;
    let damaged = || SearchError::Damaged(folder.to_owned());
    let (content, sum) = bytes.split_last_chunk::<SUM>().ok_or_else(damaged)?;
    if sum_of(content) != *sum {
        return Err(damaged());
    }
    let side: Side =
        postcard::from_bytes(content).map_err(|_| SearchError::Format(folder.to_owned()))?;
    if side.format != FORMAT {
        return Err(SearchError::Format(folder.to_owned()));
    }
    for (name, size) in &side.files {
        let found = std::fs::metadata(folder.join(name)).map(|m| m.len()).ok();
        if found != Some(*size) {
            return Err(damaged());
        }
    }
    Ok(side)
}
