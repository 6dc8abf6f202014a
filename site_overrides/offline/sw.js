/* Keeps whole editions for where there is no signal. These bytes are the same in every edition: editions are data.

   One cache holds files under the SHA-256 of their bytes, lists of files under theirs, and a few records:
     now      the edition that answers; writing it is the one act that switches
     next     the list that is being fetched
     pin/ID   the list that the document ID was opened with, and when; it outlives this worker
     seen     when the office last had the same edition
     last     how the last look at the office ended
   A file is stored only when its hash is right, so that a portal or a cut line can put nothing in. */
"use strict";

const SCOPE = registration.scope, LIST = "edition-files.json", FORMAT = 1;
const LANES = 6, MOST_WRONG = 5, HOUR = 36e5, RECENT = 6e5, PATIENCE = 12e4, ANSWER = 2e3;
// It looks for the office as every page does: the host may have a newer edition only.
const MISSING = '<!doctype html><meta charset="utf-8"><meta name="viewport" content="width=device-width"><link rel="icon" href="data:,">'
  + ["edition", "js/offline"].map((name) => `<script defer src="${SCOPE}assets/${name}.js"></script>`).join("")
  + "<title>Not on this tablet</title><h1>Not on this tablet</h1><p>This page got lost and the office cannot be reached. It comes by itself when there is signal. Then open it again.</p>"
  + `<p><a href="${SCOPE}leave-now.html">Leave now</a></p><p><a href="${SCOPE}index.html">Home</a></p>`;
const TYPES = {
  html: "text/html; charset=utf-8", css: "text/css; charset=utf-8", js: "text/javascript; charset=utf-8",
  json: "application/json", webmanifest: "application/manifest+json", txt: "text/plain; charset=utf-8",
  xml: "application/xml", svg: "image/svg+xml", png: "image/png", jpg: "image/jpeg", jpeg: "image/jpeg", webp: "image/webp",
};

const open = () => caches.open("kbgen " + SCOPE);
const key = (name) => SCOPE + "~" + name;
const store = async (name, body) => (await open()).put(key(name), new Response(body));
const write = (name, value) => store(name, JSON.stringify(value));
const read = async (name) => (await (await open()).match(key(name)))?.json();
const ask = (path) => fetch(SCOPE + path, { cache: "no-store", signal: AbortSignal.timeout(PATIENCE) });

