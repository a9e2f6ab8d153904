//! Aligned columns for the terminal, by the width of what is shown.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// How wide a table may be.
const WIDEST: usize = 80;

/// How wide a column may grow, and at which side its cells stand.
#[derive(Clone, Copy, Debug)]
pub(super) struct Column {
    most: usize,
    right: bool,
}

impl Column {
    /// Cells at the left, cut at this width.
    pub(super) const fn left(most: usize) -> Self {
        Self { most, right: false }
    }

    /// Cells at the left, cut at what the other columns leave of 80.
    pub(super) const fn rest() -> Self {
        Self::left(usize::MAX)
    }

    /// Cells at the right.
    pub(super) const fn right(most: usize) -> Self {
        Self { most, right: true }
    }
}

/// The rows with their cells aligned, two spaces between columns.
///
/// Cells must be escaped already.
pub(super) fn aligned(columns: &[Column], rows: &[Vec<String>]) -> String {
    let mut widths: Vec<usize> = columns
        .iter()
        .enumerate()
        .map(|(at, column)| {
            let cells = rows.iter().filter_map(|row| row.get(at));
            let widest = cells.map(|cell| width(cell)).max().unwrap_or(0);
            widest.min(column.most)
        })
        .collect();
    if let Some(rest) = columns.iter().position(|column| column.most == usize::MAX) {
        let others: usize = widths.iter().sum::<usize>() - widths[rest];
        let left = WIDEST.saturating_sub(others + 2 * (columns.len() - 1));
        widths[rest] = widths[rest].min(left);
    }
    let mut out = String::new();
    for row in rows {
        let mut line = String::new();
        for ((cell, column), width_of) in row.iter().zip(columns).zip(&widths) {
            let cell = cut(cell, *width_of);
            let pad = " ".repeat(width_of.saturating_sub(width(&cell)));
            if column.right {
                line.push_str(&pad);
            }
            line.push_str(&cell);
            if !column.right {
                line.push_str(&pad);
            }
            line.push_str("  ");
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}

/// How many columns of the terminal a text takes.
fn width(text: &str) -> usize {
    text.width()
}

/// The text, or as much of its start as fits, with `…` at the end.
pub(super) fn cut(text: &str, most: usize) -> String {
    if width(text) <= most {
        return text.to_owned();
    }
    let mut out = String::new();
    let mut used = 1;
    for c in text.chars() {
        used += c.width().unwrap_or(0);
        if used > most {
            break;
        }
        out.push(c);
    }
    out.push('…');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_letters_count_twice() {
        assert_eq!(cut("漢字漢字", 5), "漢字…");
        assert_eq!(cut("漢字漢字", 8), "漢字漢字");
        let rows = vec![
            vec!["a".to_owned(), "1".to_owned()],
            vec!["漢字".to_owned(), "100".to_owned()],
        ];
        let columns = [Column::left(10), Column::right(5)];
        assert_eq!(aligned(&columns, &rows), "a       1\n漢字  100\n");
    }
}
