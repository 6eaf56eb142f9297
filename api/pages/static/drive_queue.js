// What a driver records, kept on the telephone until the server has said that it has it. Shared by page and worker.
// Rule: a record leaves the state "waiting" only by an answer of the server that names its id.
"use strict";
self.driveQueue = (() => {
  const STORE = "records", PHONE = "phone", MOST_AT_ONCE = 50, PATIENCE_MS = 20000, KEPT_MS = 60 * 24 * 3600 * 1000;
  let opened = null, sending = null;

  const promised = (request) => new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  const open = () => {
    opened ||= new Promise((resolve, reject) => {
      const request = indexedDB.open("bloomhaul-drive", 1);
      request.onupgradeneeded = () => {
        request.result.createObjectStore(STORE, { keyPath: "turn", autoIncrement: true });
        request.result.createObjectStore(PHONE);
      };
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => { opened = null; reject(request.error); };
    });
    return opened;
  };
  // Resolves once the records are safely written: "strict" waits for the disk, where the browser knows it.
  const write = async (name, work) => {
    const base = await open();
    const change = base.transaction(name, "readwrite", { durability: "strict" });
    const ended = new Promise((resolve, reject) => {
      change.oncomplete = resolve;
      change.onabort = change.onerror = () => reject(change.error);
    });
    const result = work(change.objectStore(name));
    await ended;
    return result.result;
  };
  const all = async () => promised((await open()).transaction(STORE).objectStore(STORE).getAll());
  const phone = async () => {
    const known = await promised((await open()).transaction(PHONE).objectStore(PHONE).get("id"));
    if (known) return known;
    const made = uuid();
    await write(PHONE, (store) => store.put(made, "id"));
    return made;
  };
  // crypto.randomUUID is there on https only; random numbers are there everywhere.
  const uuid = () => {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 0x0f) | 0x40;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    const hex = [...bytes].map((one) => one.toString(16).padStart(2, "0")).join("");
    return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
  };

  const add = async (path, event) => {
    const record = { path, state: "waiting", why: "", event: { ...event, id: uuid(), phone: await phone(), done_at: new Date().toISOString() } };
    record.turn = await write(STORE, (store) => store.add(record));
    return record;
  };

  const sendable = (record) => ({ ...record.event, turn: record.turn });
  const settle = async (batch, answers) => {
    const byId = new Map(answers.map((one) => [one.id, one]));
    const settled = batch.map((record) => ({ record, answer: byId.get(record.event.id) })).filter((one) => one.answer);
    await write(STORE, (store) => {
      let last = { result: null };
      settled.forEach(({ record, answer }) => { last = store.put({ ...record, state: answer.state, why: answer.why, standing: answer.standing }); });
      return last;
    });
    return settled.length;
  };
  const explain = (batch, status) => write(STORE, (store) => batch.map((record) => store.put({ ...record, why: String(status) })).at(-1));
  // Sends one sheet's records in order; returns whether the server could be reached.
  const sendSheet = async (path, waiting, told) => {
    for (let from = 0; from < waiting.length; from += MOST_AT_ONCE) {
      const batch = waiting.slice(from, from + MOST_AT_ONCE);
      const body = JSON.stringify({ sent_at: new Date().toISOString(), events: batch.map(sendable) });
      let answer;
      try {
        answer = await fetch(`${path}/events`, { method: "POST", headers: { "content-type": "application/json" }, body, signal: AbortSignal.timeout(PATIENCE_MS) });
      } catch { return false; }
      if (answer.status >= 500 || answer.status === 429) return false;
      // A server that does not know the sheet, say: its records wait, and hold up no other sheet's.
      if (!answer.ok) { await explain(batch, answer.status); return true; }
      const said = await answer.json();
      if (await settle(batch, said.answers) !== batch.length) return true;
      told(path, said.sheet);
    }
    return true;
  };
  const drain = async (told) => {
    const records = await all();
    const old = records.filter((one) => one.state !== "waiting" && Date.now() - Date.parse(one.event.done_at) > KEPT_MS);
    if (old.length) await write(STORE, (store) => { let last; old.forEach((one) => { last = store.delete(one.turn); }); return last; });
    const waiting = records.filter((one) => one.state === "waiting");
    for (const path of new Set(waiting.map((one) => one.path))) {
      if (!await sendSheet(path, waiting.filter((one) => one.path === path), told)) break;
    }
    return (await all()).filter((one) => one.state === "waiting").length;
  };
  // One sender at a time, over all windows and the worker where the browser has locks; resolves to how many still wait.
  const send = (told = () => {}) => {
    const alone = () => (self.navigator.locks ? navigator.locks.request("bloomhaul-drive-send", () => drain(told)) : drain(told));
    sending ||= alone().finally(() => { sending = null; });
    return sending;
  };
  return { add, all, open, send };
})();
