// What is entered is kept on this phone, in its browser, and is on its disk before the page says so.
// A record: {key, project, sent, number, sentence, entry}; `entry` is what is sent, and never changes. `sent` is
// "no", "kept" (the program has it), or "refused" (the program said why not, and it stays here).

import { newKey } from "./keys.js";

const DATABASE = "clothwright-phone";

const asked = (request) => new Promise((resolve, reject) => {
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
});

const openDatabase = () => {
  const request = indexedDB.open(DATABASE, 1);
  request.onupgradeneeded = () => {
    const records = request.result.createObjectStore("records", { keyPath: "key" });
    records.createIndex("project", "project");
    request.result.createObjectStore("settings");
  };
  return asked(request);
};

const inDatabase = (database) => {
  const within = (mode, work) => new Promise((resolve, reject) => {
    const change = database.transaction(["records", "settings"], mode, { durability: "strict" });
    let answer;
    change.oncomplete = () => resolve(answer);
    change.onerror = () => reject(change.error);
    change.onabort = () => reject(change.error);
    Promise.resolve(work(change.objectStore("records"), change.objectStore("settings")))
      .then((found) => { answer = found; }, (wrong) => { try { change.abort(); } catch { /* it has ended by itself */ } reject(wrong); });
  });
  return {
    lasting: true,
    within,
    records: (store, project) => asked(store.index("project").getAll(project)),
    get: (store, key) => asked(store.get(key)),
    put: (store, value, key) => asked(key === undefined ? store.put(value) : store.put(value, key)),
  };
};

// Where the browser keeps nothing, entries last while the page is open, and the page says so.
const inMemory = () => {
  const records = new Map(), settings = new Map();
  return {
    lasting: false,
    within: async (_mode, work) => work(records, settings),
    records: async (store, project) => [...store.values()].filter((one) => one.project === project),
    get: async (store, key) => store.get(key),
    put: async (store, value, key) => { store.set(key === undefined ? value.key : key, value); },
  };
};

export const openKeeping = async (project) => {
  let kept;
  try {
    kept = inDatabase(await openDatabase());
  } catch {
    kept = inMemory();
  }

  const phone = await kept.within("readwrite", async (_records, settings) => {
    const known = await kept.get(settings, "phone");
    if (known) return known;
    const made = newKey();
    await kept.put(settings, made, "phone");
    return made;
  });

  // An entry gets its place among those of this phone in the same step in which it is kept.
  const add = (said) => kept.within("readwrite", async (records, settings) => {
    const seq = ((await kept.get(settings, "seq")) || 0) + 1;
    await kept.put(settings, seq, "seq");
    const entry = { key: newKey(), phone, seq, made_at: new Date().toISOString(), ...said };
    await kept.put(records, { key: entry.key, project, sent: "no", number: 0, sentence: "", entry });
    return entry;
  });

  const merge = (told) => kept.within("readwrite", async (records) => {
    for (const { number, sentence, ...entry } of told) {
      const there = await kept.get(records, entry.key);
      await kept.put(records, { key: entry.key, project, sent: "kept", number, sentence, entry: there ? there.entry : entry });
    }
  });

  const settle = (outcomes) => kept.within("readwrite", async (records) => {
    for (const { key, outcome, sentence, number } of outcomes) {
      const there = await kept.get(records, key);
      if (there) await kept.put(records, { ...there, sent: outcome === "refused" ? "refused" : "kept", sentence, number });
    }
  });

  // The program has fewer of this phone's entries than it once said: its data were put back to an older state.
  const sendAllAgain = () => kept.within("readwrite", async (records) => {
    for (const one of await kept.records(records, project)) {
      if (one.entry.phone === phone) await kept.put(records, { ...one, sent: "no", number: 0 });
    }
  });

  return {
    phone,
    lasting: kept.lasting,
    add,
    merge,
    settle,
    sendAllAgain,
    all: () => kept.within("readonly", (records) => kept.records(records, project)),
    setting: (name) => kept.within("readonly", (_records, settings) => kept.get(settings, `${name} ${project}`)),
    set: (name, value) => kept.within("readwrite", (_records, settings) => kept.put(settings, value, `${name} ${project}`)),
  };
};
