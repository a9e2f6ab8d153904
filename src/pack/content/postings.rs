//! In which texts each word stands, and how often.

use super::Parts;
use super::bytes::{At, Blob};
use super::grams::{Longer, longer};
use crate::base::spelling::Vocabulary;
use crate::evidence::texts::{Family, GRAMS};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// All families, and the words that they have in common.
#[derive(Debug, Serialize)]
pub(super) struct FamiliesPart {
    /// Words of any family and known ones; the shortest runs of letters; see [`front_coded`].
    words: String,
    runs: String,
    /// For each of the words: is it known where a question is spelled?
    known: At,
    families: Vec<Postings>,
}

/// The texts of one family.
///
/// The bytes hold four lists: for each of its words in order in how many texts that did not go
/// in it stands, and in how many that did; for each place where it stands the step from the text
/// before less one; for each place how often it stands there less one.
#[derive(Debug, Serialize)]
pub(super) struct Postings {
    name: &'static str,
    /// Texts of the whole knowledge base.
    texts: usize,
    /// Terms of all of them.
    terms: u64,
    /// Terms of each text that went in.
    lengths: Vec<u64>,
    /// For each of the words, or of the shortest runs: has this family it?
    has: At,
    at: At,
    /// The longer runs of letters.
    longer: Option<Longer>,
}

/// Each word with the texts that went in, by their numbers in the pack, and how often it stands there.
pub(super) type Held<'a> = BTreeMap<&'a str, Vec<(u64, u32)>>;

/// Most letters that a word may take from the one before: one of `A` to `Z` says how many.
const MOST_SHARED: usize = 25;

/// Sorted words, parted by line feeds; each begins with a letter that says how many letters it has in
/// common with the one before (`A` for none), and these are left out. Only plain ASCII letters are.
pub(super) fn front_coded<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    let mut lines = Vec::new();
    let mut before = "";
    for word in words {
        let pairs = before.bytes().zip(word.bytes());
        let same = pairs.take_while(|(a, b)| a == b && a.is_ascii());
        let shared = same.take(MOST_SHARED).count();
        let letter = char::from(b'A' + u8::try_from(shared).unwrap_or(0));
        lines.push(format!("{letter}{}", &word[shared..]));
        before = word;
    }
    lines.join("\n")
}

impl Parts<'_> {
    /// All families with the texts of what was chosen.
    pub(super) fn families(&self, blob: &mut Blob) -> FamiliesPart {
        let layout = self.source.layout;
        let articles: Vec<usize> = (self.chosen.articles.iter())
            .filter_map(|id| layout.article(id))
            .collect();
        let fixes: Vec<usize> = (self.chosen.fixes.iter())
            .filter_map(|id| layout.fix(id))
            .collect();
        let pairs: Vec<usize> = (articles.iter())
            .flat_map(|a| layout.pairs_of[*a].clone())
            .collect();
        let kinds: Vec<usize> = (0..layout.kinds.len()).collect();
        let none = Vec::new();
        let counted: Vec<Counted<'_>> = (Family::ALL.into_iter())
            .map(|family| {
                let went_in = match family {
                    Family::Own | Family::Callers | Family::CallersGrams => &articles,
                    Family::Fix => &fixes,
                    Family::Pair => &pairs,
                    Family::Kind | Family::KindGrams => &kinds,
                };
                let texts = self.source.bags.get(&family).unwrap_or(&none);
                Counted::new(family, texts, went_in)
            })
            .collect();
        families(&counted, self.source.known, blob)
    }
}

fn families(counted: &[Counted<'_>], known: &Vocabulary, blob: &mut Blob) -> FamiliesPart {
    let known: BTreeSet<&str> = known.terms().iter().map(String::as_str).collect();
    let (mut words, mut runs) = (known.clone(), BTreeSet::new());
    for family in counted {
        let all = if family.of_letters() {
            &mut runs
        } else {
            &mut words
        };
        all.extend(&family.listed);
    }
    let write = |family: &Counted<'_>| {
        let all = if family.of_letters() { &runs } else { &words };
        family.write(all, blob)
    };
    FamiliesPart {
        families: counted.iter().map(write).collect(),
        known: blob.bits(&words.iter().map(|word| known.contains(word)).collect()),
        words: front_coded(words),
        runs: front_coded(runs),
    }
}

