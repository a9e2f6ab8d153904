use super::choose::{LearnRow, newest, target, within};
use super::learn::{Learning, learn, own_texts};
use super::*;
use crate::articles::Catalog;
use crate::base::ids::ArticleId;
use crate::evidence::layout::Layout;
use crate::evidence::lbfgs::{self, Limits, Point, minimise};
use crate::evidence::letters::words as plain_words;
use crate::evidence::testing::article;
use std::collections::BTreeSet;

fn catalog() -> Catalog {
    let mut trips = article("trips", &["swap-lead", "reseal"]);
    trips.title = "Breaker trips when plugged in".to_owned();
    trips.symptoms = vec!["switches off in rain".to_owned()];
    let mut network = article("network", &["restart", "swap-lead"]);
    network.title = "No network".to_owned();
    let mut socket = article("socket", &["swap-socket"]);
    socket.title = "Socket does not lock".to_owned();
    Catalog::join([trips, network, socket])
}

/// Rows of the form article, fix (`-` for none of the listed, `!fix` for "not this"), words.
fn rows(layout: &Layout) -> Vec<LearnRow> {
    let made = [
        (
            "trips",
            "swap-lead",
            "breaker off as soon as the lead is in",
        ),
        ("trips", "swap-lead", "trips at once, lead looks burnt"),
        ("trips", "reseal", "off when it rains, water in the socket"),
        ("trips", "reseal", "wet, trips in the rain"),
        ("trips", "!swap-lead", "new lead and still off"),
        ("network", "restart", "offline, no signal on the app"),
        ("network", "restart", "app says offline since 3 days"),
        ("network", "swap-lead", "network lead torn off, offline"),
        ("network", "-", "mast down in the whole street"),
        ("network", "-", "mast down, street dark"),
        ("network", "!restart", "offline again and again"),
    ];
    let number = |id: &str| layout.article(&ArticleId::new(id)).unwrap();
    let fix =
        |article: &str, short: &str| layout.fix(&format!("{article}#{short}").as_str().into());
    // Three of each, as rarer words are dropped.
    let thrice = made.repeat(3);
    let made = thrice
        .into_iter()
        .enumerate()
        .map(|(at, (id, ended, text))| {
            let (ended, failed) = match ended.strip_prefix('!') {
                Some(short) => (None, fix(id, short).into_iter().collect()),
                None if ended == "-" => (Some(None), BTreeSet::new()),
                None => (Some(fix(id, ended)), BTreeSet::new()),
            };
            LearnRow {
                text: text.to_owned(),
                day: jiff::civil::Date::constant(2026, 3, 1)
                    .saturating_add(jiff::Span::new().days(i64::try_from(at).unwrap())),
                weight: 1.0 - 0.02 * at as f64,
                target: target(layout, number(id), ended, &failed),
                candidates: (0..layout.pairs.len()).collect(),
            }
        });
    made.collect()
}

fn exact() -> Settings {
    Settings {
        iterations: 2000,
        steepest: 1e-10,
        smallest: 0.0,
        grain: 0.0,
        ..Settings::default()
    }
}

fn learned(settings: &Settings) -> (Layout, Learning) {
    let catalog = catalog();
    let layout = Layout::new(&catalog);
    let own = own_texts(&catalog, &layout);
    let learning = learn(&layout, &own, &rows(&layout), settings);
    (layout, learning)
}

/// The same function written down the plain way, over all weights.
struct Plain {
    /// `x` of each row.
    x: Vec<Vec<f64>>,
    own: Vec<Vec<f64>>,
    pairs: Vec<(usize, usize)>,
    targets: Vec<(f64, Vec<usize>)>,
    articles: usize,
    columns: usize,
}

