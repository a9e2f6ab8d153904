//! Sums over the runs of many texts at once.
//!
//! With `x_ig = r_i·√idf(g)` for the runs `g` of text `i` and 0 elsewhere, `X Xᵀ` times a column of
//! numbers needs only `r_i`, `idf` and which runs each text has: spread `r_i·b_i` over the runs of
//! every text, multiply by `idf`, sum over the runs of every text. Up to [`WIDTH`] columns over the
//! same texts go together.
//!
//! Every sum runs in the order of the texts, so its result does not depend on threads.

use std::array::from_fn;

/// Columns that go together.
pub(super) const WIDTH: usize = 4;

/// The runs of all texts, one after the other.
#[derive(Clone, Debug, Default)]
pub(super) struct Texts {
    /// Where the runs of each text end.
    pub(super) ends: Vec<usize>,
    /// Numbers of runs, ascending within a text.
    pub(super) grams: Vec<u32>,
    /// `r_i`.
    pub(super) scale: Vec<f64>,
    /// `idf` of each run.
    pub(super) idf: Vec<f64>,
}

impl Texts {
    pub(super) fn len(&self) -> usize {
        self.ends.len()
    }

    /// How many runs each text has.
    pub(super) fn sizes(&self) -> impl Iterator<Item = usize> {
        (0..self.len()).map(|text| self.grams_of(text).len())
    }

    /// `1/√Σ idf` over these runs; 0 where there are none.
    pub(super) fn scale_of(&self, grams: &[u32]) -> f64 {
        let sum: f64 = grams.iter().map(|g| self.idf[*g as usize]).sum();
        if sum > 0.0 { sum.sqrt().recip() } else { 0.0 }
    }

    fn grams_of(&self, text: usize) -> &[u32] {
        let from = text.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.grams[from..self.ends[text]]
    }
}

/// Which texts a column is about.
#[derive(Clone, Debug)]
pub(super) enum Which {
    /// All of them.
    All,
    /// These, ascending.
    Some(Vec<u32>),
}

impl Which {
    pub(super) fn of(&self, all: usize) -> usize {
        match self {
            Self::All => all,
            Self::Some(texts) => texts.len(),
        }
    }

    fn text(&self, place: usize) -> usize {
        match self {
            Self::All => place,
            Self::Some(texts) => texts[place] as usize,
        }
    }
}

/// Adds `r_i·b_i` to every run of every text. `values` holds `W` columns text by text.
pub(super) fn spread<const W: usize>(
    texts: &Texts,
    which: &Which,
    values: &[f64],
    sums: &mut [[f64; W]],
) {
    for (place, values) in values.chunks_exact(W).enumerate() {
        let text = which.text(place);
        let add: [f64; W] = from_fn(|c| values[c] * texts.scale[text]);
        for gram in texts.grams_of(text) {
            let sum = &mut sums[*gram as usize];
            for c in 0..W {
                sum[c] += add[c];
            }
        }
    }
}

/// `r_i` times the sum over the runs of every text of `times(g)·sums[g]`, in the layout of
/// [`spread`].
pub(super) fn collect<const W: usize>(
    texts: &Texts,
    which: &Which,
    sums: &[[f64; W]],
    times: impl Fn(usize) -> f64,
) -> Vec<f64> {
    let count = which.of(texts.len());
    let mut out = Vec::with_capacity(count * W);
    for text in (0..count).map(|place| which.text(place)) {
        let mut total = [0.0; W];
        for gram in texts.grams_of(text) {
            let gram = *gram as usize;
            let times = times(gram);
            for c in 0..W {
                total[c] += times * sums[gram][c];
            }
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
    sums: &mut [[f64; W]],
) -> (Vec<f64>, f64) {
    spread(texts, which, values, sums);
    let mut steepest: f64 = 0.0;
    let mut note = |gram: usize, sum: &[f64; W]| {
        let most = sum.iter().fold(0.0, |most: f64, s| most.max(s.abs()));
        steepest = steepest.max(most * texts.idf[gram].sqrt());
    };
    let touched: Option<&[u32]> = match which {
        Which::Some(list) if list.len() * 50 < sums.len() => Some(list),
        _ => None,
    };
    let result = if let Some(list) = touched {
        // Few texts: touch only their runs.
        for text in list {
            for gram in texts.grams_of(*text as usize) {
                note(*gram as usize, &sums[*gram as usize]);
            }
        }
        let result = collect(texts, which, sums, |gram| texts.idf[gram]);
        for text in list {
            for gram in texts.grams_of(*text as usize) {
                sums[*gram as usize] = [0.0; W];
            }
        }
        result
    } else {
        for (gram, sum) in sums.iter_mut().enumerate() {
            note(gram, sum);
            sum.iter_mut().for_each(|s| *s *= texts.idf[gram]);
        }
        let result = collect(texts, which, sums, |_| 1.0);
        sums.fill([0.0; W]);
        result
    };
    (result, steepest)
}
