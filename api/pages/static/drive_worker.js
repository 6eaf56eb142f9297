// Keeps the sheets that were opened on this telephone, each under its own address, and answers with them when there is no signal.
// Rule: an address is answered with what came from that very address, never with another sheet.
const SHEETS = "bloomhaul-sheets-1", LOOK = "bloomhaul-look-1";
const SHEET = /^\/drive\/[^/]+\/(\d{4}-\d{2}-\d{2})-[^/]+$/;
const PATIENCE_MS = 5000, KEPT_DAYS = 14;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

const kept = async (path) => (await caches.open(SHEETS)).match(path, { ignoreSearch: true, ignoreVary: true });

// Keep a page and all that it is dressed with; resolves once both are there.
const keep = async (path, answer) => {
  const text = await answer.clone().text();
  await (await caches.open(SHEETS)).put(path, answer);
  const look = await caches.open(LOOK);
  const wanted = [...text.matchAll(/(?:href|src)="(\/look\/[^"]+)"/g)].map((one) => one[1]);
  await Promise.all([...new Set(wanted)].map(async (one) => {
    if (await look.match(one, { ignoreVary: true })) return;
    const file = await fetch(one);
    if (!file.ok) throw new Error(`${one}: ${file.status}`);
    await look.put(one, file);
  }));
};
// Sheets of nights long gone, and dress that no kept sheet wears, make room.
const tidy = async () => {
  const sheets = await caches.open(SHEETS), look = await caches.open(LOOK);
  let worn = "";
  for (const request of await sheets.keys()) {
    const night = SHEET.exec(new URL(request.url).pathname);
    if (!night || Date.now() - Date.parse(night[1]) > KEPT_DAYS * 24 * 3600 * 1000) await sheets.delete(request);
    else worn += await (await sheets.match(request)).text();
  }
  for (const request of await look.keys()) {
    const address = new URL(request.url);
    if (!worn.includes(address.pathname + address.search)) await look.delete(request);
  }
};
const fresh = async (path) => {
  const answer = await fetch(path, { cache: "no-store", headers: { accept: "text/html" } });
  // 410: the sheet was withdrawn; that, not the old sheet, is what the driver must see without signal too.
  if (answer.ok || answer.status === 410) await keep(path, answer.clone());
  return answer;
};
const notHere = () => new Response(
  "<!doctype html><html lang=en><meta charset=utf-8><meta name=viewport content='width=device-width'><title>No signal</title>" +
  "<body bgcolor=#120f18 text=#f4ead3><h1>No signal, and this sheet was never opened on this telephone.</h1>" +
  "<p>Go by the printed sheet, or call.</p>",
  { status: 503, headers: { "content-type": "text/html; charset=utf-8" } });

const sheet = async (path, until) => {
  const before = await kept(path);
  const asked = fresh(path);
  until(asked.catch(() => {}));
  if (!before) return asked.catch(notHere);
  const late = new Promise((resolve) => setTimeout(resolve, PATIENCE_MS));
  const answer = await Promise.race([asked, late]).catch(() => null);
  return answer && answer.status < 500 ? answer : before;
};
const dress = async (request) => (await (await caches.open(LOOK)).match(request, { ignoreVary: true })) || fetch(request);

self.addEventListener("fetch", (event) => {
  const address = new URL(event.request.url);
  if (event.request.method !== "GET" || address.origin !== self.location.origin) return;
  if (SHEET.test(address.pathname)) event.respondWith(sheet(address.pathname, (work) => event.waitUntil(work)));
  else if (address.pathname.startsWith("/look/")) event.respondWith(dress(event.request));
});
self.addEventListener("message", (event) => {
  const [port] = event.ports;
  const work = fresh(event.data.keep).then((answer) => answer.ok && tidy().then(() => true));
  event.waitUntil(work.then((done) => port.postMessage({ kept: done }), () => port.postMessage({ kept: false })));
});
// Signal is back while the page may be closed.
self.addEventListener("sync", (event) => {
  const work = self.driveQueue.send().then((left) => {
    new BroadcastChannel("bloomhaul-drive").postMessage("sent");
    if (left) throw new Error(`${left} still wait`);
  });
  event.waitUntil(work);
});
