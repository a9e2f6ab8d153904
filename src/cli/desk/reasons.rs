//! What stands behind the answers, for the lead tech: the tickets of a share, the weights, the words.

use super::Desk;
use super::flow::Flow;
use super::readings::Kept;
use crate::articles::Article;
use crate::base::explain::Explain;
use crate::base::ids::{ArticleId, FixId};
use crate::cli::ledger::{self, Joined};
use crate::cli::{Failure, Session, place};
use crate::evidence::Case;
use crate::evidence::cases::Cases;
use crate::evidence::equation::Feature;
use crate::evidence::learned::learn::own_texts;
use crate::evidence::learned::strongest::strongest;
use crate::evidence::spoken::Spoken;
use crate::evidence::why::why;
use crate::view::weights::{ArticleWords, WeightsTable};

impl Desk {
    /// Why a fix of an article (none: "none of the listed") has its share; none where it has not
    /// this fix.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub fn why(
        &self,
        session: &Session,
        article: &ArticleId,
        fix: Option<&FixId>,
    ) -> Result<Option<Explain>, Failure> {
        let cases = self.cases(session)?;
        let subject = (article, fix);
        Ok(why(
            &cases,
            &self.evidence,
            &self.catalog,
            &self.settings,
            subject,
            None,
        ))
    }

    pub(super) fn cases(&self, session: &Session) -> Result<Cases, Failure> {
        self.flowing(session, |flow| {
            let said = &flow.joined.said;
            flow.cases(&|ticket| said.readable(ticket))
        })
    }

    /// What callers said in all its cases.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub(crate) fn spoken(&self, session: &Session) -> Result<Spoken<'_>, Failure> {
        self.flowing(session, |flow| {
            flow.spoken(&self.catalog, &self.layout, &self.analyzer)
        })
    }

    /// Lets its tickets flow into something.
    fn flowing<T>(
        &self,
        session: &Session,
        make: impl FnOnce(&Flow<'_>) -> Result<T, Failure>,
    ) -> Result<T, Failure> {
        let store = ledger::open(session)?;
        make(&Flow {
            joined: &Joined::of(&store)?,
            kept: &Kept::open(&place::state_dir(session)?),
            catalog: &self.catalog,
            model: &self.settings.model,
            as_of: self.as_of,
        })
    }

    /// The weights that answer, and the strongest learned words of an article.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub fn weights(
        &self,
        session: &Session,
        article: Option<&Article>,
    ) -> Result<WeightsTable, Failure> {
        let model = &self.model;
        let words = match article {
            None => None,
            Some(article) => Some(self.words_of(article, session)?),
        };
        let fit_point = self.fit_point.as_ref().map(|point| point.cases);
        Ok(WeightsTable::new(
            model,
            fit_point,
            self.evidence.cases,
            self.evidence.prior,
            words,
        ))
    }

    fn words_of(&self, article: &Article, session: &Session) -> Result<ArticleWords, Failure> {
        let cases = self.cases(session)?.list;
        let own = own_texts(&self.catalog, &self.layout);
        let weight = self.model.weights.beta[Feature::LearnedArticle as usize];
        let all = strongest(&self.model.words, weight, &article.id, &cases, &own);
        let of_article = |case: &&Case| case.article.as_ref() == Some(&article.id);
        Ok(ArticleWords::new(
            article.id.to_string(),
            article.title.clone(),
            cases.iter().filter(of_article).count() as u64,
            &all,
        ))
    }
}
