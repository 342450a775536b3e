// At the loom: how far the weaving is, what was entered, and what to enter by one thumb.

import { cmOf, correctedBy, logDisagreements, logRecords, nextMark, rowKey, rowWords, withUnit, wovenNow } from "./log.js";
import { clock, el, replaced } from "./screen.js";
import { t, toSay } from "./words.js";

const TITLES = {
  woven: toSay("Woven so far"), weighed: toSay("Weigh a ball"), picks: toSay("Picks over a length"),
  happened: toSay("Knot, break, join"), width: toSay("Width at the fell"), repeats: toSay("Repeats"), note: toSay("Minutes, note"),
};
// Which boxes must be filled, and what to say where one is not.
const NEEDED = {
  woven: { woven: toSay("how much is woven, as 60") },
  weighed: { woven: toSay("how much is woven, as 60"), gross: toSay("what the scale shows, as 46"), core: toSay("its core or shuttle, by name or weight; 0 where it is bare") },
  picks: { count: toSay("how many picks, as 32"), over: toSay("over what length, as 10") },
  happened: {},
  width: { woven: toSay("how much is woven, as 60"), width_at_fell: toSay("how wide the cloth is at the fell, as 48") },
  repeats: { woven: toSay("how much is woven, as 60"), repeats: toSay("the picks of each repeat, as 36, 37, 35") },
  note: {},
};
const WHOLE = { end: toSay("which end, as 12"), minutes: toSay("whole minutes, as 40"), advances: toSay("how many times, as 3") };
const NUMBERS = { count: toSay("how many picks, as 32") };

const SVG = "http://www.w3.org/2000/svg";
const drawn = (name, properties) => {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(properties)) made.setAttribute(key, value);
  return made;
};

