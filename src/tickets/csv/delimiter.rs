//! Which character parts the columns of a table.

use super::records::Records;

/// What may part columns, likeliest first.
const KNOWN: [u8; 4] = *b",;\t|";

/// How many rows are looked at.
const ROWS: usize = 100;

/// The delimiter by the start of a table: the one that cuts most rows into as many fields as the
/// header has, then the one with most fields. A comma where nothing parts the header.
///
/// The last row of `start` may be cut off. A first line such as `sep=;`, as spreadsheets write it,
/// decides.
#[must_use]
pub fn delimiter_of(start: &str) -> u8 {
    let start = start.trim_start_matches('\u{feff}');
    if let [
        b's' | b'S',
        b'e' | b'E',
        b'p' | b'P',
        b'=',
        mark,
        b'\n' | b'\r',
        ..,
    ] = start.as_bytes()
    {
        return *mark;
    }
    let mut best = (0, 0, b',');
    for delimiter in KNOWN {
        let (agree, width) = fit(start, delimiter);
        if width > 1 && (agree, width) > (best.0, best.1) {
            best = (agree, width, delimiter);
        }
    }
    best.2
}

/// How many thousandths of the rows are as wide as the header, and how wide that is.
fn fit(start: &str, delimiter: u8) -> (usize, usize) {
    let mut records = Records::new(start.as_bytes(), delimiter);
    let mut widths = Vec::new();
    while let (true, Ok(Some(record))) = (widths.len() < ROWS, records.next(&|_, _| false)) {
        if record.open.is_none() {
            widths.push(record.cells.len());
        }
        records.set_width(widths.first().copied().unwrap_or_default());
    }
    let Some((header, mut rows)) = widths.split_first() else {
        return (0, 0);
    };
    if rows.len() > 1 {
        rows = &rows[..rows.len() - 1];
    }
    let agree = rows.iter().filter(|width| *width == header).count();
    let all = rows.len().max(1);
    let share = if rows.is_empty() {
        1000
    } else {
        agree * 1000 / all
    };
    (share, *header)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_delimiter_is_told_from_the_first_rows() {
        for (text, expected) in [
            ("a,b,c\n1,2,3\n", b','),
            ("a;b;c\n1;2,5;3\n2;3,5;4\n", b';'),
            ("a\tb\n1, 2\t3\n", b'\t'),
            ("a|b|c\r\n1|x, y|3\r\n", b'|'),
            // Commas within quotes and in free text are none.
            ("a;b\n\"x, y; z\";1\nx, y, z;2\n", b';'),
            ("a, b;c\n1;2\n3;4\n", b';'),
            // A quote that is left open takes in all of the rows behind it.
            ("a, b;c;d\n1;\"x;2\n3;z, w;4\n5;z, w;6\n", b';'),
            ("sep=|\na,b\n", b'|'),
            ("a;b;c", b';'),
            ("only\n1\n", b','),
            ("", b','),
        ] {
            assert_eq!(delimiter_of(text), expected, "{text}");
        }
    }
}
