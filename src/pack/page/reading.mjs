// Articles are put into the page when one is asked for; this opens one, and takes the steps out of it.

import { h } from "../../page/dom.mjs";

/** Puts the articles into their place, once. */
export function readingIn(place) {
  if (!place.firstChild) {
    // Made by the program, which escapes all that people wrote.
    place.innerHTML = globalThis.carried.reading();
  }
}

/** What the article says of a fix: the text before its steps, the steps, the text behind. */
export function written(id) {
  readingIn(document.getElementById("reading"));
  const section = document.getElementById(id.replace("#", "--"));
  const work = section?.querySelector(".work");
  if (!work) {
    return null;
  }
  const parts = [...work.children];
  const at = parts.findIndex((part) => part.tagName === "OL");
  const copy = (list) => list.map((part) => part.cloneNode(true));
  if (at < 0) {
    return { lead: copy(parts), steps: [], tail: [] };
  }
  return { lead: copy(parts.slice(0, at)), steps: [...parts[at].children].map(asBlock), tail: copy(parts.slice(at + 1)) };
}

function asBlock(item) {
  const block = h("div", null);
  block.append(...[...item.cloneNode(true).childNodes]);
  return block;
}

/** Shows an article, or the contents where there is none of that name. */
export function openArticle(address) {
  readingIn(document.getElementById("reading"));
  document.querySelectorAll(".article.open").forEach((article) => article.classList.remove("open"));
  const target = document.getElementById(address);
  const article = target?.closest(".article");
  document.body.dataset.reading = article ? "article" : "contents";
  article?.classList.add("open");
  (article ? target : document.getElementById("reading"))?.scrollIntoView();
}
