//! A note in, tries out.

use super::decide::Found;
use super::everyday::EVERYDAY;
use super::known::Known;
use super::look::{Look, believed, chances, places};
use super::look_weights::FEATURES;
use super::rows::again;
use super::styles::joined;
use super::tokens::{Token, lexicon_words, plain_words, tokens};
use super::walk::{Moves, Plan, Walked, walk};
use super::words::{Row, Seen, Who, Words};
use crate::base::spelling::Vocabulary;
use crate::base::text::Analyzer;
use crate::tickets::Outcome;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// The part of visits that are to no fix at all, and their results. Chosen by cross-validation.
pub(super) const NO_FIX: f64 = 0.5;
pub(super) const NO_FIX_RESULTS: [f64; 4] = [0.15, 0.45, 0.03, 0.30];
/// What comes of a try, before its note is read: resolved, no change, not possible, spoken of only; in
/// resolved tickets and in others. What ended without a fix more often tells of one that could not be done.
/// These and the next, chosen on the second and third set of hard notes and the demo's tickets.
const RESULTS: [f64; 4] = [0.48, 0.42, 0.10, 0.10];
const RESULTS_UNSOLVED: [f64; 4] = [0.48, 0.33, 0.15, 0.04];
/// How far words count against marks, phrases and moves, as a power of their likelihoods: they hang together
/// while the walk takes them one by one.
pub(super) const WORDS_COUNT: f64 = 0.8;
/// How often a visit begins with its result, by result, and the part of notes that are written so: most
/// agents write the result behind, some before; that a thing could not be done is said before it more
/// often than that it helped.
pub(super) const STYLES: [([f64; 4], f64); 2] = [([0.04, 0.04, 0.1, 0.1], 0.8), ([0.85; 4], 0.2)];
/// Chance that no fix is told to have resolved a resolved ticket, and that one is in another.
const UNTOLD: f64 = 0.003;
const TOLD_ALL_THE_SAME: f64 = 0.03;
/// How many fixes of other articles are looked at, and the part of visits they have.
const OUTSIDERS: usize = 3;
const OUTSIDE: f64 = 0.0005;
/// A word speaks for a fix outside from this ratio on.
const SPEAKS_FROM: f64 = 3.0;
/// Only notes' words that stand in this many notes are taken for right.
const RIGHT_FROM: u32 = 2;

/// A note weighed as one of an article.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighed {
    /// The logarithm of how likely this note is in tickets of the article; only differences matter.
    pub log: f64,
    /// The tries found, by number of the fix, what is not listed last.
    pub found: Vec<Found>,
}

/// A note cut into known pieces.
#[derive(Clone, Debug)]
pub struct Cut {
    seen: Vec<Seen>,
    /// Which words it says more than once.
    again: Vec<bool>,
    /// The sentence and the phrase that each token stands in.
    places: Vec<(usize, usize)>,
}

/// A note walked through, and what the second look sees in it.
struct Looked {
    candidates: Vec<Who>,
    walked: Walked,
    /// By candidate, but for what is no fix.
    features: Vec<[f64; FEATURES]>,
}

/// Everything learned that reading needs.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Reader {
    /// The articles it reads for.
    pub known: Known,
    pub(super) words: Words,
    pub(super) moves: Moves,
    /// How often each fix of an article is tried; what is not listed last.
    tried: Vec<Vec<f64>>,
    /// Words taken for right, sorted, with how many notes hold them.
    right: Vec<(String, u32)>,
    #[serde(skip)]
    spelling: std::sync::OnceLock<Spelling>,
}

#[derive(Clone, Debug)]
struct Spelling(Vocabulary);

/// Made of the words that are compared already.
impl PartialEq for Spelling {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Reader {
    pub(super) fn unlearned(known: Known, tried: Vec<Vec<f64>>) -> Self {
        Self {
            known,
            words: Words::default(),
            moves: Moves::default(),
            tried,
            right: Vec::new(),
            spelling: std::sync::OnceLock::new(),
        }
    }

    /// Takes for right what the articles and the lexicon say, and what at least two notes say.
    pub(super) fn learn_spelling<'a>(
        &mut self,
        notes: impl Iterator<Item = &'a &'a str>,
        analyzer: &Analyzer,
    ) {
        let mut times: BTreeMap<String, u32> = BTreeMap::new();
        for note in notes {
            for word in plain_words(note).into_iter().collect::<BTreeSet<_>>() {
                *times.entry(word).or_default() += 1;
            }
        }
        times.retain(|_, times| *times >= RIGHT_FROM);
        let fixes = self.known.fixes.iter();
        let texts = fixes.flat_map(|fix| [&fix.title, &fix.kind].into_iter().chain(&fix.steps));
        let checks = self.known.articles.iter().flat_map(|a| &a.checks);
        let own = texts.chain(checks).flat_map(|text| plain_words(text));
        let tables = analyzer.tables();
        let same = tables
            .same
            .iter()
            .flat_map(|(name, all)| all.iter().chain([name]));
        let short = tables.short.iter().flat_map(|(a, b)| [a, b]);
        let desk = same.chain(short).flat_map(|text| plain_words(text));
        let lexicon = lexicon_words()
            .chain(EVERYDAY.iter().copied())
            .map(str::to_owned);
        for word in own.chain(desk).chain(lexicon) {
            times.entry(word).or_default();
        }
        self.right = times.into_iter().collect();
    }

