//! The texts that questions are compared with: what articles say themselves, and class documents,
//! which join what callers said in the cases of one article, one pair or one kind of fix.
//!
//! Of callers' words only those enter that [`super::keeping`] keeps.

use super::cases::{Case, End};
use super::keeping::Keeping;
use super::layout::Layout;
use crate::articles::Catalog;
use crate::base::ids::{ArticleId, FixId};
use crate::base::text::{self, Analyzer};
use rayon::prelude::*;
use rustc_hash::FxHashMap;
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

/// The terms of every article's own words, by number.
#[must_use]
pub fn own_words(catalog: &Catalog, layout: &Layout, analyzer: &Analyzer) -> Vec<Vec<String>> {
    let articles = layout.articles.iter();
    articles
        .map(|id| own_words_of(id, catalog, analyzer))
        .collect()
}

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

/// The terms of every fix's own words, by number.
#[must_use]
pub fn fix_words(catalog: &Catalog, layout: &Layout, analyzer: &Analyzer) -> Vec<Vec<String>> {
    let fixes = layout.fixes.iter();
    fixes
        .map(|id| fix_words_of(id, catalog, analyzer))
        .collect()
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

/// As [`Bags`], the terms in no order: millions of them need not be sorted where nobody reads them in
/// order.
pub type LooseBags = BTreeMap<Family, Vec<FxHashMap<String, u32>>>;

/// Joins everything: the articles' own words and what the callers of these cases said, as far as it is
/// kept.
#[must_use]
pub fn bags<'c>(
    catalog: &Catalog,
    layout: &Layout,
    cases: impl IntoIterator<Item = &'c Case>,
    keeping: &Keeping<'_>,
) -> Bags {
    let in_order = |texts: Vec<FxHashMap<String, u32>>| {
        let texts = texts.into_par_iter();
        texts.map(|bag| bag.into_iter().collect()).collect()
    };
    loose_bags(catalog, layout, cases, keeping)
        .into_iter()
        .map(|(family, texts)| (family, in_order(texts)))
        .collect()
}

/// As [`bags`].
#[must_use]
pub fn loose_bags<'c>(
    catalog: &Catalog,
    layout: &Layout,
    cases: impl IntoIterator<Item = &'c Case>,
    keeping: &Keeping<'_>,
) -> LooseBags {
    let analyzer = keeping.analyzer;
    let mut bags: LooseBags = Family::ALL
        .iter()
        .map(|f| (*f, vec![FxHashMap::default(); f.texts(layout)]))
        .collect();
    let mut packed: BTreeMap<Family, Vec<FxHashMap<Packed, u32>>> =
        [Family::CallersGrams, Family::KindGrams]
            .iter()
            .map(|f| (*f, vec![FxHashMap::default(); f.texts(layout)]))
            .collect();
    let mut put = |family: Family, text: usize, terms: &[String]| {
        if let Some(bag) = bags.get_mut(&family).and_then(|texts| texts.get_mut(text)) {
            terms.iter().for_each(|term| count(bag, term));
        }
    };
    for (i, terms) in own_words(catalog, layout, analyzer).iter().enumerate() {
        put(Family::Own, i, terms);
    }
    for (i, terms) in fix_words(catalog, layout, analyzer).iter().enumerate() {
        put(Family::Fix, i, terms);
    }
    let mut grams = Vec::new();
    for case in cases {
        let said = keeping.said(case);
        packed_grams(&said.folded, GRAMS, &mut grams);
        for (family, text) in places(case, layout, catalog) {
            if let Some(texts) = packed.get_mut(&family) {
                let bag = &mut texts[text];
                grams
                    .iter()
                    .for_each(|gram| *bag.entry(*gram).or_insert(0) += 1);
            } else {
                put(family, text, &said.terms);
            }
        }
    }
    for (family, texts) in packed {
        let unpack = |bag: FxHashMap<Packed, u32>| {
            bag.into_iter()
                .map(|(gram, times)| (unpacked(gram), times))
                .collect()
        };
        bags.insert(family, texts.into_par_iter().map(unpack).collect());
    }
    bags
}

/// Most terms come again and again: looking first saves making a text of each.
fn count(bag: &mut FxHashMap<String, u32>, term: &str) {
    if let Some(times) = bag.get_mut(term) {
        *times += 1;
    } else {
        bag.insert(term.to_owned(), 1);
    }
}
