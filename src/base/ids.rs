//! Names of articles, fixes, checks and tickets as types of their own.
//!
//! A fix and a check are named `article#short`; [`FixId`] and [`CheckId`] always hold the full
//! form, so that a shared fix has one identity wherever it is linked from.

use serde::{Deserialize, Serialize};
use std::fmt;
use std::sync::Arc;

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(Arc<str>);

        impl $name {
            /// Takes the text as it stands; callers check its form where form matters.
            #[must_use]
            pub fn new(text: &str) -> Self {
                Self(Arc::from(text))
            }

            /// The id as text.
            #[must_use]
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(&self.0)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{}", self.0)
            }
        }

        impl From<&str> for $name {
            fn from(text: &str) -> Self {
                Self::new(text)
            }
        }

        impl std::borrow::Borrow<str> for $name {
            fn borrow(&self) -> &str {
                &self.0
            }
        }
    };
}

id!(
    /// An article, such as `rcd-trips-on-plug-in`.
    ArticleId
);
id!(
    /// A fix in full, such as `rcd-trips-on-plug-in#reseal-gland`.
    FixId
);
id!(
    /// A check in full, such as `rcd-trips-on-plug-in#trips-empty`.
    CheckId
);
id!(
    /// A ticket, as the office numbers it, such as `T-10482`.
    TicketId
);

macro_rules! part_of_article {
    ($name:ident) => {
        impl $name {
            /// Joins an article and the short id of its heading.
            #[must_use]
            pub fn of(article: &ArticleId, short: &str) -> Self {
                Self::new(&format!("{article}#{short}"))
            }

            /// The article's part, before `#`.
            #[must_use]
            pub fn article(&self) -> ArticleId {
                ArticleId::new(self.split().0)
            }

            /// The heading's part, after `#`; the whole text where there is no `#`.
            #[must_use]
            pub fn short(&self) -> &str {
                self.split().1
            }

            fn split(&self) -> (&str, &str) {
                self.0.split_once('#').unwrap_or((&self.0, &self.0))
            }
        }
    };
}

part_of_article!(FixId);
part_of_article!(CheckId);

/// Whether a text may serve as the id of an article, fix or check: letters a to z, digits and
/// single hyphens, beginning with a letter.
#[must_use]
pub fn is_plain_id(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_lowercase())
        && !text.ends_with('-')
        && !text.contains("--")
        && text
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fix_id_splits_into_article_and_short_id() {
        let fix = FixId::of(&ArticleId::new("rcd-trips"), "reseal");
        assert_eq!(fix.as_str(), "rcd-trips#reseal");
        assert_eq!(fix.article().as_str(), "rcd-trips");
        assert_eq!(fix.short(), "reseal");
    }

    #[test]
    fn ids_are_lower_case_words_with_single_hyphens() {
        for (text, good) in [
            ("rcd-trips", true),
            ("a1", true),
            ("", false),
            ("1a", false),
            ("Rcd", false),
            ("rcd_trips", false),
            ("rcd--trips", false),
            ("rcd-", false),
        ] {
            assert_eq!(is_plain_id(text), good, "{text}");
        }
    }
}
