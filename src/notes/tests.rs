//! What the reader does with notes, and that its sums are right.

use super::known::{Known, KnownArticle, KnownFix};
use super::tokens::Gap;
use super::walk::{Moves, Plan, back_to_fix, walk};
use super::words::Row;
use super::{Example, Reader, Weighed, learn, told};
use crate::base::ids::{ArticleId, FixId};
use crate::base::text::Analyzer;
use crate::tickets::{Outcome, TryResult};

fn known() -> Known {
    let fix = |id: &str, title: &str, kind: &str, step: &str| KnownFix {
        id: FixId::new(id),
        title: title.to_owned(),
        kind: kind.to_owned(),
        steps: vec![step.to_owned()],
    };
    Known {
        articles: vec![
            KnownArticle {
                id: ArticleId::new("offline"),
                fixes: vec![0, 1],
                checks: vec!["Is the link lamp green? yes no".to_owned()],
                symptoms: Vec::new(),
                done: Vec::new(),
            },
            KnownArticle {
                id: ArticleId::new("trips"),
                fixes: vec![2, 3, 4],
                checks: vec!["Does it also trip with nothing plugged in? yes no".to_owned()],
                symptoms: Vec::new(),
                done: Vec::new(),
            },
        ],
        fixes: vec![
            fix(
                "offline#restart",
                "Restart the controller",
                "restart",
                "Press the restart key.",
            ),
            fix(
                "offline#swap-cord",
                "Swap the network cord",
                "swap",
                "Use a cord that works.",
            ),
            fix(
                "trips#replace-rcd",
                "Replace the RCD",
                "replace",
                "Fit one of type B.",
            ),
            fix(
                "trips#reseal",
                "Dry and reseal the gland",
                "reseal",
                "Fit a new seal.",
            ),
            fix(
                "trips#swap-lead",
                "Swap the charging lead",
                "swap",
                "Lend another lead.",
            ),
        ],
    }
}

fn example(notes: &str, tries: &[(usize, TryResult)]) -> Example {
    Example {
        article: 1,
        notes: notes.to_owned(),
        tries: tries
            .iter()
            .map(|(fix, result)| (Some(*fix), *result))
            .collect(),
    }
}

fn unlearned() -> Reader {
    learn(&known(), &Analyzer::default(), &[], &[])
}

fn weigh(reader: &Reader, notes: &str, outcome: Option<Outcome>) -> Weighed {
    let cut = reader.cut(notes, &Analyzer::default());
    reader.weigh(&cut, Some(1), outcome)
}

/// "reseal+ swap-lead-", sure tries alone, in the order they are told.
fn read(reader: &Reader, notes: &str, outcome: Option<Outcome>) -> String {
    let found = weigh(reader, notes, outcome).found;
    let sure = told(&found, outcome)
        .into_iter()
        .filter(|(_, _, chance)| *chance >= super::TRY_BAR);
    let shown = sure.map(|(fix, result, _)| {
        let name = fix.map_or("other", |fix| reader.known.fixes[fix].id.short());
        let sign = match result {
            TryResult::Resolved => '+',
            TryResult::NoChange => '-',
            TryResult::NotPossible => '/',
        };
        format!("{name}{sign}")
    });
    shown.collect::<Vec<_>>().join(" ")
}

#[test]
fn without_a_single_example_the_articles_own_words_and_the_lexicon_tell() {
    let reader = unlearned();
    let resolved = Some(Outcome::Resolved);
    for (notes, outcome, tries) in [
        (
            "swapped the charging lead, no joy; resealed gland and all good",
            resolved,
            "swap-lead- reseal+",
        ),
        (
            "Charging lead swapped: no change. Gland dried and resealed, works again.",
            resolved,
            "swap-lead- reseal+",
        ),
        (
            "charging lead swapped, no change",
            Some(Outcome::HandedOn),
            "swap-lead-",
        ),
        ("gland resealed", resolved, "reseal+"),
        (
            "gland resealed, keine Änderung. RCD replaced, läuft wieder",
            resolved,
            "reseal- replace-rcd+",
        ),
        (
            "swapped charging lead, sin cambio; dried gland, resealed y listo",
            resolved,
            "swap-lead- reseal+",
        ),
        ("caller will ring again", Some(Outcome::Dropped), ""),
        // What was not done, and what nobody asked for.
        (
            "new RCD of type B could not be fitted, no access",
            Some(Outcome::HandedOn),
            "replace-rcd/",
        ),
        (
            "RCD not replaced. Charging lead swapped: no.",
            Some(Outcome::HandedOn),
            "swap-lead-",
        ),
        (
            "No new charging lead needed. Gland dried and resealed, holds since.",
            resolved,
            "reseal+",
        ),
        // One word between two marks answers.
        (
            "Charging lead swapped / dead / gland resealed / yes!",
            resolved,
            "swap-lead- reseal+",
        ),
        // A question that nobody answered.
        (
            "Charging lead swapped, no change. Replace the RCD??",
            Some(Outcome::HandedOn),
            "swap-lead-",
        ),
        ("", resolved, ""),
    ] {
        assert_eq!(read(&reader, notes, outcome), tries, "{notes}");
    }
}

