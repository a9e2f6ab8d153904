//! Where a link or a picture points, as a path inside the knowledge base.

use super::stem;

/// A link to an article, perhaps to one of its blocks.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Target {
    /// The file, relative to the knowledge base.
    pub path: String,
    /// The heading's id after `#`.
    pub anchor: Option<String>,
}

impl Target {
    /// The full id of the block: file name and anchor.
    #[must_use]
    pub fn full_id(&self) -> String {
        format!(
            "{}#{}",
            stem(&self.path),
            self.anchor.as_deref().unwrap_or_default()
        )
    }
}

/// Whether a destination lies outside: a web address, mail, or anything with a scheme.
pub(in crate::articles) fn is_outside(url: &str) -> bool {
    url.starts_with("//")
        || url.split_once(':').is_some_and(|(scheme, _)| {
            scheme.len() > 1
                && scheme
                    .chars()
                    .all(|c| c.is_ascii_alphanumeric() || c == '+')
        })
}

/// The path a relative destination means, seen from the file `from`; nothing where it leads out
/// of the knowledge base.
pub(in crate::articles) fn resolve(from: &str, url: &str) -> Option<String> {
    let url = url.split(['#', '?']).next().unwrap_or(url);
    if is_outside(url) || url.starts_with('/') || url.contains('\\') {
        return None;
    }
    if url.is_empty() {
        return Some(from.to_owned());
    }
    let mut parts: Vec<&str> = from.split('/').collect();
    parts.pop();
    let decoded = url.replace("%20", " ");
    for part in decoded.split('/') {
        match part {
            "" | "." => {}
            ".." => {
                parts.pop()?;
            }
            part => parts.push(part),
        }
    }
    Some(parts.join("/"))
}

/// The article a destination points to; nothing where it is no Markdown file inside.
#[must_use]
pub fn target(from: &str, url: &str) -> Option<Target> {
    let path = resolve(from, url)?;
    path.ends_with(".md").then(|| Target {
        path,
        anchor: url.split_once('#').map(|(_, anchor)| anchor.to_owned()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn destinations_are_seen_from_the_file() {
        let from = "articles/power/a.md";
        for (url, path) in [
            ("b.md", Some("articles/power/b.md")),
            ("../network/c.md#x", Some("articles/network/c.md")),
            ("./img/a%20b.svg", Some("articles/power/img/a b.svg")),
            ("#here", Some("articles/power/a.md")),
            ("../../../etc/passwd", None),
            ("/etc/passwd", None),
            ("https://example.org/a.png", None),
            ("data:image/png;base64,xx", None),
        ] {
            assert_eq!(resolve(from, url).as_deref(), path, "{url}");
        }
        let found = target(from, "../network/c.md#x").unwrap();
        assert_eq!(found.full_id(), "c#x");
        assert_eq!(target(from, "img/a.svg"), None);
    }
}
