// At the warping board: the order in groups to tick off, where it was left, and counts at half and at the end.

import { alikeUpTo, countTicked, disagreements, endsOf, groupsOf, partWords, partsBetween, stretches, ticksOf, yarnWords } from "./order.js";
import { clock, el, replaced, swatch } from "./screen.js";
import { t, toSay } from "./words.js";

// Each sentence for what is being done, since a language may turn it otherwise.
const DOING = {
  winding: {
    done: toSay("wound"), not: toSay("not wound"), tick: toSay("Wound: tick {ends}"), all: toSay("All {number} ends are wound."),
    few: toSay("You counted {one} twice, and {ticked} are ticked: {off} too few. Look for a group that was ticked and not wound."),
    many: toSay("You counted {one} twice, and {ticked} are ticked: {off} too many. Look for a group that was wound twice, or not ticked."),
    yes: toSay("They are wound"), no: toSay("They are not wound"),
  },
  threading: {
    done: toSay("threaded"), not: toSay("not threaded"), tick: toSay("Threaded: tick {ends}"), all: toSay("All {number} ends are threaded."),
    few: toSay("You counted {one} twice, and {ticked} are ticked: {off} too few. Look for a group that was ticked and not threaded."),
    many: toSay("You counted {one} twice, and {ticked} are ticked: {off} too many. Look for a group that was threaded twice, or not ticked."),
    yes: toSay("They are threaded"), no: toSay("They are not threaded"),
  },
};
// A name of more letters is written smaller, so that it stands on one line of a narrow phone.
const LONG = 9;

const range = ({ first, last }) => (first === last ? t("end {number}", { number: first }) : t("ends {first} to {last}", { first, last }));

