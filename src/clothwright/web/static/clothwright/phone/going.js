// What the pages at the board and at the loom share: what was told, what was entered, whether it is sent, and giving it back.

import { openKeeping } from "./keeping.js";
import { rowKey, rowWords } from "./log.js";
import { el, clock, keepAwake } from "./screen.js";
import { startSending } from "./sending.js";
import { counted, t, toSay } from "./words.js";

const FORM = 1;

export const start = async ({ state: embedded, places, saved }) => {
  const project = embedded.project.key;
  const keeping = await openKeeping(project);
  const known = await keeping.setting("state");
  let state = known && known.told_at > embedded.told_at ? known : { ...embedded, loom: embedded.loom || (known || {}).loom };
  const fresh = state !== known;
  let records = [];
  const watchers = [];

  const remember = async (told, fromTheStart = false) => {
    await keeping.merge(told.entries);
    const orders = { ...(fromTheStart ? {} : state.orders), ...told.orders };
    state = { ...told, entries: [], token: "", orders, loom: told.loom || state.loom };
    await keeping.set("state", state);
  };

  await keeping.merge(embedded.entries);
  if (fresh) await remember(embedded);

  const changed = async () => {
    records = await keeping.all();
    for (const watcher of watchers) await watcher();
  };

  const batchOf = (these) => {
    const spokenOf = new Set(these.map((one) => one.entry.order).filter(Boolean));
    return {
      clothwright_entries: FORM,
      project,
      project_name: state.project.name,
      phone: keeping.phone,
      orders: [...spokenOf].map((digest) => state.orders[digest]).filter(Boolean),
      entries: these.map((one) => one.entry),
    };
  };

  const sending = saved ? null : startSending({
    keeping, project, places, batchOf, changed, stateNow: () => state, stateTold: remember,
  });

  const tabs = "BroadcastChannel" in window ? new BroadcastChannel(`clothwright ${project}`) : null;
  if (tabs) tabs.onmessage = changed;

  const enter = async (said) => {
    const entry = await keeping.add({ seen: state.last, ...said });
    if (tabs) tabs.postMessage("entered");
    await changed();
    if (sending) sending.tryNow();
    return entry;
  };

  const app = {
    saved: Boolean(saved),
    phone: keeping.phone,
    lasting: keeping.lasting,
    state: () => state,
    records: () => records,
    mine: () => records.filter((one) => one.entry.phone === keeping.phone),
    enter,
    changed,
    watch: (watcher) => watchers.push(watcher),
    setting: keeping.setting,
    set: keeping.set,
    sending,
  };

  showStatus(app, places);
  givingBack(app, batchOf);
  keepAwake(document.getElementById("awake"), document.getElementById("awake-says"));
  await changed();
  if (sending) sending.tryNow();
  return app;
};

const statusWords = (app) => {
  const waiting = app.mine().filter((one) => one.sent === "no").length;
  if (app.saved) return waiting ? `${counted(waiting, toSay("{number} entry is kept in this page's browser."), toSay("{number} entries are kept in this page's browser."))} ${t("Give them back as a file when you are at the program again.")}` : t("Nothing entered yet.");
  const { answers, at, problem } = app.sending.status;
  const last = at ? ` ${t("Last answer {when}.", { when: clock(at) })}` : "";
  if (waiting) return `${counted(waiting, toSay("{number} entry waits on this phone."), toSay("{number} entries wait on this phone."))} ${problem}${last}`;
  return answers ? t("Everything is sent.") + last : `${t("Everything entered so far is with the program.")} ${problem}${last}`;
};

const showStatus = (app, places) => {
  const place = document.getElementById("status"), alone = document.getElementById("alone");
  const refused = document.getElementById("refused");
  let answered = null;
  app.watch(() => {
    place.textContent = statusWords(app);
    // Said aloud only when it turns, and not every time the program answers.
    const answers = app.sending ? app.sending.status.answers : null;
    if (answered !== null && answers !== answered) document.getElementById("announce").textContent = place.textContent;
    answered = answers;
    place.dataset.waiting = String(app.mine().filter((one) => one.sent === "no").length);
    place.dataset.answers = String(app.sending ? app.sending.status.answers : "");
    const putRight = new Set(app.mine().map(({ entry }) => entry.row && entry.row.corrects).filter(Boolean));
    const wrong = app.mine().filter((one) => (one.sent === "refused" || one.sentence) && !putRight.has(rowKey(one.key)));
    refused.hidden = wrong.length === 0;
    refused.replaceChildren(el("h2", { textContent: t("Entries that could not be used") }), el("ul", {},
      ...wrong.map(({ key, entry, sentence }) => el("li", {}, el("p", { textContent: `${clock(Date.parse(entry.made_at))}, ${entry.row ? rowWords(entry.row) : entry.way ? entry.way.what : kindWords(entry.kind)}: ${sentence}.` }),
        app.putRight && entry.row ? el("button", { type: "button", textContent: t("Put it right"), onclick: () => app.putRight(entry.row, key) }) : null))));
    if (app.sending && app.sending.status.word && !place.querySelector("a")) {
      place.append(" ", el("a", { href: places.enter, textContent: t("Type the word") }));
    }
  });
  if (!app.lasting) {
    alone.textContent = t("This browser keeps nothing of this page once it is closed. Leave it open, and give the entries back as a file before you close it.");
    alone.hidden = false;
    window.addEventListener("beforeunload", (event) => {
      if (app.mine().some((one) => one.sent === "no")) event.preventDefault();
    });
  }
};

const KINDS = { tick: toSay("a tick"), count: toSay("a count") };
const kindWords = (kind) => (KINDS[kind] ? t(KINDS[kind]) : kind);

const givingBack = (app, batchOf) => {
  const text = () => JSON.stringify(batchOf(app.mine()));
  const says = document.getElementById("give-says"), field = document.getElementById("give-text");
  document.getElementById("give").addEventListener("click", () => {
    const name = `entries-${new Date().toISOString().slice(0, 16).replace(/[:T]/g, "-")}.json`;
    const link = el("a", { href: URL.createObjectURL(new Blob([text()], { type: "application/json" })), download: name });
    document.body.append(link);
    link.click();
    link.remove();
    says.textContent = t("Entries of this phone given as {name}: {number}. They stay here too; giving them twice does no harm.", { name, number: app.mine().length });
  });
  document.getElementById("show-text").addEventListener("click", () => {
    field.hidden = false;
    field.value = text();
    field.focus();
    field.select();
    says.textContent = t("Copy this text, and paste it on the project's page “Phones”.");
  });
};