impl Plain {
    fn new(layout: &Layout, own: &[String], rows: &[LearnRow], known: &Vocabulary) -> Self {
        let vector = |text: &str| {
            let mut x = vec![0.0; known.grams.len()];
            for (gram, value) in known.vector(&plain_words(text).into_iter().collect()) {
                x[gram] = value;
            }
            x
        };
        let seen: BTreeSet<usize> = rows.iter().flat_map(|r| r.target.clone()).collect();
        let seen: Vec<usize> = seen.into_iter().collect();
        let articles = layout.articles.len();
        let columns_of = |pair: &usize| {
            let pair = layout.pairs[*pair];
            let kind = pair.kind.unwrap_or(layout.kinds.len());
            (pair.article, articles + kind)
        };
        let place = |pair: &usize| seen.binary_search(pair).unwrap();
        let places = |row: &LearnRow| row.target.iter().map(place).collect();
        Self {
            x: rows.iter().map(|row| vector(&row.text)).collect(),
            own: own.iter().map(|text| vector(text)).collect(),
            pairs: seen.iter().map(columns_of).collect(),
            targets: rows.iter().map(|r| (r.weight, places(r))).collect(),
            articles,
            columns: articles + layout.kinds.len() + 1,
        }
    }

    /// `weights` column by column: `u − u⁰` of articles, `v` of kinds.
    fn at(&self, weights: &[f64]) -> Point {
        let settings = Settings::default();
        let size = self.own[0].len();
        let column = |c: usize| &weights[c * size..(c + 1) * size];
        let share = |c: usize| {
            if c < self.articles {
                1.0
            } else {
                settings.kinds
            }
        };
        let mut gradient: Vec<f64> = Vec::with_capacity(weights.len());
        let mut value = 0.0;
        for c in 0..self.columns {
            value += settings.penalty / 2.0 / share(c) * lbfgs::dot(column(c), column(c));
            gradient.extend(column(c).iter().map(|w| settings.penalty / share(c) * w));
        }
        for (x, (weight, target)) in self.x.iter().zip(&self.targets) {
            let scores = self.pairs.iter().map(|(a, k)| {
                let own = settings.own * lbfgs::dot(x, &self.own[*a]);
                lbfgs::dot(x, column(*a)) + lbfgs::dot(x, column(*k)) + own
            });
            let scores: Vec<f64> = scores.collect();
            let sum: f64 = scores.iter().map(|s| s.exp()).sum();
            let left: f64 = target.iter().map(|t| scores[*t].exp()).sum();
            value -= weight * (left / sum).ln();
            for (pair, (a, k)) in self.pairs.iter().enumerate() {
                let r = if target.contains(&pair) {
                    scores[pair].exp() / left
                } else {
                    0.0
                };
                let slope = weight * (scores[pair].exp() / sum - r);
                for c in [*a, *k] {
                    for (g, x) in x.iter().enumerate() {
                        gradient[c * size + g] += slope * x;
                    }
                }
            }
        }
        Point::new(value, gradient)
    }
}

#[test]
fn few_numbers_find_the_minimum_of_all_weights() {
    let (layout, learning) = learned(&exact());
    let words = &learning.words;
    let own = own_texts(&catalog(), &layout);
    let plain = Plain::new(&layout, &own, &rows(&layout), &words.known);
    let size = words.known.grams.len();
    let zero = vec![0.0; plain.columns * size];
    assert!((plain.at(&zero).value - learning.start).abs() < 1e-10);
    let limits = Limits {
        memory: 10,
        iterations: 5000,
        steepest: 1e-10,
    };
    let found = minimise(|x| plain.at(x), lbfgs::dot, zero, &limits);
    assert!(
        (found.value - learning.value).abs() < 1e-9,
        "{} {}",
        found.value,
        learning.value
    );
    for text in ["trips in the rain", "app offline", "lead burnt", "zzz"] {
        let scores = words.score(text);
        let x = words.known.vector(&plain_words(text).into_iter().collect());
        let dot = |c: usize, own: f64| -> f64 {
            let weight = |g: usize| found.x[c * size + g];
            let own_of = |g: usize| plain.own.get(c).map_or(0.0, |own| own[g]);
            x.iter()
                .map(|(g, x)| x * (weight(*g) + own * own_of(*g)))
                .sum()
        };
        for (a, id) in layout.articles.iter().enumerate() {
            assert!(
                (scores.article(id) - dot(a, 10.0)).abs() < 1e-5,
                "{text} {id}"
            );
        }
        for (k, kind) in layout.kinds.iter().enumerate() {
            let c = layout.articles.len() + k;
            assert!(
                (scores.kind(kind) - dot(c, 0.0)).abs() < 1e-5,
                "{text} {kind}"
            );
        }
    }
}

