//! Articles that no case of the last twelve months has.

use super::{Advice, At, Ground};
use crate::base::ids::ArticleId;
use std::collections::BTreeSet;

pub(super) fn advice(ground: &Ground<'_>) -> Vec<Advice> {
    let reached: BTreeSet<&ArticleId> = ground
        .lately()
        .filter_map(|(case, _)| case.article.as_ref())
        .collect();
    let unreached = ground
        .articles()
        .filter(|article| !reached.contains(&article.id));
    unreached
        .map(|article| Advice {
            rule: "never-reached",
            place: Some((article.id.clone(), At::Head)),
            message: "no case of the last 12 months has this article".to_owned(),
            help: "where nobody needs it any more, set `state: withdrawn`: its evidence is kept"
                .to_owned(),
        })
        .collect()
}
