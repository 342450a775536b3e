// Entries go to the program when it answers: at once, when the page is looked at again, and by trying again and again,
// since a browser tells of its own network only, and not of a program that was started again.

import { t } from "./words.js";

const WAIT_MS = 8000;
const AGAIN_MS = 10000;
const LOOK_MS = 30000;
const AT_ONCE = 200;

const answerOf = async (address, options = {}) => {
  const ending = new AbortController();
  const timer = setTimeout(() => ending.abort(), WAIT_MS);
  try {
    const answer = await fetch(address, {
      ...options, signal: ending.signal, cache: "no-store", headers: { Accept: "application/json", ...options.headers },
    });
    const json = (answer.headers.get("Content-Type") || "").startsWith("application/json");
    return { status: answer.status, said: json ? await answer.json() : null };
  } finally {
    clearTimeout(timer);
  }
};

export const startSending = ({ keeping, project, places, batchOf, stateNow, stateTold, changed }) => {
  const status = { answers: null, at: 0, problem: "", word: false };
  let busy = false, again = false, timer = 0;

  const fail = (problem, word = false) => Object.assign(status, { answers: false, problem, word });

  const ask = async () => {
    const known = stateNow().last;
    const { status: code, said } = await answerOf(`${places.state}&since=${known}&phone=${keeping.phone}`);
    if (code === 401) return fail(t("The program asks for its word again."), true);
    if (code === 404) return fail(t("The program no longer has this project; what was entered stays on this phone."));
    if (code !== 200 || !said) return fail(t("The program went wrong; what was entered stays on this phone."));
    const mine = (await keeping.all()).filter((one) => one.entry.phone === keeping.phone && one.sent === "kept");
    if (said.last < known || said.yours < mine.length) {
      await keeping.sendAllAgain();
      return askFromTheStart();
    }
    await stateTold(said);
    return said.token;
  };

  const askFromTheStart = async () => {
    const { status: code, said } = await answerOf(`${places.state}&since=0&phone=${keeping.phone}`);
    if (code !== 200 || !said) return fail(t("The program went wrong; what was entered stays on this phone."));
    await stateTold(said, true);
    return said.token;
  };

  const send = async (token) => {
    for (;;) {
      const waiting = (await keeping.all()).filter((one) => one.sent === "no").sort((a, b) => a.entry.seq - b.entry.seq);
      if (waiting.length === 0) return true;
      const { status: code, said } = await answerOf(places.entries, {
        method: "POST",
        headers: { "Content-Type": "application/json", "X-CSRFToken": token },
        body: JSON.stringify(batchOf(waiting.slice(0, AT_ONCE))),
      });
      if (code === 401) return fail(t("The program asks for its word again."), true) && false;
      if (code !== 200 || !said) {
        fail((said && said.problem) || t("The program did not take what was sent; it stays on this phone."));
        return false;
      }
      await keeping.settle(said.outcomes);
      if (said.outcomes.length === 0) return true;
    }
  };

  const tryNow = async () => {
    if (busy) { again = true; return; }
    busy = true;
    clearTimeout(timer);
    try {
      const token = await ask();
      if (typeof token === "string" && await send(token)) Object.assign(status, { answers: true, at: Date.now(), problem: "", word: false });
    } catch {
      fail(t("The program does not answer; what was entered stays on this phone."));
    }
    busy = false;
    await changed();
    const soon = again;
    again = false;
    timer = setTimeout(tryNow, soon ? 0 : status.answers ? LOOK_MS : AGAIN_MS);
  };

  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") tryNow(); });
  window.addEventListener("online", tryNow);
  window.addEventListener("pageshow", tryNow);
  return { status, tryNow };
};