#[test]
fn a_desks_own_words_are_learned_from_its_recorded_tries() {
    let (fixed, same) = (TryResult::Resolved, TryResult::NoChange);
    let mut examples = Vec::new();
    for _ in 0..12 {
        examples.push(example(
            "did the wellie thing, zonk. then goo job, tiptop",
            &[(4, same), (3, fixed)],
        ));
        examples.push(example("wellie thing, tiptop", &[(4, fixed)]));
        examples.push(example("goo job, zonk", &[(3, same)]));
    }
    let reader = learn(&known(), &Analyzer::default(), &examples, &[]);
    let notes = "goo job, zonk. did the wellie thing, tiptop";
    assert_eq!(read(&unlearned(), notes, None), "");
    let found = read(&reader, notes, Some(Outcome::Resolved));
    assert!(found.ends_with("swap-lead+"), "{found}");
}

#[test]
fn the_same_examples_give_the_same_reader_which_comes_back_from_bytes() {
    let examples = vec![
        example(
            "lead swapped n/c, gland done ok",
            &[(4, TryResult::NoChange), (3, TryResult::Resolved)],
        ),
        example("gland ok", &[(3, TryResult::Resolved)]),
        Example {
            article: 0,
            notes: "kicked it".to_owned(),
            tries: vec![(None, TryResult::Resolved)],
        },
    ];
    let teach = || learn(&known(), &Analyzer::default(), &examples, &["cord swapped"]);
    let (one, two) = (teach(), teach());
    assert_eq!(
        postcard::to_stdvec(&one).unwrap(),
        postcard::to_stdvec(&two).unwrap()
    );
    let back: Reader = postcard::from_bytes(&postcard::to_stdvec(&one).unwrap()).unwrap();
    let notes = "lead swaped n/c, gland done ok";
    assert_eq!(weigh(&one, notes, None), weigh(&back, notes, None));
}

/// No ticket holds "purple": that it comes again after each work says that it stayed so.
#[test]
fn a_state_told_again_after_each_work_is_no_change() {
    let reader = unlearned();
    let chance = |notes: &str| {
        let weighed = weigh(&reader, notes, Some(Outcome::HandedOn));
        let lead = weighed.found.iter().find(|f| f.fix == Some(4));
        lead.map_or(0.0, |found| found.results[TryResult::NoChange as usize])
    };
    let again = chance("swapped the charging lead: purple. resealed the gland: purple.");
    let once = chance("swapped the charging lead: purple. resealed the gland: striped.");
    assert!(again > once, "{again} {once}");
}

/// Which of two fixes resolved it may stay open: both count where the note tells them apart, and neither
/// where it does not.
#[test]
fn of_two_fixes_that_may_have_resolved_a_ticket_both_count_or_neither() {
    let found = |fix, resolved, place| super::Found {
        fix: Some(fix),
        results: [resolved, 0.05, 0.02],
        place,
    };
    for (first, counts) in [(0.48, true), (0.41, false)] {
        let read = told(
            &[found(0, first, 7.0), found(1, 0.40, 2.0)],
            Some(Outcome::Resolved),
        );
        let shown: Vec<_> = read
            .iter()
            .map(|(fix, result, _)| (*fix, *result))
            .collect();
        // As they are told.
        let resolved = TryResult::Resolved;
        assert_eq!(shown, [(Some(1), resolved), (Some(0), resolved)]);
        let all = read.iter().map(|(_, _, chance)| *chance >= super::TRY_BAR);
        assert_eq!(all.collect::<Vec<_>>(), [counts, counts], "{first}");
    }
}

#[test]
fn a_note_is_likelier_in_tickets_of_its_own_article() {
    let reader = unlearned();
    let cut = reader.cut(
        "swapped the network cord, restarted the controller, ok",
        &Analyzer::default(),
    );
    let log = |article| reader.weigh(&cut, article, Some(Outcome::Resolved)).log;
    assert!(
        log(Some(0)) > log(Some(1)) + 1.0,
        "{} {}",
        log(Some(0)),
        log(Some(1))
    );
    assert!(log(Some(0)) > log(None));
    assert_eq!(reader.near_articles(&cut).first(), Some(&0));
}

/// All walks one by one: their summed weight and the expected visits.
struct Plain<'a> {
    rows: &'a [Row],
    plan: &'a Plan<'a>,
    total: f64,
    visits: Vec<[f64; 4]>,
}

