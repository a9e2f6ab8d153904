//! How well a text answers a question: BM25.
//!
//! `Σ_t w_t · ln(1 + (N − df + ½)/(df + ½)) · tf·(k1 + 1) / (tf + k1·(1 − b + b·len/avg))`, after
//! Robertson & Zaragoza (2009), "The Probabilistic Relevance Framework", Foundations and Trends in
//! Information Retrieval 3(4), §3; the logarithm with `1 +` is Lucene's, so that a term in more
//! than half of the texts never counts against one. Computed in f64 from exact lengths: the terminal,
//! the page and the offline file must agree to the ninth decimal.

/// The two free constants of BM25.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Constants {
    /// How soon a repeated word stops counting.
    pub k1: f64,
    /// How much length is held against a text, from 0 to 1.
    pub b: f64,
}

impl Constants {
    /// For articles and fixes: the usual values.
    pub const OWN: Self = Self { k1: 1.2, b: 0.75 };
    /// For class documents, which join many callers' words: repetition means more, length less.
    pub const CALLERS: Self = Self { k1: 4.0, b: 0.5 };
}

/// A collection's size.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Size {
    /// Number of texts, empty ones included.
    pub texts: u64,
    /// Number of terms over all texts.
    pub terms: u64,
}

/// The counts of some terms in some texts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Counts {
    /// The collection's size.
    pub size: Size,
    /// For each term, in how many texts it stands.
    pub df: Vec<u64>,
    /// For each text asked about, its number of terms.
    pub len: Vec<u64>,
    /// For each term, how often it stands in each text asked about.
    pub tf: Vec<Vec<u32>>,
}

/// The weight of a term by its rarity.
#[must_use]
#[allow(clippy::cast_precision_loss, reason = "counts stay far below 2^52")]
pub fn idf(texts: u64, df: u64) -> f64 {
    let (n, df) = (texts as f64, df as f64);
    (1.0 + (n - df + 0.5) / (df + 0.5)).ln()
}

/// The share of a term in the score of one text in which it stands `tf` times, where its rarity is known:
/// see [`idf`].
#[must_use]
#[allow(clippy::cast_precision_loss, reason = "counts stay far below 2^52")]
pub fn of_rarity(idf: f64, size: Size, tf: u32, len: u64, constants: Constants) -> f64 {
    let average = size.terms as f64 / size.texts as f64;
    let Constants { k1, b } = constants;
    let tf = f64::from(tf);
    idf * tf * (k1 + 1.0) / (tf + k1 * (1.0 - b + b * len as f64 / average))
}

/// The score of each text asked about; `weights` are the terms' own.
#[must_use]
pub fn scores(counts: &Counts, weights: &[f64], constants: Constants) -> Vec<f64> {
    let mut scores = vec![0.0; counts.len.len()];
    if counts.size.texts == 0 {
        return scores;
    }
    for (t, weight) in weights.iter().enumerate() {
        let idf = idf(counts.size.texts, counts.df[t]);
        let texts = counts.tf[t].iter().zip(&counts.len);
        for (score, (tf, len)) in scores.iter_mut().zip(texts) {
            if *tf > 0 {
                *score += weight * of_rarity(idf, counts.size, *tf, *len, constants);
            }
        }
    }
    scores
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXTS: [&str; 5] = [
        "printer offline restart spooler",
        "printer paper jam clear tray printer",
        "vpn timeout renew certificate",
        "mailbox quota archive old mail",
        "printer driver crash reinstall driver restart host",
    ];

    fn counts(terms: &[&str]) -> Counts {
        let split: Vec<Vec<&str>> = TEXTS.iter().map(|t| t.split(' ').collect()).collect();
        let tf = |term: &str, text: &[&str]| {
            u32::try_from(text.iter().filter(|w| **w == term).count()).unwrap()
        };
        Counts {
            size: Size {
                texts: 5,
                terms: 26,
            },
            df: terms
                .iter()
                .map(|t| split.iter().filter(|x| tf(t, x) > 0).count() as u64)
                .collect(),
            len: split.iter().map(|t| t.len() as u64).collect(),
            tf: terms
                .iter()
                .map(|t| split.iter().map(|x| tf(t, x)).collect())
                .collect(),
        }
    }

    /// Invented input; computed with bm25s 0.3.16, `BM25(method='lucene', k1=1.2, b=0.75)`, times
    /// `k1 + 1` (that library leaves this constant factor out).
    #[test]
    fn scores_equal_those_of_the_reference_library() {
        for (question, expected) in [
            (
                "printer",
                [0.270_538_784, 0.322_901_129, 0.0, 0.0, 0.214_608_101],
            ),
            (
                "printer restart",
                [0.709_963_247, 0.322_901_129, 0.0, 0.0, 0.563_186_772],
            ),
            ("driver", [0.0, 0.0, 0.0, 0.0, 0.789_565_244]),
            (
                "vpn certificate quota",
                [0.0, 0.0, 1.391_646_849, 0.640_206_987, 0.0],
            ),
        ] {
            let terms: Vec<&str> = question.split(' ').collect();
            let got = scores(&counts(&terms), &vec![1.0; terms.len()], Constants::OWN);
            for (got, expected) in got.iter().zip(expected) {
                assert!(
                    (got / 2.2 - expected).abs() < 1e-8,
                    "{question}: {got} {expected}"
                );
            }
        }
    }

    #[test]
    fn an_empty_collection_scores_nothing() {
        let counts = Counts {
            df: vec![0],
            len: vec![0],
            tf: vec![vec![0]],
            ..Counts::default()
        };
        let scores = scores(&counts, &[1.0], Constants::OWN);
        assert!(scores.len() == 1 && scores[0].abs() < f64::EPSILON);
    }
}
