//! Free text to tries: what agents' notes say was done, and what came of it.
//!
//! | file | question |
//! |---|---|
//! | [`lexicon`] | which words tell that it helped, changed nothing, could not be done, was only spoken of? |
//! | [`verbs`] | which words mean the same work? |
//! | [`bare`] | what do single words say by where they stand? |
//! | [`everyday`] | which words are right whatever word is near them? |
//! | [`tokens`] | which words, marks and results does a note consist of? |
//! | [`known`], [`own`] | what do the articles say themselves? |
//! | [`words`], [`rows`] | how likely is a word where a fix is told, where its result is, anywhere else? |
//! | [`walk`], [`styles`] | which fix and which result does each word of a note belong to? |
//! | [`look`], [`look_weights`] | how far is that believed, beside what stands around it? |
//! | [`decide`] | which tries are kept? |
//! | [`learn`], [`tally`] | what do the tickets teach whose tries are known? |
//! | [`reader`] | all of it together: a note in, tries out |
//!
//! The method. A note is read as a walk: from ordinary talk into what was done of one fix, on to
//! what came of it, back to talk or on to the next fix; some agents write the result first. Each
//! step says one word, and every place has words it says often: a fix those of its title, kind and
//! steps and those that agents used for it, a result those of the lexicon and of this desk's own
//! hands. That is a hidden Markov model, learned by expectation and maximisation (Baum, Petrie,
//! Soules & Weiss 1970; scaled as in Rabiner 1989, section V) from tickets that have both notes and
//! recorded tries: those say which fixes the walk may visit and with which result, and the sums
//! over all walks say which word spoke of which. It stands in the line of the word alignment of
//! Brown et al. 1993, whose first model it contains where every move is equally likely.
//!
//! What the walk says of a fix is the expected number of visits to it with each result, over all walks.
//! A second look turns that, and what stands around the fix, into the chances of a try: see [`look`].
//! Nothing is learned of a ticket that has only notes.

mod bare;
mod decide;
mod everyday;
pub mod known;
mod learn;
mod lexicon;
mod look;
mod look_weights;
mod own;
mod reader;
mod reading;
mod rows;
mod styles;
mod tally;
mod tokens;
mod verbs;
mod walk;
mod words;

pub use decide::{Found, told};
pub use learn::{Example, MOST_EXAMPLES, learn};
pub use reader::{Cut, Reader, Weighed};
pub use reading::{ARTICLE_BAR, KEPT, ReadTry, Reading, TRY_BAR};

#[cfg(test)]
mod tests;
