// The weaving log as a phone enters it. Nothing here touches the page. A row holds what the log of the project holds:
// lengths and weights as typed, with their units.

import { lastWords } from "./order.js";
import { t, toSay } from "./words.js";

const CM = { cm: 1, mm: 0.1, m: 100, in: 2.54, '"': 2.54 };

// Centimetres of a plain length; NaN for one that only the program can read.
export const cmOf = (text) => {
  const found = /^\s*(\d+(?:[.,]\d+)?)\s*(cm|mm|m|in|")\s*$/.exec(text || "");
  return found ? Number(found[1].replace(",", ".")) * CM[found[2]] : NaN;
};

// What was typed, with the unit that stands beside the box where a bare number came; fractions too: 7 1/2.
export const withUnit = (text, unit) => (/^\d+([.,]\d+)?( \d+\/\d+)?[½¼¾]?$/.test(text) ? `${text} ${unit}` : text);

// What an entry of a phone is called in the log of the project.
export const rowKey = (key) => `phone-${key.replaceAll("-", "").slice(0, 10)}`;

const listed = (...parts) => parts.filter(Boolean).join(", ");
const weighedWords = ({ yarn, gross, core, beside }) =>
  listed(t("{yarn}: {gross} on the scale", { yarn, gross }), core && t("core {core}", { core }), beside && t("{beside} beside", { beside }));
const HAPPENED = { knot: toSay("knot"), break: toSay("break"), join: toSay("join"), floats: toSay("floats"), other: toSay("other") };
const happenedWords = ({ what, at, end, mended }) =>
  listed(at ? t("{what} at {at}", { what: t(HAPPENED[what] || what), at }) : t(HAPPENED[what] || what), end && t("end {end}", { end }), mended && t("mended"));

export const rowWords = (row) => {
  const said = [];
  if (row.woven) said.push(row.woven_back ? t("{woven} woven (woven back)", { woven: row.woven }) : t("{woven} woven", { woven: row.woven }));
  for (const one of row.weighed || []) said.push(weighedWords(one));
  if (row.picks) said.push(t("{count} picks over {over}", row.picks));
  if (row.width_at_fell) said.push(t("{width} wide at the fell", { width: row.width_at_fell }));
  for (const one of row.happened || []) said.push(happenedWords(one));
  if (row.repeats) said.push(listed(t("repeats of {picks} picks", { picks: row.repeats.join(", ") }), row.panel));
  if (row.advances) said.push(t("wound on {number} times", { number: row.advances }));
  if (row.changed_mind) said.push(t("changed my mind: {what}", { what: row.changed_mind }));
  if (row.minutes) said.push(t("{number} minutes", { number: row.minutes }));
  if (row.note) said.push(`“${row.note}”`);
  if (said.length === 0) return t("taken back");
  return said.join(" · ");
};

// What an entry tells that another could contradict: the place along the cloth and the kind, and for a weighing its yarn.
const aboutOf = (row) => {
  if (row.corrects) return `corrects ${row.corrects}`;
  if (!row.woven) return "";
  const place = Number.isNaN(cmOf(row.woven)) ? row.woven : cmOf(row.woven).toFixed(1);
  const kinds = [
    ...(row.weighed || []).map((one) => `weighed ${one.yarn}`),
    ...(row.picks ? ["picks"] : []),
    ...(row.width_at_fell ? ["width"] : []),
  ];
  return kinds.length ? `${place} ${kinds.join(" ")}` : "";
};

const sayingOf = ({ woven: _woven, note: _note, ...row }) => JSON.stringify(row);

export const logRecords = (records) => records.filter(({ entry, sentence, sent }) => entry.kind === "log" && !sentence && sent !== "refused");

export const correctedBy = (records) => new Set(records.map(({ entry }) => entry.row.corrects).filter(Boolean));

// Entries of unlike phones about the same thing that do not say the same, none of which had seen another.
export const logDisagreements = (records) => {
  const known = logRecords(records), corrected = correctedBy(known), about = new Map();
  for (const one of known) {
    const what = aboutOf(one.entry.row);
    if (!what || corrected.has(rowKey(one.key))) continue;
    about.set(what, [...(about.get(what) || []), one]);
  }
  return [...about.values()].map(lastWords)
    .filter((words) => new Set(words.map(({ entry }) => sayingOf(entry.row))).size > 1);
};

// How much is woven: the newest entry of this phone that the program has not answered yet, else what the program says.
export const wovenNow = (told, records) => {
  const corrected = correctedBy(logRecords(records));
  const open = logRecords(records)
    .filter(({ key, number, entry }) => (number === 0 || number > told.upTo) && entry.row.woven && !corrected.has(rowKey(key)))
    .sort((a, b) => Date.parse(b.entry.made_at) - Date.parse(a.entry.made_at))
    .map(({ entry }) => ({ cm: cmOf(entry.row.woven), text: entry.row.woven, back: entry.row.woven_back }))
    .filter(({ cm, back }) => back || Number.isNaN(cm) || cm >= told.cm);
  return open[0] || { cm: told.cm, text: told.text };
};

export const nextMark = (marks, woven) => marks.find((one) => one > woven + 0.05);
