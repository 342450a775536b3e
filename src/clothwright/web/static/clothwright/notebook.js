"use strict";
// The page works without this file; it keeps sentences beside their fields, and says when the program does not answer.

const trouble = (text) => {
  const place = document.getElementById("trouble");
  place.textContent = text;
  place.hidden = !text;
};

const placeSentences = (sentences) => {
  for (const place of document.querySelectorAll(".sentence[id]")) {
    const key = place.id.replace(/-problem$/, "");
    const sentence = sentences[key] || "";
    if (place.textContent !== sentence) place.textContent = sentence;
    const entry = document.getElementById(key);
    if (entry && entry.hasAttribute("aria-invalid")) entry.setAttribute("aria-invalid", String(Boolean(sentence && entry.value)));
  }
};

const showPlan = () => {
  const plan = document.getElementById("plan");
  if (!plan) return;
  placeSentences(JSON.parse(plan.dataset.problems));
  const announce = document.getElementById("announce");
  if (announce.textContent !== plan.dataset.said) announce.textContent = plan.dataset.said;
};

// On a phone the sections of a project, and of the pages that say so, begin folded, but those with something to settle and the one that was asked for.
const phone = window.matchMedia("(max-width: 40rem)"), unfolded = new Set();
const foldsIn = (leaf) => leaf ? leaf.querySelector("details.leaf-fold") : null;
const asksFor = (leaf) => unfolded.has(leaf.id) || [...leaf.querySelectorAll(".sentence")].some((one) => one.textContent);
const fold = () => {
  if (!phone.matches || !document.querySelector("#plan .answer, form[data-folds]")) return;
  for (const leaf of document.querySelectorAll(".leaf[id]")) {
    const folds = foldsIn(leaf);
    if (folds) folds.open = asksFor(leaf);
  }
};
const unfoldAsked = () => {
  const asked = document.getElementById(location.hash.slice(1)), leaf = asked && asked.closest(".leaf[id]");
  const folds = foldsIn(leaf);
  if (!folds) return;
  unfolded.add(leaf.id);
  folds.open = true;
  asked.scrollIntoView();
};
document.addEventListener("toggle", (event) => {
  if (!event.target.matches("details.leaf-fold")) return;
  const { id } = event.target.closest(".leaf");
  if (event.target.open) unfolded.add(id);
  else unfolded.delete(id);
}, true);
document.addEventListener("DOMContentLoaded", () => {
  fold();
  unfoldAsked();
  const paper = document.getElementById("print-page");
  if (!paper) return;
  paper.hidden = false;
  paper.addEventListener("click", () => window.print());
});
window.addEventListener("hashchange", unfoldAsked);
// Escape folds the list of pages again and goes back to what opened it.
document.addEventListener("keydown", (event) => {
  const list = event.key === "Escape" && event.target.closest(".stages details[open]");
  if (!list) return;
  list.open = false;
  list.querySelector("summary").focus();
});
document.addEventListener("click", (event) => {
  if (event.target.closest("a[href^='#']")) setTimeout(unfoldAsked);
});

const goToNewRow = () => {
  const row = document.querySelector("[data-focus]");
  if (!row) return;
  row.removeAttribute("data-focus");
  (row.querySelector("input:not([type=hidden]), select, textarea") || row).focus();
};

document.addEventListener("htmx:afterSettle", (event) => {
  showPlan();
  if (event.detail.target.id === "page") fold();
  goToNewRow();
});
document.addEventListener("htmx:beforeRequest", (event) => {
  trouble("");
  if (posts(event)) sent = edits;
});
document.addEventListener("htmx:afterRequest", (event) => {
  if (posts(event) && event.detail.successful) kept = sent;
});
document.addEventListener("htmx:sendError", () =>
  trouble("The program does not answer: what you typed last is not kept yet. Start it again, then change the field once more."));
document.addEventListener("htmx:responseError", (event) => {
  const answer = event.detail.xhr, inWords = (answer.getResponseHeader("Content-Type") || "").startsWith("text/plain");
  trouble(inWords ? answer.responseText : answer.status === 401
    ? "You are signed out: what you typed last is not kept. Sign in, in another tab, then change the field once more."
    : "The program went wrong: what you typed last may not be kept. Reload the page to see what is.");
});

// A field is kept when it is left; one still being typed in when the page is left goes with it.
let edits = 0, sent = 0, kept = 0;
const posts = (event) => event.detail.requestConfig.verb === "post";
const typed = () => document.getElementById("typed");
document.addEventListener("input", (event) => {
  if (typed() && typed().contains(event.target)) edits += 1;
});
window.addEventListener("pagehide", () => {
  if (edits === kept || !typed()) return;
  const texts = [...new FormData(typed())].filter(([, value]) => typeof value === "string");
  kept = edits;
  fetch(typed().action, { method: "POST", body: new URLSearchParams(texts), keepalive: true, redirect: "manual" });
});

// A page that the browser kept while another was shown may be older than what is stored.
window.addEventListener("pageshow", (event) => {
  if (event.persisted) window.location.reload();
});

// On paper everything is unfolded but groups of fields that hold nothing, and folded again afterwards.
let unfoldedToPrint = [];
window.addEventListener("beforeprint", () => {
  unfoldedToPrint = [...document.querySelectorAll("main details:not([open]):not(.group)")];
  for (const folds of unfoldedToPrint) folds.open = true;
});
window.addEventListener("afterprint", () => {
  for (const folds of unfoldedToPrint) folds.open = false;
  unfoldedToPrint = [];
});
