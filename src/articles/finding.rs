//! A problem together with what it keeps from being served.

use crate::base::problem::Problem;

/// What a problem keeps from use.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Drops {
    /// Nothing; somebody should look.
    Nothing,
    /// The check or fix whose heading stands in this line of the file.
    Block(usize),
    /// The whole article.
    Article,
}

/// A problem and its reach.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// What is wrong.
    pub problem: Problem,
    /// What it keeps from use.
    pub drops: Drops,
}

impl Finding {
    /// A problem that keeps the whole article from use.
    #[must_use]
    pub fn article(problem: Problem) -> Self {
        Self {
            problem,
            drops: Drops::Article,
        }
    }

    /// A problem that keeps one check or fix from use.
    #[must_use]
    pub fn block(line: usize, problem: Problem) -> Self {
        Self {
            problem,
            drops: Drops::Block(line),
        }
    }

    /// A problem that changes nothing.
    #[must_use]
    pub fn note(problem: Problem) -> Self {
        Self {
            problem,
            drops: Drops::Nothing,
        }
    }

    /// Lets `lint --mend` put in the one known name that was meant.
    #[must_use]
    pub fn slip<'a>(mut self, found: &str, known: impl IntoIterator<Item = &'a str>) -> Self {
        self.problem = self.problem.slip(found, known);
        self
    }

    /// Adds what to do, where it is known.
    #[must_use]
    pub fn help(mut self, help: Option<String>) -> Self {
        self.problem.help = help.or(self.problem.help);
        self
    }
}
