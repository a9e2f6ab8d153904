// What stands between words, and the word lists that deny, part and answer. The lists come with
// the pack, from src/base/negation/lists.rs and src/base/common.rs.

/** What stands between two words, from the weakest to the strongest parting. */
export const Gap = { Space: 0, Comma: 1, Slash: 2, Colon: 3, Dash: 4, Stop: 5, Question: 6 };

/** How many words a clause has at most that a bare "no" answers without a question mark. */
export const SHORT = 4;

/** The word lists as sets, by name; `LEXICAL` stays a list of phrases. */
export function readLists(lists) {
  const read = {};
  for (const [name, words] of lists.negation) {
    read[name] = new Set(words);
  }
  read.LEXICAL = lists.lexical;
  read.COMMON = new Set(lists.common);
  return read;
}

/** Whether a single word denies what follows it. */
export function denies(word, lists) {
  return lists.DENY.has(word) || lists.MODAL.has(word);
}