async function digest(bytes) {
  return Array.from(new Uint8Array(await crypto.subtle.digest("SHA-256", bytes)), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

const lists = new Map();
/** The list of this hash, or undefined. */
async function listed(id) {
  if (!lists.has(id)) {
    const list = await read(id);
    if (!list) return undefined;
    lists.set(id, list);
  }
  return lists.get(id);
}

/** Fetches one file; returns 0, or the status of an answer that is not the file of the list.
    Throws when there is no answer or no room. */
async function bring(path, hash) {
  const answered = await ask(path);
  const bytes = await answered.arrayBuffer().catch(() => new ArrayBuffer(0));
  if (await digest(bytes) !== hash) return answered.status;
  await store(hash, bytes);
  return 0;
}

/* ---- answering ---- */

const pins = new Map();
/** The list a document was opened with. */
async function pinned(client) {
  if (!pins.has(client)) pins.set(client, ((await read("pin/" + client)) || [(await read("now"))?.id || ""])[0]);
  return pins.get(client);
}

/** An answer that is asked for again by every page; else a page of the next edition takes it out of the browser's memory. */
const fresh = (body, status, type) => new Response(body, { status, headers: { "content-type": type, "cache-control": "no-cache" } });

/** The host's own answer, where no edition is kept yet. */
async function passed({ url, method, redirect }) {
  const answered = await fetch(url, { method, redirect, cache: "no-store" });
  // Status 0 is a redirect that the page has to follow itself.
  return answered.status ? fresh(answered.body, answered.status, answered.headers.get("content-type") || "") : answered;
}

async function answer(event, path) {
  const { request, clientId, resultingClientId } = event;
  const opens = request.mode === "navigate";
  let id = opens || !clientId ? (await read("now"))?.id || "" : await pinned(clientId);
  if (opens && resultingClientId) {
    pins.set(resultingClientId, id);
    // Where there is no room for the pin, it lasts as long as this worker.
    event.waitUntil(write("pin/" + resultingClientId, [id, Date.now()]).catch(() => {}));
  }
  if (!id || !await listed(id)) {
    try {
      return await passed(request);
    } catch (away) {
      id = await read("next");
      if (!id) throw away;
    }
  }
  const found = await kept(id, path);
  if (found) return found;
  // So that the next look is not put off because the last one found all of it.
  await tell({ state: "lost" });
  return fresh(MISSING, 503, TYPES.html);
}

/** A file of an edition, fetched anew where it got lost, or undefined. */
async function kept(id, path) {
  const { files } = await listed(id);
  const found = [path, path + ".html", path + "index.html"].find((each) => each === LIST || Object.hasOwn(files, each));
  const name = found || "404.html", hash = found === LIST ? id : files[name];
  const look = async () => (await open()).match(key(hash));
  let body = await look();
  if (!body && !await bring(name, hash).catch(() => 1)) body = await look();
  return body && fresh(body.body, found ? 200 : 404, TYPES[name.split(".").pop()] || "application/octet-stream");
}

addEventListener("fetch", (event) => {
  const { method, url } = event.request, at = url.split(/[?#]/)[0];
  if (at.startsWith(SCOPE) && (method === "GET" || method === "HEAD")) event.respondWith(answer(event, at.slice(SCOPE.length)));
});

/* ---- looking at the office ---- */

let last;
async function say() {
  const status = { scope: SCOPE, now: await read("now"), seen: await read("seen"), last: last || await read("last") };
  for (const page of await clients.matchAll({ includeUncontrolled: true })) page.postMessage(status);
}

/** @param {{state: string}} news How the look ended, or how far it is; pages put it into words. */
async function tell(news) {
  last = { ...news, at: Date.now() };
  await write("last", last).catch(() => {});
  await say();
}

let held = false, heard = () => {};
/** Whether a job is open. Asked of the pages just before a switch: it may have begun while files came. */
async function busy(news) {
  const answered = new Promise((done) => { heard = done; setTimeout(done, ANSWER); });
  await tell({ ...news, ask: true });
  await answered;
  return held;
}

async function missing(list) {
  const there = new Set((await (await open()).keys()).map((each) => each.url));
  const once = new Map(Object.entries(list.files).map(([path, hash]) => [hash, path]).reverse());
  return [...once].reverse().filter(([hash]) => !there.has(key(hash)));
}

/** Throws away what belongs to no edition that answers, is being fetched, or is open somewhere. */
async function sweep() {
  const cache = await open(), names = (await cache.keys()).map((each) => each.url.slice(key("").length));
  const alive = new Set((await clients.matchAll({ includeUncontrolled: true })).map((each) => each.id));
  const keep = new Set(["now", "next", "seen", "last"]), ids = [(await read("now"))?.id, await read("next")];
  for (const name of names.filter((each) => each.startsWith("pin/"))) {
    const [id, at] = await read(name);
    // A page in the way back of its tab is no client, but may come again.
    if (!alive.has(name.slice(4)) && Math.abs(Date.now() - at) > HOUR) continue;
    keep.add(name);
    ids.push(id);
  }
  for (const id of ids) {
    keep.add(id);
    for (const hash of Object.values((await listed(id))?.files || {})) keep.add(hash);
  }
  for (const name of names) if (!keep.has(name)) await cache.delete(key(name));
}

/** How a look ended that ended with this fault. */
function ended(fault) {
  if (/Quota/.test(fault.name)) return "no-room";
  return /TypeError|Timeout|Abort/.test(fault.name) ? "cut" : "failed";
}

/** @param {{force?: boolean, take?: string}} wish `take`: the list chosen by hand. */
async function look({ force, take }) {
  const now = await read("now"), before = await read("last");
  if (now && !force && before?.state === "whole" && Math.abs(Date.now() - before.at) < RECENT) return say();
  let list, bytes, skew = 0;
  try {
    const answered = await ask(LIST);
    if (!answered.ok) return tell({ state: "refused", code: answered.status });
    bytes = await answered.arrayBuffer();
    list = JSON.parse(new TextDecoder().decode(bytes));
    if (list.format !== FORMAT || !list.files["index.html"]) throw list;
    skew = Date.now() - (Date.parse(answered.headers.get("date")) || Date.now());
  } catch (away) {
    return tell({ state: "away" });
  }
  const id = await digest(bytes), { mark, date, number } = list, offer = { id, mark, date, skew };
  if (now && now.id === id) {
    await (await open()).delete(key("next"));
    await write("seen", Date.now());
    await sweep();
    return tell({ state: "whole", skew });
  }
  if (now && number < now.number) return tell({ state: "older", ...offer });
  if (now && number === now.number && take !== id) return tell({ state: "unnumbered", ...offer });

  await store(id, bytes);
  await write("next", id);
  await sweep();
  const need = await missing(list), of = new Set(Object.values(list.files)).size, wrong = [];
  let left = need.length, lost = null, code = 0, said = Date.now();
  const state = (name) => ({ state: name, ...offer, have: of - left, of, bytes: list.bytes });
  const one = async () => {
    const [hash, path] = need.shift();
    try {
      const status = await bring(path, hash);
      if (status) wrong.push(path);
      else left--;
      code = Math.max(code, status);
    } catch (fault) {
      lost = fault;
    }
    if (Date.now() - said < 300) return;
    said = Date.now();
    last = { ...state("fetching"), at: said };
    say();
  };
  const lane = async () => {
    while (need.length && !lost && wrong.length < MOST_WRONG) await one();
  };
  await tell(state("fetching"));
  if (need.length) await one(); // the emergency page, before anything else
  await Promise.all(Array.from({ length: LANES }, lane));
  if (lost) return tell(state(ended(lost)));
  if (wrong.length) return tell({ ...state("wrong"), files: wrong, code });
  if (now && take !== id && await busy(state("fetching"))) return tell(state("ready"));
  await write("now", { id, mark, date, number, bytes: list.bytes, files: of });
  await (await open()).delete(key("next"));
  await write("seen", Date.now());
  await sweep();
  return tell({ state: "whole", skew });
}

let going = null;
/** @param {{look?: boolean, hold: boolean}} wish `hold`: a job is open. Without `look` it is an answer to `ask`. */
async function turn(wish) {
  held = wish.hold;
  if (!wish.look) return heard();
  if (going && wish.force) await going;
  going = going || look(wish).catch((fault) => tell({ state: ended(fault) })).finally(() => { going = null; });
  return going;
}

addEventListener("message", (event) => event.waitUntil(turn(event.data)));
addEventListener("install", () => skipWaiting());