export const mountBoard = async (root, app) => {
  const at = (name) => root.querySelector(`[data-at="${name}"]`);
  let task = (await app.setting("task")) || "winding";
  let by = (await app.setting("groups")) || "tens";
  let chosen = (await app.setting("order")) || "";
  let later = -1;

  const orderNow = () => (app.state().order || {}).digest ? app.state().order : null;

  // The order that is ticked off: the one chosen here, else the one last ticked, else the one of now.
  const working = () => {
    const { orders } = app.state(), now = orderNow();
    const newest = app.records().filter(({ entry }) => entry.kind === "tick" && orders[entry.order])
      .sort((a, b) => Date.parse(b.entry.made_at) - Date.parse(a.entry.made_at))[0];
    const digest = (orders[chosen] && chosen) || (newest && newest.entry.order) || (now && now.digest);
    return digest ? { digest, runs: orders[digest] || now.runs } : null;
  };

  const turnEnds = () => (orderNow() || {}).turn_ends || 2;
  const half = (order) => (orderNow() && orderNow().digest === order.digest ? orderNow().half : Math.round(endsOf(order) / 20) * 10 || endsOf(order));

  const look = () => {
    const order = working();
    if (!order) return null;
    const ticks = ticksOf(order, task, app.records()), groups = groupsOf(order, by, turnEnds());
    const here = groups.find((group) => countTicked(ticks, group.first, group.last) < group.last - group.first + 1);
    return { order, ticks, groups, here, done: countTicked(ticks), ends: endsOf(order) };
  };

  const tick = async (order, ticks, group, ticked) => {
    for (const part of stretches(ticks, group.first, group.last, !ticked)) {
      await app.enter({ kind: "tick", order: order.digest, task, ...part, ticked });
    }
  };

  const lastTick = ({ order, ticks }) => app.mine()
    .filter(({ entry }) => entry.kind === "tick" && entry.ticked && entry.order === order.digest && entry.task === task)
    .sort((a, b) => b.entry.seq - a.entry.seq)
    .find(({ entry }) => countTicked(ticks, entry.first, entry.last) === entry.last - entry.first + 1);

  // --- the group to do now ---------------------------------------------------------------------------------------

  const rowsOf = (parts) => parts.map((part) => el("li", { className: part.yarn.length > LONG ? "long" : "" }, swatch(part.colour), el("b", { textContent: part.ends }),
    el("span", { textContent: yarnWords(part) })));

  const slots = ({ first, last }) => {
    if (task !== "winding" || turnEnds() !== 2) return "";
    const from = Math.ceil(first / 2), to = Math.ceil(last / 2);
    return ` · ${from === to ? t("slot {number}", { number: from }) : t("slots {from} to {to}", { from, to })}`;
  };

  const showHere = ({ order, ticks, groups, here, done, ends }) => {
    at("count").textContent = t("{done} of {all}", { done, all: ends });
    at("bar").max = ends;
    at("bar").value = done;
    at("tick").hidden = !here;
    if (!here) {
      at("where").textContent = t(DOING[task].all, { number: ends });
      at("parts").replaceChildren();
      at("next").replaceChildren();
      return;
    }
    const open = stretches(ticks, here.first, here.last, false)[0] || here;
    at("where").textContent = t("You are here: {place}", { place: `${range(open)}${slots(open)}` });
    at("parts").replaceChildren(...rowsOf(partsBetween(order, open.first, open.last)));
    at("tick").textContent = t(DOING[task].tick, { ends: range(open) });
    const after = groups.find((group) => group.first > open.last);
    const [coming] = after ? partsBetween(order, after.first, after.last) : [];
    at("next").replaceChildren(...(coming ? [`${t("Then")} `, swatch(coming.colour), ` ${partWords(coming)}`] : [t("That is the last group.")]));
  };

  at("tick").addEventListener("click", async () => {
    const seen = look();
    if (!seen || !seen.here) return;
    const open = stretches(seen.ticks, seen.here.first, seen.here.last, false)[0] || seen.here;
    await tick(seen.order, seen.ticks, open, true);
    later = -1;
    const now = look();
    const coming = now.here ? partsBetween(now.order, now.here.first, now.here.last)[0] : null;
    say(`${t("{done} of {all}", { done: now.done, all: now.ends })}. ${coming ? t("Next: {what}.", { what: partWords(coming) }) : t("All done.")}`);
  });

  at("undo").addEventListener("click", async () => {
    const seen = look(), last = seen && lastTick(seen);
    if (!last) return;
    await tick(seen.order, seen.ticks, last.entry, false);
    say(t("The tick of {ends} is taken back.", { ends: range(last.entry) }));
  });

  const say = (words) => { document.getElementById("announce").textContent = words; };

  // --- all groups ------------------------------------------------------------------------------------------------

  const groupRow = ({ order, ticks, here }, group) => {
    const done = countTicked(ticks, group.first, group.last), all = group.last - group.first + 1;
    const state = done === all ? "✓" : done ? `${done}` : "○";
    return el("li", { className: group === here ? "here" : "" }, el("button", {
      type: "button", "aria-pressed": String(done === all), "data-key": `group-${group.first}`,
      onclick: () => tick(order, ticks, group, done !== all),
    }, el("span", { className: "state", "aria-hidden": "true", textContent: state }),
    el("span", { className: "ends", textContent: group.first === group.last ? `${group.first}` : `${group.first}–${group.last}` }),
    el("span", { className: "what" }, ...partsBetween(order, group.first, group.last).flatMap((part, place) => [
      ...(place ? [", "] : []), swatch(part.colour), ` ${partWords(part)}`,
    ])),
    done && done < all ? el("small", { textContent: ` ${t("{done} of {all} ticked", { done, all })}` }) : null));
  };

  const showAll = (seen) => {
    replaced(at("groups"), ...seen.groups.map((group) => groupRow(seen, group)));
  };

  // --- counting twice --------------------------------------------------------------------------------------------

  const countsAt = (order, place) => app.records()
    .filter(({ entry }) => entry.kind === "count" && entry.order === order.digest && entry.task === task && entry.at === place)
    .sort((a, b) => Date.parse(b.entry.made_at) - Date.parse(a.entry.made_at));

  const verdict = ({ ticked, counted: [one, two] }) => {
    if (one !== two) return t("You counted {one}, then {two}: count once more.", { one, two });
    if (one === ticked) return t("Counted twice: {one}, as ticked.", { one });
    return t(DOING[task][one < ticked ? "few" : "many"], { one, ticked, off: Math.abs(one - ticked) });
  };

  const showCount = ({ order, done, ends }) => {
    const halfWay = half(order);
    const place = done === ends ? "end" : done >= halfWay ? "half" : "";
    const [known] = place ? countsAt(order, place) : [];
    const right = known && known.entry.counted[0] === known.entry.counted[1] && known.entry.counted[0] === known.entry.ticked;
    at("counting").hidden = !place || later === done || Boolean(right);
    at("counted").textContent = known ? verdict(known.entry) : "";
    if (at("counting").hidden) return;
    at("counting").dataset.place = place;
    at("counting-title").textContent = place === "end" ? t("Count them all, twice") : t("Half-way: count, twice");
    at("counting-says").textContent = `${t("{done} are ticked.", { done })} ${place === "end" && orderNow() ? orderNow().check : t("Count what is there before you go on.")}`;
  };

  at("counting").addEventListener("submit", async (event) => {
    event.preventDefault();
    const seen = look(), texts = ["first", "second"].map((name) => at(name).value.trim());
    if (!texts.every((text) => /^\d{1,5}$/.test(text))) {
      at("counting-wrong").textContent = t("“{text}”: type how many ends you counted, as {number}, in both boxes.", { text: texts.find((text) => !/^\d{1,5}$/.test(text)), number: seen.done });
      return;
    }
    at("counting-wrong").textContent = "";
    await app.enter({ kind: "count", order: seen.order.digest, task, at: at("counting").dataset.place, ticked: seen.done, counted: texts.map(Number) });
    at("first").value = at("second").value = "";
    say(at("counted").textContent);
  });
  at("later").addEventListener("click", async () => { later = look().done; await app.changed(); });

  // --- an order that was changed, phones that do not agree ---------------------------------------------------------

  const useOrder = async (digest) => { chosen = digest; await app.set("order", digest); await app.changed(); };

  const showChanged = ({ order, ends, done }) => {
    const now = orderNow(), place = at("changed");
    place.hidden = !now || now.digest === order.digest;
    if (place.hidden) { place.replaceChildren(); return; }
    const alike = alikeUpTo(order, now), all = endsOf(now);
    const differs = alike < Math.min(ends, all)
      ? t("The first end that differs is {number}: {before} before, {now} now.", { number: alike + 1, before: partsBetween(order, alike + 1, alike + 1)[0].yarn, now: partsBetween(now, alike + 1, alike + 1)[0].yarn })
      : t("They are alike up to end {number}; before there were {before} ends, now {now}.", { number: alike, before: ends, now: all });
    const ticks = ticksOf(order, task, app.records());
    const carried = stretches(ticks, 1, Math.max(alike, 0), true);
    place.replaceChildren(
      el("h2", { textContent: t("The order was changed") }),
      el("p", { textContent: `${t("{done} of {all} ends are ticked on the order you began; those ticks stay with it.", { done, all: ends })} ${differs}` }),
      el("button", { type: "button", textContent: t("Go on with the changed order"), onclick: () => useOrder(now.digest) }),
      carried.length ? el("button", {
        type: "button",
        textContent: t("Tick the {number} that are alike on the changed order too, and go on with it", { number: countTicked(ticks, 1, alike) }),
        onclick: async () => {
          for (const part of carried) await app.enter({ kind: "tick", order: now.digest, task, ...part, ticked: true });
          await useOrder(now.digest);
        },
      }) : null,
      el("p", { className: "quietly", textContent: t("Or go on below with the order you began.") }),
    );
  };

  const showOthers = ({ order }) => {
    const now = orderNow(), { orders } = app.state();
    const begun = Object.keys(orders).filter((digest) => digest !== order.digest && (digest === (now || {}).digest
      || app.records().some(({ entry }) => entry.kind === "tick" && entry.order === digest)));
    at("others").hidden = begun.length === 0;
    at("others").replaceChildren(el("h3", { textContent: t("Other orders with ticks") }), ...begun.map((digest) => {
      const other = { digest, runs: orders[digest] };
      const done = countTicked(ticksOf(other, task, app.records()));
      return el("button", { type: "button", textContent: t((now || {}).digest === digest ? toSay("The order of now: {done} of {all} ticked") : toSay("An order of before: {done} of {all} ticked"), { done, all: endsOf(other) }), onclick: () => useOrder(digest) });
    }));
  };

  const whose = ({ entry }) => (entry.phone === app.phone ? t("this phone") : t("phone {name}", { name: entry.phone.slice(0, 4) }));

  const showUnlike = ({ order, ticks }) => {
    const found = disagreements(ticks);
    at("unlike").hidden = found.length === 0;
    at("unlike").replaceChildren(...found.map((one) => el("section", {},
      el("h2", { textContent: t("Phones do not agree on {ends}", { ends: range(one) }) }),
      el("ul", {}, ...one.words.map((word) => el("li", {
        textContent: `${whose(word)}, ${clock(Date.parse(word.entry.made_at))}: ${t(word.entry.ticked ? DOING[task].done : DOING[task].not)}`,
      }))),
      ...[true, false].map((ticked) => el("button", {
        type: "button", textContent: t(ticked ? DOING[task].yes : DOING[task].no),
        onclick: () => app.enter({ kind: "tick", order: order.digest, task, first: one.first, last: one.last, ticked }),
      })),
    )));
  };

  // --- choices ---------------------------------------------------------------------------------------------------

  const choice = (name, value, set) => {
    for (const button of root.querySelectorAll(`[data-${name}]`)) {
      button.addEventListener("click", async () => { await set(button.dataset[name]); await app.changed(); });
    }
    return () => {
      for (const button of root.querySelectorAll(`[data-${name}]`)) button.setAttribute("aria-pressed", String(button.dataset[name] === value()));
    };
  };
  const showTask = choice("task", () => task, async (one) => { task = one; await app.set("task", one); });
  const showBy = choice("groups", () => by, async (one) => { by = one; await app.set("groups", one); });

  const show = () => {
    showTask();
    showBy();
    const seen = look();
    root.querySelector("[data-at=work]").hidden = !seen;
    at("none").hidden = Boolean(seen);
    if (!seen) return;
    at("turn-word").textContent = turnEnds() === 2 ? t("Pairs") : t("Ends");
    showHere(seen);
    showAll(seen);
    showCount(seen);
    showChanged(seen);
    showOthers(seen);
    showUnlike(seen);
    const last = lastTick(seen);
    at("undo").disabled = !last;
    at("undo").textContent = last ? t("Take back the tick of {ends}", { ends: range(last.entry) }) : t("Nothing to take back");
  };
  app.watch(show);
  show();
};