#[test]
fn own_candidates_that_hold_everything_change_nothing() {
    let (_, all) = learned(&exact());
    let (_, own) = learned(&Settings {
        pairs: 0,
        ..exact()
    });
    assert!((all.value - own.value).abs() < 1e-9);
    for (a, b) in all.words.weights.iter().zip(&own.words.weights) {
        assert!((a - b).abs() < 1e-4, "{a} {b}");
    }
}

#[test]
fn callers_words_decide_between_articles_and_kinds() {
    let (layout, learning) = learned(&Settings::default());
    let words = &learning.words;
    let best = |text: &str| {
        let scores = words.score(text);
        let score = |pair: &usize| {
            let pair = layout.pairs[*pair];
            let kind = pair.kind.map_or(OTHER, |k| layout.kinds[k].as_str());
            scores.article(&layout.articles[pair.article]) + scores.kind(kind)
        };
        let best = (0..layout.pairs.len()).max_by(|a, b| score(a).total_cmp(&score(b)));
        let pair = layout.pairs[best.unwrap()];
        let kind = pair.kind.map_or(OTHER, |k| layout.kinds[k].as_str());
        format!("{} {kind}", layout.articles[pair.article])
    };
    for (text, expected) in [
        ("it rains and it trips", "trips reseal"),
        ("burnt LEADS, trips", "trips swap-lead"),
        ("OFF-LINE in the app", "network restart"),
        ("mast down", "network ~other"),
    ] {
        assert_eq!(best(text), expected, "{text}");
    }
    // Nothing was learned of `socket`, but it says something of itself.
    let scores = words.score("socket does not lock");
    assert!((scores.article(&"socket".into()) - 10.0).abs() < 0.2);
    assert!(scores.article(&"gone".into()).abs() + scores.kind("gone").abs() <= 0.0);
    let nothing = words.score("");
    assert!(nothing.article(&"trips".into()).abs() <= 0.0);
}

#[test]
fn words_explain_the_whole_score() {
    let (_, learning) = learned(&Settings::default());
    let words = &learning.words;
    let text = "Rain, rain: trips in the rain and the leads are wet";
    for (article, kind) in [("trips", "reseal"), ("network", OTHER), ("gone", "reseal")] {
        let by_word = words.by_word(text);
        let scores = words.score(text);
        let of_article = by_word.iter().map(|(_, s)| s.article(&article.into()));
        let sum: f64 = of_article.sum();
        assert!(
            (sum - scores.article(&article.into())).abs() < 1e-12,
            "{sum}"
        );
        let sum: f64 = by_word.iter().map(|(_, s)| s.kind(kind)).sum();
        assert!((sum - scores.kind(kind)).abs() < 1e-12, "{sum}");
        let said: Vec<&str> = by_word.iter().map(|(word, _)| word.as_str()).collect();
        let expected = ["and", "are", "in", "leads", "rain", "the", "trips", "wet"];
        assert_eq!(said, expected);
    }
    let by_word = words.by_word(text);
    let says = |scores: &Scores<'_>| scores.article(&"trips".into()) + scores.kind("reseal");
    let rain = says(&by_word[4].1);
    let louder = by_word.iter().filter(|(_, s)| says(s) > rain);
    assert!(louder.count() < 2, "{by_word:?}");
}