export const mountLoom = async (root, app) => {
  const at = (name) => root.querySelector(`[data-at="${name}"]`);
  const form = at("form"), boxes = form.elements;
  // What is typed and not kept yet, by what it is for; it stays through closing the form and the browser.
  const drafts = (await app.setting("drafts")) || {};
  let kind = "", corrects = "";

  const loom = () => app.state().loom || { units: { length: "cm", weight: "g" }, yarns: [], cores: [], log: [], ways: [], forecast: null };
  const inCm = () => (loom().units.length === "in" ? 2.54 : 1);
  const told = () => ({ cm: loom().woven_cm || 0, text: loom().woven || `0 ${loom().units.length}`, upTo: loom().up_to || 0 });
  const inWords = (cm) => `${Math.round(10 * cm / inCm()) / 10} ${loom().units.length}`;
  const say = (words) => { document.getElementById("announce").textContent = words; };

  // --- how far it is ---------------------------------------------------------------------------------------------

  const strip = (woven, end, marks, next) => {
    const svg = drawn("svg", { viewBox: "0 0 320 44", role: "img", "aria-label": t("{woven} of {end} woven; marks to come: {marks}", { woven: inWords(woven), end: inWords(end), marks: marks.filter((one) => one > woven).map(inWords).join(", ") || "–" }) });
    const x = (cm) => 2 + 316 * Math.min(1, cm / end);
    svg.append(
      drawn("rect", { x: 2, y: 10, width: 316, height: 18, class: "cloth" }),
      drawn("rect", { x: 2, y: 10, width: Math.max(0, x(woven) - 2), height: 18, class: "done" }),
      ...marks.map((one) => drawn("line", { x1: x(one), x2: x(one), y1: one === next ? 2 : 6, y2: one === next ? 36 : 28, class: one === next ? "mark coming" : "mark" })),
      drawn("path", { d: `M${x(woven) - 6} 40 L${x(woven)} 30 L${x(woven) + 6} 40 Z`, class: "fell" }),
    );
    return svg;
  };

  const showHowFar = () => {
    const now = wovenNow(told(), app.records()), end = loom().to_weave_cm;
    at("woven").textContent = now.text;
    at("of").textContent = end ? t("of {end}", { end: inWords(end) }) : "";
    const marks = loom().marks_cm || [], next = nextMark(marks, now.cm);
    at("strip").replaceChildren(...(end && !Number.isNaN(now.cm) ? [strip(now.cm, end, marks, next)] : []));
    at("mark").textContent = next ? t("Next mark: {mark}, {left} to go.", { mark: inWords(next), left: inWords(next - now.cm) }) : "";
  };

  const showForecast = () => {
    const { forecast, why, told_at: age } = loom();
    const unsent = app.mine().some(({ entry, sent }) => entry.kind === "log" && sent === "no");
    at("forecast").replaceChildren(
      ...(forecast ? forecast.map((words, place) => el("p", { className: place ? "" : "headline", textContent: words })) : why ? [el("p", { className: "quietly", textContent: why })] : []),
      ...(forecast || why ? [el("p", { className: "quietly", textContent: [t("As the program told it {when}.", { when: clock(age) }), unsent ? t("Entries that still wait are not in it.") : ""].join(" ").trim() })] : []),
    );
  };

  // --- ways out, as the program last planned them ---------------------------------------------------------------------

  let asked = "";
  const picture = (svg) => document.importNode(new DOMParser().parseFromString(svg, "image/svg+xml").documentElement, true);

  const showWays = () => {
    const ways = loom().ways || [], waiting = app.mine().find(({ entry, sent }) => entry.kind === "way" && sent === "no");
    at("ways").hidden = ways.length === 0;
    at("ways-title").textContent = waiting ? t("Taken on this phone, and waits: {way}", { way: waiting.entry.way.what }) : t("Ways out, surest first ({number})", { number: ways.length });
    replaced(at("ways-list"), ...ways.map(({ words, drawn: svg, pieces, way }, place) => el("li", {},
      el("p", { textContent: words }), el("figure", {}, picture(svg), pieces ? picture(pieces) : null),
      waiting ? null : el("button", {
        type: "button", "data-key": `way-${place}`, "aria-label": `${asked === words ? t("Press again to take it") : t("Take this way")}: ${way.what}`,
        textContent: asked === words ? t("Press again to take it") : t("Take this way"),
        onclick: () => takeWay(words, way),
      }))));
  };

  // Taken at the second press, since one thumb slips.
  const takeWay = async (words, way) => {
    if (asked !== words) {
      asked = words;
      showWays();
      return;
    }
    asked = "";
    await app.enter({ kind: "way", way });
    say(t("Taken: {what}.", { what: way.what }));
  };

  // --- entering --------------------------------------------------------------------------------------------------

  const open = (which, row = {}, of = "") => {
    kind = which;
    corrects = of;
    form.reset();
    for (const part of form.querySelectorAll("[data-of]")) part.hidden = !part.dataset.of.split(" ").includes(kind);
    for (const button of root.querySelectorAll("[data-kind]")) button.setAttribute("aria-pressed", String(button.dataset.kind === kind));
    at("form-title").textContent = of ? t("{what}, corrected", { what: t(TITLES[kind]) }) : t(TITLES[kind]);
    at("form-wrong").textContent = "";
    const [weighed] = row.weighed || [], [happened] = row.happened || [];
    boxes.woven.value = row.woven || (of ? "" : wovenNow(told(), app.records()).text);
    boxes.woven_back.checked = Boolean(row.woven_back);
    if (weighed) for (const name of ["yarn", "gross", "core", "beside"]) boxes[name].value = weighed[name] || "";
    boxes.count.value = row.picks ? row.picks.count : "";
    boxes.over.value = row.picks ? row.picks.over : loom().units.length === "in" ? "4 in" : "10 cm";
    boxes.width_at_fell.value = row.width_at_fell || "";
    if (happened) {
      boxes.what.value = happened.what;
      boxes.at.value = happened.at || "";
      boxes.end.value = happened.end || "";
      boxes.mended.checked = Boolean(happened.mended);
    } else {
      boxes.at.value = wovenNow(told(), app.records()).text;
    }
    boxes.repeats.value = (row.repeats || []).join(", ");
    boxes.panel.value = row.panel || "";
    boxes.advances.value = row.advances || "";
    boxes.changed_mind.value = row.changed_mind || "";
    boxes.minutes.value = row.minutes || "";
    boxes.note.value = row.note || (happened && happened.note) || "";
    for (const [name, value] of Object.entries(drafts[draftName()] || {})) fill(boxes[name], value);
    form.hidden = false;
    form.querySelector("[data-of]:not([hidden]) input, [data-of]:not([hidden]) select").focus();
  };

  const draftName = () => `${kind} ${corrects}`;
  const fill = (box, value) => { if (box.type === "checkbox") box.checked = value; else box.value = value; };
  const keepDraft = async () => {
    const named = [...boxes].filter((box) => box.name && shown(box.name));
    drafts[draftName()] = Object.fromEntries(named.map((box) => [box.name, box.type === "checkbox" ? box.checked : box.value]));
    drafts.open = draftName();
    await app.set("drafts", drafts);
  };
  form.addEventListener("input", keepDraft);

  const close = async () => {
    const opener = form.contains(document.activeElement) && root.querySelector(`[data-kind="${kind}"]`);
    form.hidden = true;
    if (opener) opener.focus();
    kind = "";
    drafts.open = "";
    await app.set("drafts", drafts);
    for (const button of root.querySelectorAll("[data-kind]")) button.setAttribute("aria-pressed", "false");
  };

  // What is wrong with the boxes, in one sentence; the program checks all of it again.
  const wrongIn = (values) => {
    for (const [name, wanted] of Object.entries(NEEDED[kind])) if (!values[name]) return t("Nothing in the box: {wanted}.", { wanted: t(wanted) });
    for (const name of ["woven", "gross", "over", "width_at_fell", "at", "beside"]) {
      if (values[name] && shown(name) && !/\d/.test(values[name])) return t("“{came}”: write a number, with its unit if it is another.", { came: values[name] });
    }
    for (const [name, wanted] of Object.entries(WHOLE)) if (values[name] && shown(name) && !/^\d{1,6}$/.test(values[name])) return t("“{came}”: write {wanted}.", { came: values[name], wanted: t(wanted) });
    for (const [name, wanted] of Object.entries(NUMBERS)) if (values[name] && shown(name) && !/^\d{1,6}([.,]\d+)?$/.test(values[name])) return t("“{came}”: write {wanted}.", { came: values[name], wanted: t(wanted) });
    if (kind === "repeats" && picksOf(values.repeats).some((one) => !/^\d{1,6}$/.test(one))) return t("“{came}”: write {wanted}.", { came: values.repeats, wanted: t(NEEDED.repeats.repeats) });
    if (kind === "weighed" && !values.yarn) return t("Which yarn? The project has none yet; add it on the project's page.");
    if (kind === "note" && !["minutes", "note", "advances", "changed_mind"].some((name) => values[name])) return t("Nothing typed yet: minutes, a note, or one of the others.");
    return "";
  };
  const shown = (name) => !boxes[name].closest("[data-of]").hidden;

  const picksOf = (text) => text.split(/[,;\s]+/).filter(Boolean);

  const number = (text) => Number(text.replace(",", "."));

  const rowOf = (values) => {
    const { length, weight } = loom().units, row = {};
    const given = (name) => shown(name) && values[name];
    if (given("woven")) row.woven = withUnit(values.woven, length);
    if (shown("woven_back") && boxes.woven_back.checked) row.woven_back = true;
    if (kind === "weighed") {
      row.weighed = [{ yarn: values.yarn, gross: withUnit(values.gross, weight) }];
      if (values.core) row.weighed[0].core = withUnit(values.core, weight);
      if (values.beside) row.weighed[0].beside = withUnit(values.beside, weight);
    }
    if (kind === "picks") row.picks = { count: number(values.count), over: withUnit(values.over, length) };
    if (kind === "width") row.width_at_fell = withUnit(values.width_at_fell, length);
    if (kind === "happened") {
      const one = { what: values.what };
      if (values.at) one.at = withUnit(values.at, length);
      if (values.end) one.end = Number(values.end);
      if (boxes.mended.checked) one.mended = true;
      if (values.note) one.note = values.note;
      row.happened = [one];
    }
    if (kind === "repeats") {
      row.repeats = picksOf(values.repeats).map(Number);
      if (values.panel) row.panel = values.panel;
    }
    if (kind === "note") {
      if (values.advances) row.advances = Number(values.advances);
      if (values.changed_mind) row.changed_mind = values.changed_mind;
      if (values.minutes) row.minutes = Number(values.minutes);
      if (values.note) row.note = values.note;
    }
    if (corrects) row.corrects = corrects;
    return row;
  };

  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const values = Object.fromEntries([...new FormData(form)].map(([name, value]) => [name, value.trim()]));
    const wrong = wrongIn(values);
    at("form-wrong").textContent = wrong;
    if (wrong) return;
    const row = rowOf(values);
    await app.enter({ kind: "log", row });
    delete drafts[draftName()];
    await close();
    say(t("Kept: {what}.", { what: rowWords(row) }));
  });
  at("form-close").addEventListener("click", close);
  form.addEventListener("keydown", (event) => { if (event.key === "Escape") close(); });
  for (const button of root.querySelectorAll("[data-kind]")) button.addEventListener("click", () => open(button.dataset.kind));
  for (const button of root.querySelectorAll("[data-step]")) {
    button.addEventListener("click", () => {
      const now = cmOf(withUnit(boxes.woven.value.trim() || "0", loom().units.length));
      if (Number.isNaN(now)) return;
      boxes.woven.value = inWords(Math.max(0, now + Number(button.dataset.step) * inCm()));
      keepDraft();
    });
  }

  // --- the log, and what phones do not agree on --------------------------------------------------------------------

  const kindOf = (row) => (row.weighed ? "weighed" : row.picks ? "picks" : row.width_at_fell ? "width" : row.repeats ? "repeats" : row.happened ? "happened" : row.woven ? "woven" : "note");

  // Rows the program has, in its words, and those of this phone that it has not answered yet.
  const lines = () => {
    const byKey = new Map(app.records().filter(({ entry }) => entry.row).map((one) => [rowKey(one.key), one]));
    const ways = new Set(app.records().filter(({ entry }) => entry.way).map(({ key }) => rowKey(key)));
    const there = loom().log.filter((one) => !one.takes_back).map((one) => ({ ...one, record: byKey.get(one.key), waits: false, way: ways.has(one.key) }));
    const keys = new Set(loom().log.map((one) => one.key));
    const corrected = correctedBy(logRecords(app.records()));
    const waiting = logRecords(app.records()).filter(({ key, entry }) => !keys.has(rowKey(key)) && !isTakenBack(entry.row))
      .map((record) => {
        const gone = record.number > 0 && record.number <= loom().up_to;
        return { key: rowKey(record.key), when: record.entry.made_at, words: rowWords(record.entry.row), counts: !gone, why: t("undone in the project: no longer in its log"), record, waits: record.sent === "no", gone };
      });
    return [...there, ...waiting].map((one) => ({ ...one, counts: one.counts && !corrected.has(one.key) }))
      .sort((a, b) => Date.parse(b.when || 0) - Date.parse(a.when || 0));
  };

  const line = ({ key, when, words, counts, why, record, waits, gone, way }) => el("li", { className: counts ? "" : "aside" },
    el("p", {}, el(counts ? "span" : "s", { textContent: words })),
    el("p", { className: "quietly", textContent: [when ? clock(Date.parse(when)) : "", waits ? t("waits on this phone") : "", counts ? "" : why || t("corrected")].filter(Boolean).join(" · ") }),
    way ? el("p", { className: "quietly", textContent: t("Undo on the project's page takes a way back.") }) : null,
    counts && !way && (!record || !isTakenBack(record.entry.row)) ? el("p", { className: "doing" },
      record ? el("button", { type: "button", "data-key": `correct-${key}`, "aria-label": t("Correct: {what}", { what: words }), textContent: t("Correct"), onclick: () => open(kindOf(record.entry.row), record.entry.row, key) }) : null,
      el("button", { type: "button", "data-key": `back-${key}`, "aria-label": t("Take back: {what}", { what: words }), textContent: t("Take back"), onclick: async () => {
        await app.enter({ kind: "log", row: { corrects: key } });
        say(t("Taken back: {what}.", { what: words }));
      } })) : null,
    gone ? el("button", { type: "button", "data-key": `again-${key}`, "aria-label": t("Enter again: {what}", { what: words }), textContent: t("Enter it again"), onclick: () => app.enter({ kind: "log", row: record.entry.row }) }) : null);

  const isTakenBack = (row) => Object.keys(row).length === 1 && Boolean(row.corrects);

  const whose = ({ entry }) => (entry.phone === app.phone ? t("this phone") : t("phone {name}", { name: entry.phone.slice(0, 4) }));

  const showUnlike = () => {
    const found = logDisagreements(app.records());
    at("unlike").hidden = found.length === 0;
    at("unlike").replaceChildren(...found.map((words) => el("section", {},
      el("h2", { textContent: t("Phones do not agree") }),
      el("p", { textContent: t("Both are kept. Which is right?") }),
      ...words.map((one) => el("button", {
        type: "button", textContent: `${rowWords(one.entry.row)} (${whose(one)}, ${clock(Date.parse(one.entry.made_at))})`,
        onclick: async () => {
          for (const other of words) if (other !== one) await app.enter({ kind: "log", row: { corrects: rowKey(other.key) } });
        },
      })))));
  };

  app.putRight = (row, key) => open(kindOf(row), row, rowKey(key));

  const showChoices = () => {
    for (const place of root.querySelectorAll("[data-unit]")) place.textContent = loom().units[place.dataset.unit];
    const now = boxes.yarn.value, names = loom().yarns;
    if ([...boxes.yarn.options].map((one) => one.value).join("\n") !== names.join("\n")) {
      boxes.yarn.replaceChildren(...names.map((name) => el("option", { value: name, textContent: name })));
      if (names.includes(now)) boxes.yarn.value = now;
    }
    document.getElementById("loom-cores").replaceChildren(...loom().cores.map((name) => el("option", { value: name })));
  };

  const show = () => {
    showChoices();
    showHowFar();
    showForecast();
    showWays();
    showUnlike();
    const found = lines();
    at("log-none").hidden = found.length > 0;
    replaced(at("log"), ...found.map(line));
  };
  app.watch(show);
  show();
  const [typed, of] = (drafts.open || "").split(" ");
  if (typed) {
    const known = app.records().find((one) => rowKey(one.key) === of);
    open(typed, known ? known.entry.row : {}, of);
  }
};
