//! Rules about pictures.

use super::{Context, Found};
use crate::articles::finding::{Drops, Finding};
use crate::articles::parse::is_outside;
use std::collections::BTreeMap;

/// The size in bytes of every picture that an article names, by path; none where it is missing.
pub type Pictures = BTreeMap<String, Option<u64>>;

/// The largest size that passes without a note, in bytes.
const LARGE: u64 = 300 * 1024;

const ENDINGS: [&str; 5] = ["png", "jpg", "jpeg", "webp", "svg"];

/// Whether the ending is one of the four sorts of pictures.
pub(in crate::articles) fn is_picture(path: &str) -> bool {
    path.rsplit_once('.')
        .is_some_and(|(_, ending)| ENDINGS.contains(&ending.to_lowercase().as_str()))
}

pub(super) fn all(context: &Context<'_>, found: &mut Found) {
    for (file, parsed) in context.parsed.iter().enumerate() {
        for (picture, at) in parsed.article.pictures.iter().zip(&parsed.picture_places) {
            let path = &picture.path;
            let error = |rule, message: String| Finding {
                problem: parsed.source.error(rule, at.clone(), message),
                drops: parsed.drops_at(at.start),
            };
            let note = |rule, message: String| Finding {
                problem: parsed.source.note(rule, at.clone(), message),
                drops: Drops::Nothing,
            };
            if picture.alt.is_empty() {
                let help = "say in the square brackets what it shows".to_owned();
                let finding = note(
                    "picture-alt",
                    "the picture has no words for who cannot see it".to_owned(),
                );
                found.add(file, finding.help(Some(help)));
            }
            if !is_picture(path) && !is_outside(path) {
                let finding = error(
                    "picture-type",
                    format!("`{path}` is no picture that every face can show"),
                );
                let help = "use PNG, JPEG, WebP or SVG".to_owned();
                found.add(file, finding.help(Some(help)));
                continue;
            }
            match context.pictures.get(path).copied().flatten() {
                None if is_outside(path) => {
                    let finding = error(
                        "picture-missing",
                        format!("`{path}` lies outside of the knowledge base"),
                    );
                    let help = "keep it in the folder `img` beside the article".to_owned();
                    found.add(file, finding.help(Some(help)));
                }
                None => {
                    found.add(
                        file,
                        error("picture-missing", format!("there is no picture `{path}`")),
                    );
                }
                Some(size) if size > LARGE => {
                    let message =
                        format!("the picture has {} KB; 300 are enough", size.div_ceil(1024));
                    found.add(file, note("picture-large", message));
                }
                Some(_) => {}
            }
        }
    }
}
