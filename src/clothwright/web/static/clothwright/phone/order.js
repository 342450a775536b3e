// The order of the warp's colours in groups, and what was ticked of it. Nothing here touches the page.
// An order: {digest, runs: [{yarn, ends, ball, colour}]}. Ends are counted from 1, from the first selvedge.

import { t } from "./words.js";

export const endsOf = (order) => order.runs.reduce((sum, run) => sum + run.ends, 0);

// What stands from one end to another, run by run; `more` where a run goes on from before.
export const partsBetween = (order, first, last) => {
  const parts = [];
  let start = 1;
  for (const run of order.runs) {
    const from = Math.max(first, start), to = Math.min(last, start + run.ends - 1);
    if (from <= to) parts.push({ yarn: run.yarn, ball: run.ball, colour: run.colour, ends: to - from + 1, more: from > start });
    start += run.ends;
  }
  return parts;
};

const everySoMany = (ends, step) => {
  const groups = [];
  for (let first = 1; first <= ends; first += step) groups.push({ first, last: Math.min(ends, first + step - 1) });
  return groups;
};

const byStripe = (order) => {
  const groups = [];
  let start = 1;
  order.runs.forEach((run, place) => {
    const last = start + run.ends - 1, before = order.runs[place - 1];
    if (before && before.yarn === run.yarn) groups[groups.length - 1].last = last;
    else groups.push({ first: start, last });
    start = last + 1;
  });
  return groups;
};

// Groups of an order: "tens", "stripes" (ends of one yarn side by side), or "turns" (a pair where the warp is wound direct).
export const groupsOf = (order, by, turnEnds) => {
  if (by === "stripes") return byStripe(order);
  return everySoMany(endsOf(order), by === "turns" ? turnEnds : 10);
};

// Whether one entry has the last word over another: it came later on the same phone, or its phone had seen the other.
const isOver = (one, other) =>
  one.entry.phone === other.entry.phone ? one.entry.seq > other.entry.seq : other.number > 0 && one.entry.seen >= other.number;

export const lastWords = (records) => records.filter((one) => !records.some((other) => other !== one && isOver(other, one)));

// Of every end: whether it is ticked, and `unlike`, the entries that do not agree and had not seen each other.
export const ticksOf = (order, task, records) => {
  const about = records.filter(({ entry, sentence, sent }) =>
    entry.kind === "tick" && entry.order === order.digest && entry.task === task && !sentence && sent !== "refused");
  const found = [];
  for (let end = 1; end <= endsOf(order); end += 1) {
    const words = lastWords(about.filter(({ entry }) => entry.first <= end && end <= entry.last));
    const yes = words.filter(({ entry }) => entry.ticked);
    const unlike = yes.length > 0 && yes.length < words.length;
    found.push({ ticked: yes.length > 0 && !unlike, unlike: unlike ? words : [] });
  }
  return found;
};

export const countTicked = (ticks, first = 1, last = ticks.length) =>
  ticks.slice(first - 1, last).filter((one) => one.ticked).length;

// The stretches of a group that are (or are not) ticked.
export const stretches = (ticks, first, last, ticked) => {
  const found = [];
  for (let end = first; end <= last; end += 1) {
    if (ticks[end - 1].ticked !== ticked) continue;
    const before = found[found.length - 1];
    if (before && before.last === end - 1) before.last = end;
    else found.push({ first: end, last: end });
  }
  return found;
};

// Ends on which phones do not agree, in stretches that the same entries speak of.
export const disagreements = (ticks) => {
  const found = [];
  ticks.forEach(({ unlike }, place) => {
    if (unlike.length === 0) return;
    const keys = unlike.map((one) => one.key).sort().join(" "), before = found[found.length - 1];
    if (before && before.keys === keys && before.last === place) before.last = place + 1;
    else found.push({ keys, first: place + 1, last: place + 1, words: unlike });
  });
  return found;
};

// How many ends from the first selvedge are the same in two orders.
export const alikeUpTo = (one, other) => {
  const most = Math.min(endsOf(one), endsOf(other));
  const spread = (order) => order.runs.flatMap((run) => Array(run.ends).fill(`${run.ball} ${run.yarn}`));
  const a = spread(one), b = spread(other);
  let alike = 0;
  while (alike < most && a[alike] === b[alike]) alike += 1;
  return alike;
};

// The yarn of a part, and its ball; `more` of it where the run goes on from before.
export const yarnWords = (part) => {
  const yarn = part.more ? t("more {yarn}", { yarn: part.yarn }) : part.yarn;
  return part.ball ? t("{yarn}, ball {ball}", { yarn, ball: part.ball }) : yarn;
};
export const partWords = (part) => `${part.ends} ${yarnWords(part)}`;
