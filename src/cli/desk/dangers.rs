//! What stops a call where nothing else can be answered: it needs the articles alone, neither tickets
//! nor a state folder.

use crate::articles::folder;
use crate::base::spelling::Vocabulary;
use crate::base::text::Analyzer;
use crate::call::{Advice, Ground};
use crate::cli::Session;
use crate::evidence::cases::Cases;
use crate::evidence::danger::{Alarm, StopWords};
use crate::evidence::ear::Ear;
use crate::evidence::gather::gather;
use crate::evidence::layout::Layout;
use crate::view::answer::{Answer, Subject};

/// The dangers that these words name; none where none are named or the folder cannot be read.
pub(crate) fn said(session: &Session, words: &str) -> Option<Answer> {
    let as_of = session.today();
    let folder = folder::read(&session.kb, as_of).ok()?;
    let analyzer = Analyzer::new(&folder.words);
    let layout = Layout::new(&folder.catalog);
    let evidence = gather(&Cases::default(), &folder.catalog, &folder.settings, as_of);
    let ear = Ear::learn(&folder.sayings, &folder.catalog);
    let found = StopWords::new(&folder.catalog, &analyzer, ear).find(
        words,
        &analyzer,
        &Vocabulary::default(),
    );
    let stops = found
        .alarms
        .into_iter()
        .filter(|(_, alarm)| matches!(alarm, Alarm::Said(_)));
    let advice = Advice {
        stops: stops.collect(),
        ..Advice::none()
    };
    let subject = Subject {
        ground: Ground {
            catalog: &folder.catalog,
            layout: &layout,
            evidence: &evidence,
        },
        settings: &folder.settings,
        fingerprint: "",
        as_of,
        limit: 1,
        why: None,
    };
    (!advice.stops.is_empty()).then(|| Answer::new(&advice, Vec::new(), &subject))
}