impl Plain<'_> {
    fn gap(&self, at: usize) -> usize {
        at.checked_sub(1)
            .map_or(Gap::Ends as usize, |at| self.rows[at].gap as usize)
    }

    fn at_hub(&mut self, at: usize, weight: f64, flag: usize, seen: &[(usize, usize)]) {
        let (row, plan) = (&self.rows[at], self.plan);
        let stay = plan.moves.stay[self.gap(at)];
        self.go(at, weight * stay * row.background, flag, None, seen);
        for (k, enter) in plan.enter.iter().enumerate() {
            for (r, into) in enter.iter().enumerate() {
                let (to, price) = match (r, flag) {
                    (0, 1) if k < plan.fixes => (1, 0.05),
                    (0, _) if plan.end.is_some() && k < plan.fixes => (1, 1.0),
                    (1 | 2, 1) if k < plan.fixes => (1, 0.6),
                    _ => (flag, 1.0),
                };
                let weight = weight * (1.0 - stay) * into * price;
                let seen = [seen, &[(k, r)]].concat();
                let fix = weight * (1.0 - plan.before[r]) * row.fix[k];
                self.go(at, fix, to, Some((k, r, 0)), &seen);
                let before = weight * plan.before[r] * row.before[r];
                self.go(at, before, to, Some((k, r, 1)), &seen);
            }
        }
    }

    fn go(
        &mut self,
        at: usize,
        weight: f64,
        flag: usize,
        place: Option<(usize, usize, usize)>,
        seen: &[(usize, usize)],
    ) {
        if weight == 0.0 {
            return;
        }
        let at = at + 1;
        if at == self.rows.len() {
            let no_end = place.is_some_and(|(_, _, part)| part == 1);
            let end = self.plan.end.unwrap_or([1.0, 0.0])[flag];
            let weight = if no_end { 0.0 } else { weight * end };
            self.total += weight;
            for (k, r) in seen {
                self.visits[*k][*r] += weight;
            }
            return;
        }
        let Some((k, r, part)) = place else {
            return self.at_hub(at, weight, flag, seen);
        };
        let within = self.plan.moves.within[self.gap(at)];
        let within = if r < 2 { within } else { back_to_fix(within) }[part];
        let row = &self.rows[at];
        for (to, emits) in [row.fix[k], row.before[r], row.result[r], row.provisional[r]]
            .into_iter()
            .enumerate()
        {
            self.go(
                at,
                weight * within[to] * emits,
                flag,
                Some((k, r, to)),
                seen,
            );
        }
        self.at_hub(at, weight * within[4], flag, seen);
    }
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(24))]

    #[test]
    fn the_sums_are_those_over_all_walks(
        numbers in proptest::collection::vec(0.05_f64..2.0, 60),
        before in proptest::array::uniform4(0.0_f64..1.0),
        watched in proptest::bool::ANY,
        fixes in 0_usize..=2,
    ) {
        let mut next = numbers.iter().copied().cycle();
        let mut four = || [(); 4].map(|()| next.next().unwrap());
        let gaps = [Gap::Nothing, Gap::Points, Gap::Joins];
        let rows: Vec<Row> = gaps
            .map(|gap| Row { gap, fix: four()[..2].to_vec(), before: four(), result: four(), provisional: four(), background: four()[0] })
            .to_vec();
        let enter = [four().map(|n| n / 16.0), four().map(|n| n / 16.0)];
        let moves = Moves::default();
        let plan = Plan { enter: &enter, fixes, before, end: watched.then_some([0.2, 0.8]), moves: &moves };
        let walked = walk(&rows, &plan).unwrap();
        let mut plain = Plain { rows: &rows, plan: &plan, total: 0.0, visits: vec![[0.0; 4]; 2] };
        plain.at_hub(0, 1.0, 0, &[]);
        assert!((walked.log - plain.total.ln()).abs() < 1e-9, "{} {}", walked.log, plain.total.ln());
        for (sum, one) in walked.visits.iter().flatten().zip(plain.visits.iter().flatten()) {
            assert!((sum - one / plain.total).abs() < 1e-9, "{sum} {}", one / plain.total);
        }
        // Each token is told of by something.
        for told in &walked.told {
            let all: f64 = told.fix.iter().chain(&told.before).chain(&told.result).chain(&told.provisional).sum();
            assert!((all + told.background - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn any_note_gives_chances(notes in "(\\PC|lead|swap|gland|no change|ok| |\n){0,120}") {
        let reader = unlearned();
        for outcome in [None, Some(Outcome::Resolved), Some(Outcome::Dropped)] {
            let weighed = weigh(&reader, &notes, outcome);
            assert!(weighed.log.is_finite());
            for found in &weighed.found {
                assert!(found.results.iter().all(|chance| (0.0..=1.0).contains(chance)));
                assert!(found.tried() <= 1.0);
            }
        }
    }
}
