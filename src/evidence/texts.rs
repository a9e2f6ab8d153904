//! The texts that questions are compared with: what articles say themselves, and class documents,
//! which join what callers said in the cases of one article, one pair or one kind of fix.
//!
//! Of callers' words only those enter that [`super::keeping`] keeps.

use super::cases::{Case, End};
use super::layout::Layout;
use crate::articles::Catalog;
use crate::base::ids::{ArticleId, FixId};
use crate::base::text::{self, Analyzer};
use rayon::prelude::*;
use std::collections::{BTreeMap, HashSet};

/// A family of texts that are compared with each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Family {
    /// What an article says; one text per article.
    Own,
    /// What a fix says; one per fix.
    Fix,
    /// Callers in cases that one fix of one article ended, or nothing listed did; one per pair.
    Pair,
    /// Callers in the cases of an article; one per article.
    Callers,
    /// Callers in cases ended by one kind of fix, whatever the article; one per kind.
    Kind,
    /// As `Callers`, over character grams.
    CallersGrams,
    /// As `Kind`, over character grams.
    KindGrams,
}

impl Family {
    /// Every family.
    pub const ALL: [Self; 7] = [
        Self::Own,
        Self::Fix,
        Self::Pair,
        Self::Callers,
        Self::Kind,
        Self::CallersGrams,
        Self::KindGrams,
    ];

    /// Its name in the index and in a pack.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Own => "own",
            Self::Fix => "fix",
            Self::Pair => "pair",
            Self::Callers => "callers",
            Self::Kind => "kind",
            Self::CallersGrams => "callers_grams",
            Self::KindGrams => "kind_grams",
        }
    }

    /// How many texts the family has.
    #[must_use]
    pub fn texts(self, layout: &Layout) -> usize {
        match self {
            Self::Own | Self::Callers | Self::CallersGrams => layout.articles.len(),
            Self::Fix => layout.fixes.len(),
            Self::Pair => layout.pairs.len(),
            Self::Kind | Self::KindGrams => layout.kinds.len(),
        }
    }
}

/// Shortest and longest character grams of the gram families.
pub const GRAMS: std::ops::RangeInclusive<usize> = 3..=5;

pub(super) fn own_words_of(id: &ArticleId, catalog: &Catalog, analyzer: &Analyzer) -> Vec<String> {
    let article = &catalog.articles[id];
    let mut terms = Vec::new();
    // Title and symptoms are how people say it; they count twice against running text.
    for _ in 0..2 {
        terms.extend(analyzer.terms(&article.title));
        for symptom in &article.symptoms {
            terms.extend(analyzer.terms(symptom));
        }
    }
    for code in &article.codes {
        terms.extend(analyzer.terms(code));
    }
    for check in catalog.checks_of.get(id).into_iter().flatten() {
        terms.extend(analyzer.terms(&catalog.checks[check].question));
    }
    for fix in catalog.fixes_of.get(id).into_iter().flatten() {
        terms.extend(analyzer.terms(&catalog.fixes[fix].title));
    }
    terms.extend(analyzer.terms(&article.intro));
    terms
}

pub(super) fn fix_words_of(id: &FixId, catalog: &Catalog, analyzer: &Analyzer) -> Vec<String> {
    let fix = &catalog.fixes[id];
    let mut terms = analyzer.terms(&fix.title);
    terms.extend(terms.clone());
    if !terms.contains(&analyzer.stem(&text::fold(&fix.kind))) {
        terms.extend(analyzer.terms(&fix.kind));
    }
    for step in &fix.work.steps {
        terms.extend(analyzer.terms(step));
    }
    terms
}

/// The terms that the articles use themselves.
#[must_use]
pub fn public_terms(catalog: &Catalog, layout: &Layout, analyzer: &Analyzer) -> HashSet<String> {
    let articles = layout.articles.iter();
    let own = articles.flat_map(|id| own_words_of(id, catalog, analyzer));
    let fixes = layout.fixes.iter();
    own.chain(fixes.flat_map(|id| fix_words_of(id, catalog, analyzer)))
        .collect()
}

