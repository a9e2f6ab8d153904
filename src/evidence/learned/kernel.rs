//! Sums over the runs of many texts at once.
//!
//! With `x_ig = r_i·c_ig·√idf(g)`, where `c_ig` words of text `i` have the run `g`, `X Xᵀ` times a
//! column of numbers needs only `r_i`, `idf`, which words each text has and which runs each word
//! has: spread `r_i·b_i` over the words of every text and from them over their runs, multiply by
//! `idf`, and sum back over the runs of every word and the words of every text. A run that many
//! texts share through the same words is visited once for each word, not for each text. Up to
//! [`WIDTH`] columns over the same texts go together.
//!
//! Every sum runs in the order of the texts and words, so its result does not depend on threads.

use std::array::from_fn;

/// Columns that go together.
pub(super) const WIDTH: usize = 4;

/// The words of all texts and the runs of all words, one after the other.
#[derive(Clone, Debug, Default)]
pub(super) struct Texts {
    /// Where the words of each text end.
    pub(super) ends: Vec<usize>,
    /// Numbers of words, ascending within a text, each once.
    pub(super) words: Vec<u32>,
    /// Where the runs of each word end.
    pub(super) word_ends: Vec<usize>,
    /// Numbers of runs, ascending within a word, each once.
    pub(super) runs: Vec<u32>,
    /// `r_i`.
    pub(super) scale: Vec<f64>,
    /// `idf` of each run.
    pub(super) idf: Vec<f64>,
}

/// A run and how many words of a text have it.
pub(super) type Counted = (u32, f64);

/// The runs of several words with the number of words that have them, ascending.
pub(super) fn counted(runs: impl IntoIterator<Item = u32>) -> Vec<Counted> {
    let mut runs: Vec<u32> = runs.into_iter().collect();
    runs.sort_unstable();
    let same = runs.chunk_by(|a, b| a == b);
    same.map(|same| (same[0], same.len() as f64)).collect()
}

impl Texts {
    pub(super) fn len(&self) -> usize {
        self.ends.len()
    }

    /// How many words are known.
    pub(super) fn vocabulary(&self) -> usize {
        self.word_ends.len()
    }

    /// `1/√Σ c²·idf` over these runs; 0 where there are none.
    pub(super) fn scale_of(&self, runs: &[Counted]) -> f64 {
        let part = |(run, count): &Counted| count * count * self.idf[*run as usize];
        let sum: f64 = runs.iter().map(part).sum();
        if sum > 0.0 { sum.sqrt().recip() } else { 0.0 }
    }

    pub(super) fn words_of(&self, text: usize) -> &[u32] {
        let from = text.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.words[from..self.ends[text]]
    }

    pub(super) fn runs_of(&self, word: usize) -> &[u32] {
        let from = word
            .checked_sub(1)
            .map_or(0, |before| self.word_ends[before]);
        &self.runs[from..self.word_ends[word]]
    }
}

/// Which texts a column is about.
#[derive(Clone, Debug)]
pub(super) enum Which {
    /// All of them.
    All,
    /// These, ascending, and the words they have, ascending.
    Some {
        /// The texts.
        texts: Vec<u32>,
        /// Their words.
        words: Vec<u32>,
    },
}

impl Which {
    pub(super) fn of(&self, all: usize) -> usize {
        match self {
            Self::All => all,
            Self::Some { texts, .. } => texts.len(),
        }
    }

    fn text(&self, place: usize) -> usize {
        match self {
            Self::All => place,
            Self::Some { texts, .. } => texts[place] as usize,
        }
    }

    /// Calls for each word of these texts, ascending.
    pub(super) fn each_word(&self, texts: &Texts, mut visit: impl FnMut(usize)) {
        match self {
            Self::All => (0..texts.vocabulary()).for_each(visit),
            Self::Some { words, .. } => words.iter().for_each(|word| visit(*word as usize)),
        }
    }
}

/// What words and runs sum up in; all 0 between uses.
pub(super) struct Sums<const W: usize> {
    pub(super) words: Vec<[f64; W]>,
    pub(super) runs: Vec<[f64; W]>,
}

impl<const W: usize> Sums<W> {
    pub(super) fn new(texts: &Texts) -> Self {
        Self {
            words: vec![[0.0; W]; texts.vocabulary()],
            runs: vec![[0.0; W]; texts.idf.len()],
        }
    }

    fn clear(&mut self, texts: &Texts, which: &Which) {
        which.each_word(texts, |word| {
            self.words[word] = [0.0; W];
            for run in texts.runs_of(word) {
                self.runs[*run as usize] = [0.0; W];
            }
        });
    }
}

fn add<const W: usize>(to: &mut [f64; W], what: &[f64; W]) {
    for c in 0..W {
        to[c] += what[c];
    }
}

/// Adds `r_i·b_i` to every run of every word of every text. `values` holds `W` columns text by
/// text.
pub(super) fn spread<const W: usize>(
    texts: &Texts,
    which: &Which,
    values: &[f64],
    sums: &mut Sums<W>,
) {
    for (place, values) in values.chunks_exact(W).enumerate() {
        let text = which.text(place);
        let share: [f64; W] = from_fn(|c| values[c] * texts.scale[text]);
        for word in texts.words_of(text) {
            add(&mut sums.words[*word as usize], &share);
        }
    }
    which.each_word(texts, |word| {
        let share = sums.words[word];
        for run in texts.runs_of(word) {
            add(&mut sums.runs[*run as usize], &share);
        }
    });
}

/// `r_i` times the sum over the runs of every word of every text of `idf(g)·sums(g)`, in the layout
/// of [`spread`]. The sums of the words are lost.
pub(super) fn collect<const W: usize>(
    texts: &Texts,
    which: &Which,
    sums: &mut Sums<W>,
) -> Vec<f64> {
    which.each_word(texts, |word| {
        let mut total = [0.0; W];
        for run in texts.runs_of(word) {
            let run = *run as usize;
            add(&mut total, &sums.runs[run].map(|s| texts.idf[run] * s));
        }
        sums.words[word] = total;
    });
    let count = which.of(texts.len());
    let mut out = Vec::with_capacity(count * W);
    for text in (0..count).map(|place| which.text(place)) {
        let mut total = [0.0; W];
        for word in texts.words_of(text) {
            add(&mut total, &sums.words[*word as usize]);
        }
        out.extend(total.map(|t| t * texts.scale[text]));
    }
    out
}

/// `X Xᵀ values`, and the largest `|Xᵀ values|`. `sums` must be all 0 and is left so.
pub(super) fn multiply<const W: usize>(
    texts: &Texts,
    which: &Which,
    values: &[f64],
    sums: &mut Sums<W>,
) -> (Vec<f64>, f64) {
    spread(texts, which, values, sums);
    let mut steepest: f64 = 0.0;
    let mut note = |run: usize, sum: &[f64; W]| {
        let most = sum.iter().fold(0.0, |most: f64, s| most.max(s.abs()));
        steepest = steepest.max(most * texts.idf[run].sqrt());
    };
    match which {
        Which::All => (0..).zip(&sums.runs).for_each(|(run, sum)| note(run, sum)),
        Which::Some { .. } => which.each_word(texts, |word| {
            for run in texts.runs_of(word) {
                note(*run as usize, &sums.runs[*run as usize]);
            }
        }),
    }
    let result = collect(texts, which, sums);
    sums.clear(texts, which);
    (result, steepest)
}
