//! How a page is written: sections, pictures, tables, and figures in words. Everything is escaped here.

use crate::base::escape::html;
use crate::view::percent::percent;

/// A page as it grows.
#[derive(Default)]
pub(super) struct Page {
    pub(super) text: String,
    /// The heading that is written under.
    heading: String,
}

/// A part as percent; nothing known is a dash.
pub(super) fn part(some: u64, all: u64) -> String {
    if all == 0 {
        "–".to_owned()
    } else {
        percent(some as f64 / all as f64)
    }
}

/// A part in hundredths, for a bar.
pub(super) fn hundredths(some: u64, all: u64) -> f64 {
    if all == 0 {
        0.0
    } else {
        100.0 * some as f64 / all as f64
    }
}

/// Minutes in the unit people would say.
pub(super) fn minutes(minutes: Option<f64>) -> String {
    match minutes {
        None => "–".to_owned(),
        Some(m) if m < 90.0 => format!("{m:.0} min"),
        Some(m) if m < 2_880.0 => format!("{:.1} h", m / 60.0),
        Some(m) => format!("{:.1} days", m / 1_440.0),
    }
}

impl Page {
    /// A heading, and what stands below it in words.
    pub(super) fn section(&mut self, title: &str, what: &str) {
        self.heading = html(title).into_owned();
        self.text += &format!(
            "<h2>{}</h2>\n<p class=\"what\">{}</p>\n",
            html(title),
            html(what)
        );
    }

    /// A picture, and what it shows in words.
    pub(super) fn figure(&mut self, label: &str, svg: &str) {
        self.text += &format!(
            "<figure><div role=\"img\" aria-label=\"{}\">{svg}</div></figure>\n",
            html(label)
        );
    }

    /// A table; columns whose head ends in `#` hold numbers. Cells are escaped here.
    pub(super) fn table(&mut self, head: &[&str], rows: &[Vec<String>]) {
        self.text += &format!(
            "<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"Table: {}\">\
             <table><thead><tr>",
            self.heading
        );
        let class = |name: &str| {
            if name.ends_with('#') {
                " class=\"n\""
            } else {
                ""
            }
        };
        for name in head {
            let words = name.trim_end_matches('#');
            self.text += &format!("<th scope=\"col\"{}>{}</th>", class(name), html(words));
        }
        self.text += "</tr></thead><tbody>\n";
        for row in rows {
            self.text += "<tr>";
            for (cell, name) in row.iter().zip(head) {
                self.text += &format!("<td{}>{}</td>", class(name), html(cell));
            }
            self.text += "</tr>\n";
        }
        self.text += "</tbody></table></div>\n";
    }

    /// Words.
    pub(super) fn para(&mut self, words: &str) {
        self.text += &format!("<p>{}</p>\n", html(words));
    }
}