/// A gram of at most six letters, 21 bits each: counting numbers is far quicker than counting texts.
pub(super) type Packed = u128;

const LETTER_BITS: u32 = 21;

/// The character grams of a folded text, with its words parted by single spaces and a space at
/// either end, so that beginnings and ends of words are grams of their own.
#[must_use]
pub fn grams(folded: &str, sizes: std::ops::RangeInclusive<usize>) -> Vec<String> {
    let mut packed = Vec::new();
    packed_grams(folded, sizes, &mut packed);
    packed.into_iter().map(unpacked).collect()
}

pub(super) fn packed_grams(
    folded: &str,
    sizes: std::ops::RangeInclusive<usize>,
    into: &mut Vec<Packed>,
) {
    into.clear();
    if folded.is_empty() {
        return;
    }
    let letters = std::iter::once(' ').chain(folded.chars()).chain([' ']);
    let letters: Vec<Packed> = letters.map(|c| Packed::from(u32::from(c))).collect();
    for size in sizes {
        let packed = letters.windows(size);
        into.extend(packed.map(|w| w.iter().fold(0, |gram, c| gram << LETTER_BITS | c)));
    }
}

pub(super) fn unpacked(gram: Packed) -> String {
    let letter = |at: u32| (gram >> (at * LETTER_BITS)) & ((1 << LETTER_BITS) - 1);
    let letters = (0..Packed::BITS / LETTER_BITS).rev().map(letter);
    // Folded text has no NUL: a 0 stands only before the first letter.
    letters
        .filter(|c| *c != 0)
        .filter_map(|c| char::from_u32(u32::try_from(c).ok()?))
        .collect()
}

/// The texts a case's words go into: family and number of the text.
#[must_use]
pub fn places(case: &Case, layout: &Layout, catalog: &Catalog) -> Vec<(Family, usize)> {
    let Some(article) = case.article.as_ref().and_then(|a| layout.article(a)) else {
        return Vec::new();
    };
    let mut places = vec![(Family::Callers, article), (Family::CallersGrams, article)];
    match &case.end {
        End::Fix(id) => {
            let fix = layout.fix(id);
            if let Some(pair) = fix.and_then(|fix| layout.pair(article, Some(fix))) {
                places.push((Family::Pair, pair));
            }
            let kind = catalog
                .fixes
                .get(id)
                .and_then(|f| layout.kinds.binary_search(&f.kind).ok());
            if let Some(kind) = kind {
                places.extend([(Family::Kind, kind), (Family::KindGrams, kind)]);
            }
        }
        End::Other => places.extend(layout.pair(article, None).map(|pair| (Family::Pair, pair))),
        End::Unresolved | End::Unknown => {}
    }
    places
}

/// Terms with how often each stands in a text.
pub type Counted = Vec<(String, u32)>;

/// Something that makes the texts of all families, one at a time.
pub trait Texts: Sync {
    /// The terms of one text, each once.
    fn text(&self, family: Family, text: usize) -> Counted;
}

impl Texts for Bags {
    fn text(&self, family: Family, text: usize) -> Counted {
        let bag = self.get(&family).and_then(|texts| texts.get(text));
        let terms = bag.into_iter().flatten();
        terms.map(|(term, n)| (term.clone(), *n)).collect()
    }
}

/// All texts of all families as bags of terms, by family and number.
pub type Bags = BTreeMap<Family, Vec<BTreeMap<String, u32>>>;

/// All these texts at once.
#[must_use]
pub fn bags(texts: &dyn Texts, layout: &Layout) -> Bags {
    let of = |family: Family| {
        let all = (0..family.texts(layout)).into_par_iter();
        let bags = all.map(|text| texts.text(family, text).into_iter().collect());
        (family, bags.collect())
    };
    Family::ALL.into_iter().map(of).collect()
}