#[test]
fn threads_and_order_change_nothing() {
    let (layout, learning) = learned(&Settings::default());
    for threads in [1, 3] {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
        let again = pool.unwrap().install(|| learned(&Settings::default()).1);
        assert!(learning == again);
    }
    let own = own_texts(&catalog(), &layout);
    let mut turned = rows(&layout);
    turned.reverse();
    let again = learn(&layout, &own, &turned, &exact()).words;
    let exact = learned(&exact()).1.words;
    assert!(exact.known == again.known);
    let scores = (
        exact.score("rain on the lead"),
        again.score("rain on the lead"),
    );
    for id in &layout.articles {
        assert!((scores.0.article(id) - scores.1.article(id)).abs() < 1e-5);
    }
}

#[test]
fn learned_words_can_be_stored() {
    let (_, learning) = learned(&Settings::default());
    let words = learning.words;
    let bytes = postcard::to_stdvec(&words).unwrap();
    assert!(words == postcard::from_bytes(&bytes).unwrap());
    // JSON may read a number one digit off at its far end.
    let json = serde_json::to_string(&words).unwrap();
    let read: LearnedWords = serde_json::from_str(&json).unwrap();
    assert!(words.weights == read.weights && words.columns == read.columns);
    let text = "trips in the rain";
    let scores = (words.score(text), read.score(text));
    assert!((scores.0.article(&"trips".into()) - scores.1.article(&"trips".into())).abs() < 1e-12);
    assert_eq!(words.ends.len(), words.known.grams.len());
    assert!(words.known.grams.is_sorted());
}

#[test]
fn without_cases_articles_speak_for_themselves() {
    let catalog = catalog();
    let layout = Layout::new(&catalog);
    let words = learn(
        &layout,
        &own_texts(&catalog, &layout),
        &[],
        &Settings::default(),
    )
    .words;
    let scores = words.score("the breaker trips when plugged in");
    assert!(scores.article(&"trips".into()) > 5.0 && scores.article(&"network".into()) < 2.0);
    let nothing = learn(&Layout::default(), &[], &[], &Settings::default()).words;
    assert!(nothing.score("anything").kind(OTHER).abs() <= 0.0);
}

#[test]
fn cases_leave_the_pairs_that_did_not_fail() {
    let layout = Layout::new(&catalog());
    let trips = layout.article(&"trips".into()).unwrap();
    let pairs = layout.pairs_of[trips].clone();
    let lead = layout.pairs[pairs.start].fix;
    let failed: BTreeSet<usize> = lead.into_iter().collect();
    for (ended, failed, expected) in [
        (Some(lead), &BTreeSet::new(), vec![pairs.start]),
        (Some(None), &BTreeSet::new(), vec![pairs.end - 1]),
        (None, &failed, vec![pairs.start + 1, pairs.start + 2]),
        (None, &BTreeSet::new(), pairs.collect()),
    ] {
        assert_eq!(target(&layout, trips, ended, failed), expected);
    }
    assert!(target(&layout, 99, None, &failed).is_empty());
}

#[test]
fn the_newest_of_every_article_are_read_first() {
    let rows = [
        (0, 0.5, 10),
        (0, 1.0, 10),
        (0, 1.0, 10),
        (1, 0.1, 10),
        (0, 0.9, 10),
    ];
    for (most, letters, expected) in [
        (9, 99, vec![0, 1, 2, 3, 4]),
        (2, 99, vec![2, 3]),
        (3, 99, vec![1, 2, 3]),
        (9, 45, vec![1, 2, 3, 4]),
        (9, 5, vec![]),
    ] {
        assert_eq!(within(&rows, most, letters), expected, "{most} {letters}");
    }
    assert_eq!(newest([(0, 1.0, "some words"), (0, 1.0, "")]), [0, 1]);
}
