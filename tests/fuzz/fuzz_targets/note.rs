//! Any note is read: chances between 0 and 1, no fix that the article does not know, the same twice.
#![no_main]

use fixtally::base::text::Analyzer;
use fixtally::notes::known::{Known, KnownArticle, KnownFix};
use fixtally::notes::{Example, Reader, learn, told};
use fixtally::tickets::{Outcome, TryResult};
use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;

static TAUGHT: LazyLock<(Analyzer, Reader)> = LazyLock::new(|| {
    let analyzer = Analyzer::default();
    let fix = |id: &str, title: &str, kind: &str| KnownFix {
        id: id.into(),
        title: title.to_owned(),
        kind: kind.to_owned(),
        steps: Vec::new(),
    };
    let known = Known {
        articles: vec![KnownArticle {
            id: "trips".into(),
            fixes: vec![0, 1],
            checks: vec!["Is there water in the plug? yes no".to_owned()],
            symptoms: vec!["breaker trips".to_owned()],
            done: vec!["the car charges".to_owned()],
        }],
        fixes: vec![
            fix("trips#reseal", "Dry and reseal the gland", "reseal"),
            fix("trips#swap-lead", "Try another lead", "swap"),
        ],
    };
    let example = |notes: &str, tries: &[(usize, TryResult)]| Example {
        article: 0,
        notes: notes.to_owned(),
        tries: tries.iter().map(|(fix, result)| (Some(*fix), *result)).collect(),
    };
    let examples = [
        example("lead swapped, no change", &[(1, TryResult::NoChange)]),
        example("gland dried and sealed: ok", &[(0, TryResult::Resolved)]),
    ];
    let reader = learn(&known, &analyzer, &examples, &["trips in rain"]);
    (analyzer, reader)
});

fuzz_target!(|bytes: &[u8]| {
    let (analyzer, reader) = &*TAUGHT;
    let text = String::from_utf8_lossy(bytes);
    let cut = reader.cut(&text, analyzer);
    for outcome in [Some(Outcome::Resolved), Some(Outcome::HandedOn), None] {
        for article in [Some(0), None] {
            let weighed = reader.weigh(&cut, article, outcome);
            assert!(weighed.log.is_finite());
            for (fix, _, chance) in told(&weighed.found, outcome) {
                assert!((0.0..=1.0).contains(&chance), "{chance}");
                assert!(fix.is_none_or(|fix| fix < 2));
            }
            assert_eq!(reader.weigh(&cut, article, outcome), weighed);
        }
    }
});
