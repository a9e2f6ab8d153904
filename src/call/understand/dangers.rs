//! What a line says of the dangers that stop the call or are to be made sure of.

use super::verbs::{self, Verb};
use super::{Meant, Reader, answers};
use crate::base::ids::ArticleId;
use crate::base::text::split;
use crate::call::acts::Act;

impl Reader<'_> {
    /// "no danger", with a number or an id where there are several.
    pub(super) fn no_danger(&self, words: &[String]) -> Option<Meant> {
        let advice = self.context.advice;
        let mut named: Vec<_> = advice.stops.iter().map(|(id, _)| id).collect();
        if named.is_empty() {
            named = advice.ask_first.iter().map(|(id, _)| id).collect();
        }
        let bare = words.join(" ");
        let found = match verbs::verb_with_number(words) {
            Some((Verb::NoDanger, number)) => named.get(number.checked_sub(1)?).copied(),
            _ => match (verbs::verb(&bare), &named[..]) {
                (Some(Verb::NoDanger), [only]) => Some(*only),
                (Some(Verb::NoDanger), [_, _, ..]) => {
                    return Some(Meant::Unclear(
                        "there is more than one danger: say `no danger 1` for the first one shown"
                            .to_owned(),
                    ));
                }
                _ => named.iter().copied().find(|id| {
                    let id = split(id.as_str()).join(" ");
                    bare == format!("no danger {id}") || bare == format!("not danger {id}")
                }),
            },
        };
        found.map(|id| Meant::Acts(vec![Act::NotDanger(id.clone())]))
    }

    /// "yes" to a danger that is to be made sure of, with a number where there are several. A bare "no"
    /// denies none: it may be meant for something else.
    pub(super) fn is_danger(&self, words: &[String]) -> Option<Meant> {
        let advice = self.context.advice;
        let asked = &advice.ask_first[..];
        if self.state.end.is_some() || !advice.stops.is_empty() || asked.is_empty() {
            return None;
        }
        let unclear = |why: &str| Some(Meant::Unclear(why.to_owned()));
        let is = |id: &ArticleId| Some(Meant::Acts(vec![Act::IsDanger(id.clone())]));
        let named = |(id, _): &&(ArticleId, String)| {
            words.split_first().is_some_and(|(yes, id_words)| {
                verbs::is_yes(yes) && *id_words == split(id.as_str())[..]
            })
        };
        let bare = words.join(" ");
        match (words, asked) {
            (_, [(only, _)]) if verbs::is_yes(&bare) => is(only),
            _ if verbs::is_yes(&bare) => unclear(
                "there is more than one danger to make sure of: say `yes 1` for the first one shown",
            ),
            _ if answers::is_bare(&bare) => unclear(
                "the danger comes first: say `yes` if it is so, or `no danger` once somebody on site \
                 made sure that it is not",
            ),
            ([yes, number], _) if verbs::is_yes(yes) && number.parse::<usize>().is_ok() => {
                let number: usize = number.parse().ok()?;
                match number.checked_sub(1).and_then(|at| asked.get(at)) {
                    Some((id, _)) => is(id),
                    None => unclear("there is no such danger to make sure of"),
                }
            }
            _ => asked.iter().find(named).and_then(|(id, _)| is(id)),
        }
    }
}

/// What is answered to everything else while a danger stops the call.
pub(super) fn danger_first() -> Meant {
    Meant::Unclear(
        "the danger comes first: say `no danger` once somebody on site says that it does not apply, or `hand on`"
            .to_owned(),
    )
}