    /// The likeliest right word for one that nobody knows; words the desk keeps apart stay so.
    fn corrected(&self, word: &str, analyzer: &Analyzer) -> Option<String> {
        let place = |word: &str| self.right.binary_search_by(|(w, _)| w.as_str().cmp(word));
        if place(word).is_ok() || !word.chars().all(char::is_alphabetic) {
            return None;
        }
        let spelling = self.spelling.get_or_init(|| {
            let words = self.right.iter().map(|(word, _)| word.clone());
            Spelling(Vocabulary::new(words.collect()))
        });
        let (_, near) = spelling.0.near(word);
        let times = |word: &&str| place(word).map_or(0, |at| self.right[at].1);
        near.into_iter()
            .filter(|right| !analyzer.tables().parted(word, right))
            // A slip hardly ever takes the first letter.
            .filter(|right| right.chars().next() == word.chars().next())
            .max_by(|a, b| times(a).cmp(&times(b)).then_with(|| b.cmp(a)))
            .map(str::to_owned)
    }

    pub(super) fn cut_tokens(&self, text: &str, analyzer: &Analyzer) -> Vec<Token> {
        tokens(text, analyzer, &|word| self.corrected(word, analyzer))
    }

    pub(super) fn seen(words: &Words, token: &Token, analyzer: &Analyzer) -> Seen {
        match token {
            Token::Word(word) => Seen::Word(words.word(word).or_else(|| words.akin(word))),
            Token::Mark(mark) => Seen::Mark(*mark),
            Token::Cue(told, phrase) => Seen::Cue(
                *told,
                words.cue(*told, phrase),
                phrase
                    .split(' ')
                    .map(|word| words.word(&analyzer.stem(word)))
                    .collect(),
            ),
        }
    }

    /// Cuts a note, once for all articles it is weighed for.
    #[must_use]
    pub fn cut(&self, text: &str, analyzer: &Analyzer) -> Cut {
        let tokens = self.cut_tokens(text, analyzer);
        let seen = |token| Self::seen(&self.words, token, analyzer);
        Cut {
            seen: tokens.iter().map(seen).collect(),
            again: again(&tokens),
            places: places(&tokens),
        }
    }

    /// Weighs a note as one of this article, or of none. An empty note says nothing.
    #[must_use]
    pub fn weigh(&self, cut: &Cut, article: Option<usize>, outcome: Option<Outcome>) -> Weighed {
        let Some(looked) = self.looked(cut, article, outcome) else {
            return Weighed {
                log: 0.0,
                found: Vec::new(),
            };
        };
        let walked = &looked.walked;
        let chances = chances(&looked.features, outcome);
        let found = chances.iter().enumerate().map(|(number, chances)| Found {
            fix: looked.candidates[number].fix(),
            results: believed(&walked.visits[number], chances),
            place: place(walked, number),
        });
        Weighed {
            log: walked.log,
            found: found.collect(),
        }
    }

    /// What the second look sees of each candidate, none for what is not listed: what its weights are learned
    /// from, in their order.
    #[must_use]
    pub fn sights(
        &self,
        cut: &Cut,
        article: Option<usize>,
        outcome: Option<Outcome>,
    ) -> Vec<(Option<usize>, Vec<f64>)> {
        let looked = self.looked(cut, article, outcome);
        let each = looked.iter().flat_map(|looked| {
            let fixes = looked.candidates.iter().map(|who| who.fix());
            fixes.zip(looked.features.iter().map(|features| features.to_vec()))
        });
        each.collect()
    }

    fn looked(
        &self,
        cut: &Cut,
        article: Option<usize>,
        outcome: Option<Outcome>,
    ) -> Option<Looked> {
        let (candidates, weights) = self.candidates(cut, article);
        let (rows, walked) = self.walked(cut, (&candidates, &weights), outcome)?;
        let look = Look {
            seen: &cut.seen,
            places: &cut.places,
            rows: &rows,
            walked: &walked,
            words: &self.words,
            candidates: &candidates,
            weights: &weights,
            own: article.map_or(0, |article| self.known.articles[article].fixes.len()) + 1,
            outcome,
        };
        Some(Looked {
            features: look.features(),
            candidates,
            walked,
        })
    }

