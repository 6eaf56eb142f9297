// The driver's page with scripts: records are kept on the telephone first and sent when there is signal; without scripts,
// and where the browser keeps nothing, the forms go to the server as forms do.
"use strict";
(() => {
  const main = document.querySelector("main[data-sheet]");
  if (!main || !self.indexedDB) return;
  const queue = self.driveQueue, path = main.dataset.sheet, words = JSON.parse(main.dataset.words);
  const line = document.getElementById("line"), keptLine = document.getElementById("kept-line"), standing = document.getElementById("standing");
  let ready = false, timer = 0;
  const AGAIN_MS = 5000, LOOK_MS = 60000, CALM_MS = 1200;

  const filled = (text, values) => text.replace(/\{(\w+)\}/g, (_, name) => values[name]);
  const time = (moment, zone) => new Intl.DateTimeFormat("en-US", {
    hour: "numeric", minute: "2-digit", hourCycle: main.dataset.clock === "24" ? "h23" : "h12", timeZone: zone || undefined,
  }).format(new Date(moment)).replace(" AM", " am").replace(" PM", " pm").replace("\u202fAM", " am").replace("\u202fPM", " pm");
  const said = (record) => {
    const { kind, counts, note } = record.event;
    const many = Object.entries(counts || {}).map(([lot, hives]) => filled(words.lot, { lot, n: hives })).join(", ");
    return [words[kind.replace(" ", "_")], many, note].filter(Boolean).join(": ");
  };
  const state = (record) => ({ waiting: record.why ? words.unknown : words.waits, kept: words.sent, differs: words.differs, refused: words.refused }[record.state]);

  // ---- what was recorded on this telephone, beside what the server knew when the page was made
  const drawn = (record, zone, back) => {
    const row = document.createElement("li");
    row.dataset.id = record.event.id;
    const what = document.createElement("p");
    what.textContent = `${time(record.event.done_at, zone)} ${said(record)}`;
    const how = document.createElement("p");
    how.className = "small";
    how.textContent = back ? words.taken_back : [state(record), record.why].filter(Boolean).join(": ");
    row.classList.toggle("back", back);
    row.append(what, how);
    if (!back && record.state !== "refused") {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "plain";
      button.textContent = words.take_back;
      button.setAttribute("aria-label", `${words.take_back}: ${what.textContent}`);
      button.addEventListener("click", () => record_({ kind: "taken back", stop: record.event.stop, about: record.event.id }, button));
      row.append(button);
    }
    return row;
  };
  const show = async () => {
    const records = (await queue.all()).filter((one) => one.path === path);
    const gone = new Set(records.filter((one) => one.event.kind === "taken back").map((one) => one.event.about));
    document.querySelectorAll("ol[data-stop]").forEach((list) => {
      records.filter((one) => String(one.event.stop) === list.dataset.stop && one.event.kind !== "taken back").forEach((one) => {
        const row = drawn(one, list.dataset.zone, gone.has(one.event.id));
        const before = list.querySelector(`[data-id="${one.event.id}"]`);
        if (before) before.replaceWith(row); else list.append(row);
      });
      // What another page, or a form, recorded is taken back by its form; here it is only marked.
      gone.forEach((id) => list.querySelectorAll(`[data-id="${id}"]:not(.back)`).forEach((one) => one.classList.add("back")));
      const empty = list.parentElement.querySelector("[data-none]");
      if (empty) empty.hidden = list.children.length > 0;
    });
    tell((await queue.all()).filter((one) => one.state === "waiting").length, records.length);
    return records;
  };
  const tell = (waiting, made) => {
    const text = waiting ? filled(waiting === 1 ? words.wait_one : words.wait_many, { n: waiting }) : made ? words.all_sent : words.nothing;
    if (line.textContent !== text) line.textContent = text;
    line.dataset.waiting = waiting;
  };

  // ---- sending
  const told = (of, sheet) => { if (of === path) stand(sheet); };
  const send = async () => {
    clearTimeout(timer);
    let left = 1;
    try { left = await queue.send(told); } catch { /* The telephone is busy: again in a moment. */ }
    await show();
    if (left) timer = setTimeout(send, AGAIN_MS);
  };
  const ask = async () => {
    const worker = await navigator.serviceWorker?.getRegistration("/drive/");
    try { await worker?.sync?.register("records"); } catch { /* No background sync here: the page sends by itself. */ }
  };
  const record_ = async (event, button) => {
    button.disabled = true;
    const before = button.textContent;
    try {
      await queue.add(path, { version: main.dataset.version, ...event });
      button.textContent = words.noted;
      navigator.vibrate?.(60);
      await show();
      ask();
      send();
      return true;
    } finally {
      setTimeout(() => { button.disabled = false; button.textContent = before; }, CALM_MS);
    }
  };
  // Who has left a stop wants the next one.
  const goOn = (section) => setTimeout(() => {
    const next = section.nextElementSibling;
    if (location.hash === `#${section.id}` && next?.matches("section[data-stop]")) { location.hash = next.id; next.focus(); }
  }, CALM_MS);
  const fromForm = (form) => {
    const fields = new FormData(form), counts = {};
    for (const [name, value] of fields) if (name.startsWith("count.")) counts[name.slice(6)] = Number(value);
    return { kind: fields.get("kind"), stop: Number(fields.get("stop")), counts, note: (fields.get("note") || "").trim(), about: fields.get("about") || "" };
  };
  document.addEventListener("submit", async (submitted) => {
    const form = submitted.target.closest("form[data-record]");
    if (!form || !ready) return;
    submitted.preventDefault();
    const event = fromForm(form), button = submitted.submitter || form.querySelector("button[type=submit]");
    if (event.kind === "note" && !event.note) { form.querySelector("textarea").focus(); return; }
    try {
      await record_(event, button);
      if (event.kind === "note") form.reset();
      if (event.kind === "left") goOn(form.closest("section"));
    } catch { form.submit(); }
  });
  document.querySelectorAll("button[data-step]").forEach((button) => {
    button.hidden = false;
    button.addEventListener("click", () => {
      const field = document.getElementById(button.dataset.of);
      field.value = Math.max(0, Number(field.value || 0) + Number(button.dataset.step));
    });
  });

  // ---- how the sheet stands
  const stand = (sheet) => {
    const now = sheet.standing === "stands" && main.dataset.version && sheet.version !== main.dataset.version ? "changed" : sheet.standing;
    if (now === standing.dataset.standing) return;
    standing.dataset.standing = now;
    standing.hidden = now === "stands";
    standing.querySelector("p").textContent = now === "stands" ? "" : words[`standing_${now}`];
    const link = standing.querySelector("a");
    link.hidden = now === "stands" || now === "gone";
    link.href = sheet.newer || path;
    link.textContent = sheet.newer ? words.open_newer : words.open_again;
    // Without signal the next look shows the sheet as it is now, not as it was.
    if (now !== "stands") keep();
  };
  const look = async () => {
    try {
      const answer = await fetch(`${path}/state`, { cache: "no-store", signal: AbortSignal.timeout(AGAIN_MS) });
      if (answer.ok) stand(await answer.json());
    } catch { /* No signal: the sheet stands as far as anyone here can know. */ }
  };

  // ---- keeping the sheet
  const keep = async () => {
    if (!navigator.serviceWorker) return false;
    const worker = (await navigator.serviceWorker.ready).active;
    return new Promise((resolve) => {
      const line_ = new MessageChannel();
      line_.port1.onmessage = (answer) => resolve(answer.data.kept);
      worker.postMessage({ keep: path }, [line_.port2]);
    });
  };
  const settleIn = async () => {
    keptLine.hidden = false;
    // What waits here must not make room for pictures.
    navigator.storage?.persist?.();
    if (!self.isSecureContext || !navigator.serviceWorker) { keptLine.textContent = words.not_kept; return; }
    await navigator.serviceWorker.register("/drive/worker.js", { scope: "/drive/" });
    const cached = await caches.match(path, { ignoreSearch: true, ignoreVary: true });
    if (cached) keptLine.textContent = words.kept;
    if (await keep()) { keptLine.textContent = words.kept; keptLine.dataset.kept = "yes"; }
    else if (!cached) keptLine.textContent = words.not_kept_yet;
  };
  // A sheet that was read in an earlier state says so until the driver has looked through it.
  const compareWithLastTime = () => {
    const name = `seen ${path}`, notice = document.getElementById("changed");
    const before = localStorage.getItem(name);
    if (!notice || !main.dataset.version) return;
    if (!before) localStorage.setItem(name, main.dataset.version);
    notice.hidden = !before || before === main.dataset.version;
    notice.querySelector("button").addEventListener("click", () => { localStorage.setItem(name, main.dataset.version); notice.hidden = true; });
  };
  // Begins at the first stop that was not left yet.
  const begin = (records) => {
    if (location.hash || !main.dataset.version) return;
    const gone = new Set(records.map((one) => one.event.about));
    const here = new Set(records.filter((one) => one.event.kind === "left" && !gone.has(one.event.id)).map((one) => String(one.event.stop)));
    const left = [...document.querySelectorAll("section[data-stop]")].filter((one) => one.dataset.left === "yes" || here.has(one.dataset.stop));
    const last = left.at(-1);
    if (last?.nextElementSibling?.matches("section[data-stop]")) location.replace(`#${last.nextElementSibling.id}`);
    else if (!last) location.replace("#before");
  };

  const start = async () => {
    await queue.open();
    ready = true;
    const records = await show();
    compareWithLastTime();
    begin(records);
    send();
    look();
    settleIn().catch(() => { keptLine.textContent = words.not_kept_yet; });
    self.addEventListener("online", () => { send(); look(); });
    document.addEventListener("visibilitychange", () => { if (!document.hidden) { send(); look(); } });
    setInterval(look, LOOK_MS);
    if (self.BroadcastChannel) new BroadcastChannel("bloomhaul-drive").addEventListener("message", show);
  };
  start().catch(() => { line.textContent = words.no_store; });
})();
