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

const goToNewRow = () => {
  const row = document.querySelector("[data-focus]");
  if (!row) return;
  row.removeAttribute("data-focus");
  row.querySelector("input:not([type=hidden]), select").focus();
};

document.addEventListener("htmx:afterSettle", () => {
  showPlan();
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
  trouble(inWords ? answer.responseText
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