    /// The sums over all walks through a note, in both styles of writing; none for an empty note.
    fn walked(
        &self,
        cut: &Cut,
        (candidates, weights): (&[Who], &[f64]),
        outcome: Option<Outcome>,
    ) -> Option<(Vec<Row>, Walked)> {
        let mut rows = self.words.rows(&cut.seen, &cut.again, candidates);
        for (row, seen) in rows.iter_mut().zip(&cut.seen) {
            if matches!(seen, Seen::Word(_)) {
                row.soften(WORDS_COUNT);
            }
        }
        let results = match outcome {
            Some(Outcome::Resolved) => RESULTS,
            _ => RESULTS_UNSOLVED,
        };
        let mut enter: Vec<[f64; 4]> = weights
            .iter()
            .map(|weight| results.map(|part| (1.0 - NO_FIX) * weight * part))
            .collect();
        if let (Some(no_fix), Some(Who::NoFix(_))) = (enter.last_mut(), candidates.last()) {
            *no_fix = NO_FIX_RESULTS.map(|part| NO_FIX * part);
        }
        let end = match outcome {
            Some(Outcome::Resolved) => [UNTOLD, 1.0 - UNTOLD],
            Some(_) => [1.0 - TOLD_ALL_THE_SAME, TOLD_ALL_THE_SAME],
            None => [0.5, 0.5],
        };
        let both: Vec<(f64, Walked)> = STYLES
            .iter()
            .filter_map(|(before, part)| {
                let plan = Plan {
                    enter: &enter,
                    fixes: enter.len() - 1,
                    before: *before,
                    end: Some(end),
                    moves: &self.moves,
                };
                let walked = walk(&rows, &plan)?;
                Some((walked.log + part.ln(), walked))
            })
            .collect();
        Some((rows, joined(both)?))
    }

    /// Who may be visited, and how often before the note is read; what is no fix last.
    fn candidates(&self, cut: &Cut, article: Option<usize>) -> (Vec<Who>, Vec<f64>) {
        let mut candidates = Vec::new();
        let mut weights = Vec::new();
        if let Some(article) = article {
            let listed = &self.known.articles[article].fixes;
            candidates.extend(listed.iter().map(|fix| Who::Fix(*fix)));
            if !listed.is_empty() {
                candidates.push(Who::Other(Some(article)));
                weights.clone_from(&self.tried[article]);
                let outside = self.near(cut, listed);
                let part = OUTSIDE / outside.len().max(1) as f64;
                weights.iter_mut().for_each(|w| *w *= 1.0 - OUTSIDE);
                for fix in outside.into_iter().take(OUTSIDERS) {
                    candidates.push(Who::Fix(fix));
                    weights.push(part);
                }
            }
        } else {
            candidates.push(Who::Other(None));
            weights.push(1.0);
        }
        candidates.push(Who::NoFix(article));
        weights.push(0.0);
        (candidates, weights)
    }

    /// The fixes whose own texts a note's words speak for most, best first, at most three, without
    /// those of a list. What agents wrote of them is not looked at: a few words learned of a rare fix
    /// would let it turn up anywhere.
    fn near(&self, cut: &Cut, but: &[usize]) -> Vec<usize> {
        let mut scores: BTreeMap<usize, f64> = BTreeMap::new();
        let words: BTreeSet<usize> = cut
            .seen
            .iter()
            .flat_map(|seen| match seen {
                Seen::Word(word) => vec![*word],
                Seen::Mark(_) => Vec::new(),
                Seen::Cue(_, _, words) => words.clone(),
            })
            .flatten()
            .collect();
        for word in words {
            for (fix, part) in &self.words.counts[word].own {
                let ratio = self.words.own_speaks(*part, word);
                if ratio > SPEAKS_FROM {
                    *scores.entry(*fix as usize).or_default() += ratio.ln();
                }
            }
        }
        let mut best: Vec<(usize, f64)> = scores
            .into_iter()
            .filter(|(fix, _)| !but.contains(fix))
            .collect();
        best.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        best.truncate(OUTSIDERS);
        best.into_iter().map(|(fix, _)| fix).collect()
    }

    /// The articles whose fixes a note's words speak for most.
    #[must_use]
    pub fn near_articles(&self, cut: &Cut) -> Vec<usize> {
        let near = self.near(cut, &[]);
        let offers = |fixes: &[usize]| near.iter().any(|fix| fixes.contains(fix));
        let articles = self.known.articles.iter().enumerate();
        articles
            .filter(|(_, article)| offers(&article.fixes))
            .map(|(number, _)| number)
            .collect()
    }
}

/// The mean place of the tokens that told of a candidate.
fn place(walked: &Walked, candidate: usize) -> f64 {
    let told = walked.told.iter().map(|told| told.fix[candidate]);
    let (sum, at) = told
        .enumerate()
        .fold((0.0, 0.0), |(sum, at), (place, told)| {
            (sum + told, at + told * place as f64)
        });
    if sum > 0.0 { at / sum } else { 0.0 }
}
