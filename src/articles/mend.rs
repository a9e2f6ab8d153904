//! Puts in what was meant where lint knows exactly one thing that can have been meant.

use crate::base::problem::Problem;

/// One place that was put right.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Mended {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// What stood there.
    pub was: String,
    /// What stands there now.
    pub now: String,
}

/// The text of one file with every slip among its problems put right, and what was changed, in
/// the order of the file. A place whose line is no longer the one the problem was found in is left
/// alone, so that nothing is mended twice or in a text that has changed since.
#[must_use]
pub fn mended(text: &str, problems: &[&Problem]) -> (String, Vec<Mended>) {
    let mut slips: Vec<&Problem> = problems
        .iter()
        .copied()
        .filter(|p| p.mend.is_some() && p.place.line > 0 && p.place.column > 0)
        .collect();
    slips.sort_by_key(|p| (p.place.line, p.place.column));
    slips.dedup_by_key(|p| (p.place.line, p.place.column));
    let mut lines: Vec<String> = text.split_inclusive('\n').map(str::to_owned).collect();
    let mut done = Vec::new();
    // From the end, so that the columns before stay where they are.
    for slip in slips.into_iter().rev() {
        let Some(line) = lines.get_mut(slip.place.line - 1) else {
            continue;
        };
        done.extend(put_right(line, slip));
    }
    done.reverse();
    (lines.concat(), done)
}

fn put_right(line: &mut String, slip: &Problem) -> Option<Mended> {
    let now = slip.mend.clone()?;
    let column = slip.place.column - 1;
    let shown: String = line.trim_end_matches(['\n', '\r']).to_owned();
    let found_in = slip.excerpt.as_deref()?;
    // What stands before the place is as it was; what comes after it may be mended by now.
    let before = |text: &str| {
        text.chars()
            .take(column + slip.place.width)
            .collect::<String>()
    };
    if before(&shown) != before(found_in) {
        return None;
    }
    let byte = |at: usize| shown.char_indices().nth(at).map_or(shown.len(), |(b, _)| b);
    let span = byte(column)..byte(column + slip.place.width);
    let was = shown[span.clone()].to_owned();
    line.replace_range(span, &now);
    Some(Mended {
        line: slip.place.line,
        column: slip.place.column,
        was,
        now,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::problem::Place;

    fn slip(text: &str, found: &str, meant: &str) -> Problem {
        let at = text.find(found).unwrap();
        let place = Place::of_span("a.md", text, at..at + found.len());
        let mut problem = Problem::error("x", place, "y").excerpt_of(text);
        problem.mend = Some(meant.to_owned());
        problem
    }

    #[test]
    fn several_slips_of_a_line_are_mended_and_the_rest_stays() {
        let text = "ä: [post7, psot-22]\r\nno end";
        let problems = [
            slip(text, "psot-22", "post-22"),
            slip(text, "post7", "post-7"),
        ];
        let (now, done) = mended(text, &problems.iter().collect::<Vec<_>>());
        assert_eq!(now, "ä: [post-7, post-22]\r\nno end");
        assert_eq!(done.len(), 2);
        assert_eq!(
            (done[0].line, done[0].column, done[0].was.as_str()),
            (1, 5, "post7")
        );
    }

    #[test]
    fn a_line_that_has_changed_since_is_left_alone() {
        let text = "devices: [post7]\n";
        let problem = slip(text, "post7", "post-7");
        let (now, done) = mended("title: x\n", &[&problem]);
        assert_eq!((now.as_str(), done), ("title: x\n", vec![]));
    }

    #[test]
    fn a_problem_without_a_known_end_changes_nothing() {
        let text = "devices: [zebra]\n";
        let mut problem = slip(text, "zebra", "");
        problem.mend = None;
        assert_eq!(mended(text, &[&problem]).0, text);
    }
}
