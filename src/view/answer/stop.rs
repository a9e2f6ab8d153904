//! When to hand on, in words.

use super::{FixLine, StopLine, Subject};
use crate::call::Advice;
use crate::call::advice::Stop as HandOn;

pub(super) fn stop_line(
    stop: HandOn,
    advice: &Advice,
    listed: &[FixLine],
    subject: &Subject<'_>,
) -> StopLine {
    let visit = subject.settings.hand_on_minutes;
    let to_do = listed.iter().filter(|fix| fix.allowed).count();
    let after = match stop.after {
        0 => None,
        1 if to_do >= 1 => Some("the first fix".to_owned()),
        n if n <= to_do => Some(format!("the first {n} fixes")),
        // The list is shorter than the order: only a name says where to stop.
        n => advice.fixes.get(n - 1).map(|last| {
            let last = &subject.ground.catalog.fixes[&last.fix].title;
            format!("{n} fixes, {to_do} of them listed here; the last is \"{last}\"")
        }),
    };
    let why = match after {
        None => format!("now. Handing on ({visit:.0} min) is cheaper than trying any of these."),
        Some(fixes) => format!(
            "after {fixes}; expected {:.0} min to the end, handing on included.",
            stop.minutes
        ),
    };
    StopLine {
        after: stop.after,
        minutes_expected: stop.minutes,
        why,
    }
}