/// A family, counted.
struct Counted<'a> {
    family: Family,
    texts: usize,
    terms: u64,
    lengths: Vec<u64>,
    df: HashMap<&'a str, u64>,
    held: Held<'a>,
    /// The words that are listed: of runs of letters only the shortest.
    listed: Vec<&'a str>,
}

impl<'a> Counted<'a> {
    /// `went_in` are the numbers of the texts that went in, ascending.
    fn new(family: Family, texts: &'a [BTreeMap<String, u32>], went_in: &[usize]) -> Self {
        let mut df: HashMap<&str, u64> = HashMap::new();
        let mut held: Held<'_> = BTreeMap::new();
        for word in texts.iter().flat_map(BTreeMap::keys) {
            *df.entry(word).or_default() += 1;
        }
        for (text, number) in went_in.iter().zip(0_u64..) {
            for (word, times) in &texts[*text] {
                held.entry(word).or_default().push((number, *times));
            }
        }
        let length = |bag: &BTreeMap<String, u32>| bag.values().map(|n| u64::from(*n)).sum();
        let mut counted = Self {
            family,
            texts: texts.len(),
            terms: texts.iter().map(length).sum(),
            lengths: went_in.iter().map(|text| length(&texts[*text])).collect(),
            df,
            listed: held.keys().copied().collect(),
            held,
        };
        if counted.of_letters() {
            let shortest = *GRAMS.start();
            counted.listed.retain(|run| run.chars().count() == shortest);
        }
        counted
    }

    fn of_letters(&self) -> bool {
        matches!(self.family, Family::CallersGrams | Family::KindGrams)
    }

    /// Writes it; `all` are the words or the shortest runs of all families.
    fn write(&self, all: &BTreeSet<&str>, blob: &mut Blob) -> Postings {
        let (listed, held, df) = (&self.listed, &self.held, &self.df);
        let has = |word: &&str| listed.binary_search(word).is_ok();
        Postings {
            name: self.family.name(),
            texts: self.texts,
            terms: self.terms,
            lengths: self.lengths.clone(),
            has: blob.bits(&all.iter().map(has).collect()),
            at: places(listed, held, df, blob),
            longer: (self.of_letters()).then(|| longer(listed.clone(), held, df, blob)),
        }
    }
}

fn places(words: &[&str], held: &Held<'_>, df: &HashMap<&str, u64>, blob: &mut Blob) -> At {
    let (mut others, mut ours) = (Vec::new(), Vec::new());
    let (mut steps, mut repeats) = (Vec::new(), Vec::new());
    for word in words {
        let places = &held[word];
        others.push(df[word] - places.len() as u64);
        ours.push(places.len() as u64);
        let mut next = 0;
        for (text, times) in places {
            steps.push(text - next);
            repeats.push(u64::from(*times) - 1);
            next = text + 1;
        }
    }
    blob.numbers([others, ours, steps, repeats].into_iter().flatten())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_smaller_pack_keeps_the_counts_of_the_whole_knowledge_base() {
        let bag =
            |words: &[(&str, u32)]| words.iter().map(|(w, n)| ((*w).to_owned(), *n)).collect();
        let texts: Vec<BTreeMap<String, u32>> = vec![
            bag(&[("lamp", 2)]),
            bag(&[("lamp", 1), ("red", 3)]),
            bag(&[("green", 1), ("lamp", 1)]),
        ];
        let mut blob = Blob::default();
        let counted = Counted::new(Family::Own, &texts, &[0, 2]);
        let known = Vocabulary::new(["amp", "lamp"].map(str::to_owned).into());
        let part = families(&[counted], &known, &mut blob);
        let found = &part.families[0];
        assert_eq!((found.texts, found.terms), (3, 8));
        assert_eq!(found.lengths, [2, 2]);
        assert_eq!(part.words, "Aamp\nAgreen\nAlamp");
        // Of amp, green, lamp it has the last two. Green stands in no other text and in one of ours,
        // lamp in one other and in two of ours. Known are the first and the last.
        assert_eq!(blob.bytes(), [0b110, 0, 1, 1, 2, 1, 0, 0, 0, 1, 0, 0b101]);
    }

    #[test]
    fn a_word_is_written_by_what_is_new_in_it() {
        let words = ["car", "card", "care", "gerät", "geräte", "über", "überall"];
        assert_eq!(
            front_coded(words),
            "Acar\nDd\nDe\nAgerät\nDäte\nAüber\nAüberall"
        );
    }
}
