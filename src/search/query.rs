//! Reads an index: candidates and exact counts.

use super::SearchError;
use super::build::day_number;
use super::kept::{Kept, LONGEST, Places};
use super::schema::{FORMAT, Fields, SIDE_FILE, SUM, Side, start, sum_of};
use super::tokens::{NAME, Terms};
use crate::base::ids::TicketId;
use crate::base::spelling::{Vocabulary, Weighted};
use crate::evidence::bm25::{Constants, Counts, Size, idf, of_rarity};
use crate::evidence::counted::{Candidates, CountsError, times};
use crate::evidence::layout::Layout;
use crate::evidence::texts::Family;
use jiff::civil::Date;
use std::path::Path;
use std::sync::{Arc, PoisonError, RwLock};
use tantivy::collector::TopDocs;
use tantivy::postings::{Postings, SegmentPostings};
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
    kept: RwLock<Kept>,
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
            kept: RwLock::default(),
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
        let names: Vec<&str> = terms.keys().map(String::as_str).collect();
        let mut scores = vec![0.0; lengths.len()];
        for (found, weight) in self.find(family, &names)?.into_iter().zip(terms.values()) {
            let idf = idf(size.texts, found.df());
            found.each(|text, tf| {
                let score = of_rarity(idf, size, tf, lengths[text], constants);
                scores[text] += weight * score;
            });
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
        for found in self.find(family, terms)? {
            counts.df.push(found.df());
            counts.tf.push(found.times(texts));
        }
        Ok(counts)
    }

    /// Where these terms stand in a family's texts: as kept, else read.
    fn find(&self, family: Family, terms: &[&str]) -> tantivy::Result<Vec<Found>> {
        let mut found: Vec<Option<Found>> = {
            let kept = self.kept.read().unwrap_or_else(PoisonError::into_inner);
            let known = |term: &&str| kept.get(family, term).map(|p| Found::Short(Arc::clone(p)));
            terms.iter().map(known).collect()
        };
        let mut fresh = Vec::new();
        for (slot, term) in found.iter_mut().zip(terms) {
            if slot.is_none() {
                let read = self.read(family, term)?;
                if let Found::Short(places) = &read {
                    fresh.push((*term, Arc::clone(places)));
                }
                *slot = Some(read);
            }
        }
        if !fresh.is_empty() {
            let mut kept = self.kept.write().unwrap_or_else(PoisonError::into_inner);
            for (term, places) in fresh {
                kept.put(family, term, places);
            }
        }
        Ok(found.into_iter().flatten().collect())
    }

    fn read(&self, family: Family, term: &str) -> tantivy::Result<Found> {
        let field = self.fields.of(family);
        let inverted = self.searcher.segment_reader(0).inverted_index(field)?;
        let term = Term::from_field_text(field, term);
        let Some(info) = inverted.get_term_info(&term)? else {
            return Ok(Found::Short([].into()));
        };
        let option = IndexRecordOption::WithFreqs;
        let postings = inverted.read_postings_from_terminfo(&info, option)?;
        let from = self.starts[family as usize];
        let found = Found::Long {
            df: info.doc_freq,
            from,
            postings: Box::new(postings),
        };
        if info.doc_freq > LONGEST {
            return Ok(found);
        }
        let mut places = Vec::with_capacity(info.doc_freq as usize);
        // Texts are far fewer than 2³².
        found.each(|text, tf| places.push((u32::try_from(text).unwrap_or(u32::MAX), tf)));
        Ok(Found::Short(places.into()))
    }
}

/// Where a term stands in a family's texts.
enum Found {
    Short(Places),
    Long {
        df: u32,
        /// The document number of the family's first text.
        from: usize,
        postings: Box<SegmentPostings>,
    },
}

impl Found {
    /// In how many texts.
    fn df(&self) -> u64 {
        match self {
            Self::Short(places) => places.len() as u64,
            Self::Long { df, .. } => u64::from(*df),
        }
    }

    /// Calls for each text in order with how often the term stands there.
    fn each(self, mut visit: impl FnMut(usize, u32)) {
        match self {
            Self::Short(places) => places
                .iter()
                .for_each(|(text, tf)| visit(*text as usize, *tf)),
            Self::Long {
                from, mut postings, ..
            } => {
                while postings.doc() != TERMINATED {
                    visit(postings.doc() as usize - from, postings.term_freq());
                    postings.advance();
                }
            }
        }
    }

    /// How often it stands in these texts, which ascend.
    fn times(self, texts: &[usize]) -> Vec<u32> {
        let (from, mut postings) = match self {
            Self::Short(places) => return times(&places, texts),
            Self::Long { from, postings, .. } => (from, postings),
        };
        let time = |text: &usize| {
            let wanted = u32::try_from(from + text).unwrap_or(u32::MAX);
            let at = if postings.doc() < wanted {
                postings.seek(wanted)
            } else {
                postings.doc()
            };
            if at == wanted {
                postings.term_freq()
            } else {
                0
            }
        };
        texts.iter().map(time).collect()
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
