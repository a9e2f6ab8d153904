//! Columns that line up, by the width of what is shown.

use super::markdown::options;
use unicode_width::UnicodeWidthStr;

/// Columns between two cells.
const GAP: usize = 2;

/// The narrowest a cell is squeezed to before the table becomes a list.
const NARROWEST: usize = 8;

/// Lines of a table: cells wrap where the whole is wider than `width`. A table with too many
/// columns for that becomes a list of `head: cell` lines.
#[must_use]
pub fn lines(head: &[String], rows: &[Vec<String>], width: usize) -> Vec<String> {
    let columns = rows
        .iter()
        .map(Vec::len)
        .chain([head.len()])
        .max()
        .unwrap_or(0);
    if columns == 0 {
        return Vec::new();
    }
    let Some(widths) = widths(head, rows, columns, width) else {
        return as_list(head, rows, width);
    };
    let mut lines = Vec::new();
    if head.iter().any(|cell| !cell.is_empty()) {
        lines.extend(row_lines(head, &widths));
        let rule: Vec<String> = widths.iter().map(|w| "-".repeat(*w)).collect();
        lines.push(rule.join(&" ".repeat(GAP)));
    }
    for row in rows {
        lines.extend(row_lines(row, &widths));
    }
    lines
}

/// Cuts to a width in columns, with an ellipsis.
#[must_use]
pub fn cut(text: &str, width: usize) -> String {
    if text.width() <= width {
        return text.to_owned();
    }
    let mut out = String::new();
    for c in text.chars() {
        let next = unicode_width::UnicodeWidthChar::width(c).unwrap_or(0);
        if out.width() + next + 1 > width {
            break;
        }
        out.push(c);
    }
    out.push('…');
    out
}

/// Natural widths, the widest cut first until all fit.
fn widths(
    head: &[String],
    rows: &[Vec<String>],
    columns: usize,
    width: usize,
) -> Option<Vec<usize>> {
    let cell = |row: &[String], at: usize| row.get(at).map_or(0, |c| c.width());
    let mut widths: Vec<usize> = (0..columns)
        .map(|at| {
            let widest = rows.iter().map(|r| cell(r, at)).max().unwrap_or(0);
            widest.max(cell(head, at)).max(1)
        })
        .collect();
    let room = width.checked_sub(GAP * (columns - 1))?;
    loop {
        let total: usize = widths.iter().sum();
        let Some(over) = total.checked_sub(room).filter(|o| *o > 0) else {
            return Some(widths);
        };
        let widest = widths.iter().copied().max().unwrap_or(0);
        let second = widths
            .iter()
            .copied()
            .filter(|w| *w < widest)
            .max()
            .unwrap_or(0);
        let count = widths.iter().filter(|w| **w == widest).count();
        if widest <= NARROWEST {
            return None;
        }
        let cut = over
            .div_ceil(count)
            .min(widest - second.max(NARROWEST.min(widest - 1)));
        for w in widths.iter_mut().filter(|w| **w == widest) {
            *w -= cut;
        }
    }
}

fn row_lines(row: &[String], widths: &[usize]) -> Vec<String> {
    let cells: Vec<Vec<String>> = widths
        .iter()
        .enumerate()
        .map(|(at, width)| {
            let text = row.get(at).map_or("", String::as_str);
            textwrap::wrap(text, options(*width))
                .into_iter()
                .map(|l| l.into_owned())
                .collect()
        })
        .collect();
    let height = cells.iter().map(Vec::len).max().unwrap_or(0);
    (0..height)
        .map(|line| {
            let mut out = String::new();
            for (cell, width) in cells.iter().zip(widths) {
                let text = cell.get(line).map_or("", String::as_str);
                out.push_str(text);
                out.push_str(&" ".repeat(width.saturating_sub(text.width()) + GAP));
            }
            out.trim_end().to_owned()
        })
        .collect()
}

fn as_list(head: &[String], rows: &[Vec<String>], width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    for row in rows {
        for (at, cell) in row.iter().enumerate() {
            let name = head.get(at).map_or("", String::as_str);
            let text = if name.is_empty() {
                cell.clone()
            } else {
                format!("{name}: {cell}")
            };
            let hanging = options(width.max(1)).subsequent_indent("  ");
            lines.extend(
                textwrap::wrap(&text, hanging)
                    .into_iter()
                    .map(|l| l.into_owned()),
            );
        }
        lines.push(String::new());
    }
    lines.pop();
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(cells: &[&str]) -> Vec<String> {
        cells.iter().map(|c| (*c).to_owned()).collect()
    }

    #[test]
    fn columns_line_up_by_shown_width() {
        let rows = [row(&["漢字", "two"]), row(&["a", "b"])];
        let text = lines(&row(&["One", "Two"]), &rows, 40).join("\n");
        assert_eq!(text, "One   Two\n----  ---\n漢字  two\na     b");
    }

    #[test]
    fn a_wide_table_wraps_and_a_very_wide_one_becomes_a_list() {
        let rows = [row(&["short", &"word ".repeat(20)])];
        for line in lines(&row(&["A", "B"]), &rows, 30) {
            assert!(line.width() <= 30, "{line}");
        }
        let many: Vec<String> = (0..20).map(|i| format!("column {i}")).collect();
        let text = lines(&many, std::slice::from_ref(&many), 40).join("\n");
        assert!(text.starts_with("column 0: column 0\n"), "{text}");
    }

    proptest::proptest! {
        #[test]
        fn no_line_is_wider_than_asked(
            rows in proptest::collection::vec(proptest::collection::vec("[a-z ]{0,30}", 0..6), 0..5),
            width in 10usize..80,
        ) {
            for line in lines(&[], &rows, width) {
                assert!(line.width() <= width);
            }
        }
    }
}
