/* Keeps what is done step by step on this tablet: events that are only ever added to, each on the disk before its
   screen is drawn, and the data of every page of the job, so that a job ends on the edition it began with. */
(function () {
  "use strict";

  const shop = window.kbEdition ? window.kbEdition.shop : "";
  const NAME = "kbgen." + shop + ".jobs", OPEN = "kbgen." + shop + ".job", KEPT_DAYS = 14, HOURS = 8;

  /** @param {IDBRequest | IDBTransaction} asked @returns {Promise<any>} */
  const done = (asked) => new Promise((good, bad) => {
    if ("oncomplete" in asked) asked.oncomplete = () => good(undefined);
    else asked.onsuccess = () => good(asked.result);
    asked.onerror = () => bad(asked.error);
    if ("onabort" in asked) asked.onabort = () => bad(asked.error);
  });

  let opened = null;
  function database() {
    if (opened) return opened;
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore("events", { keyPath: "n", autoIncrement: true }).createIndex("job", "job");
      asked.result.createObjectStore("pages", { keyPath: ["job", "id"] });
      asked.result.createObjectStore("jobs", { keyPath: "job" });
    };
    opened = done(asked);
    return opened;
  }

  async function write(stores, what) {
    const base = await database(), writing = base.transaction(stores, "readwrite", { durability: "strict" });
    what(writing);
    await done(writing);
  }

  async function all(store, job) {
    const base = await database(), from = base.transaction(store).objectStore(store);
    const asked = store === "events" ? from.index("job").getAll(job) : from.getAll();
    const found = await done(asked);
    return store === "pages" ? found.filter((each) => each.job === job) : found;
  }

  /**
   * Adds events, and with the first of a page its data; resolves when they are on the disk. Where there are more events
   * than the `known`, another tab went on meanwhile, and nothing is added. `more` stands in the row of the job: where it
   * is now, or that it is closed.
   */
  function add(job, events, pages, known, more) {
    return write(["events", "pages", "jobs"], (writing) => {
      writing.objectStore("events").index("job").count(job).onsuccess = (counted) => {
        if (counted.target.result !== known) {
          writing.abort();
          return;
        }
        for (const page of pages) writing.objectStore("pages").put({ job, id: page.id, data: page });
        for (const event of events) writing.objectStore("events").add({ ...event, job });
        writing.objectStore("jobs").put({ job, last: Date.now(), closed: 0, ...more });
      };
    });
  }

  /** @returns {Promise<{events: object[], pages: Object<string, object>}>} A job as it was kept, drafts included. */
  async function read(job) {
    const [events, pages] = await Promise.all([all("events", job), all("pages", job)]);
    return { events, pages: Object.fromEntries(pages.map((each) => [each.id, each.data])) };
  }

  async function forget(job) {
    const { events, pages } = await read(job);
    await write(["events", "pages", "jobs"], (writing) => {
      for (const each of events) writing.objectStore("events").delete(each.n);
      for (const id of Object.keys(pages)) writing.objectStore("pages").delete([job, id]);
      writing.objectStore("jobs").delete(job);
    });
  }

  /** Takes away what was closed long ago, and readings of the helper after hours; a job of which something is still to undo is kept. */
  async function tidy() {
    const most = (job) => (job.startsWith("helper ") ? HOURS * 3600000 : KEPT_DAYS * 86400000);
    const old = (await all("jobs")).filter((each) => each.closed && !each.keep && !each.left && Date.now() - each.closed > most(each.job));
    for (const { job } of old) await forget(job);
  }

  const mark = (job, more) => write(["jobs"], (writing) => {
    writing.objectStore("jobs").put({ job, last: Date.now(), closed: Date.now(), ...more });
  });
  async function close(job, left, keep) {
    await mark(job, { left, keep: keep ? 1 : 0 });
    await point();
  }

  /** Sets a job aside that cannot be read: it is not opened any more, and not taken away. */
  async function aside(job) {
    try {
      if (job) await mark(job, { keep: 1 });
      await point();
    } catch (damaged) {
      // What cannot be written to stays as it is.
    }
  }

  /** Says to the other pages that a job is open, or none; what was done stands in the database only. */
  function pointer(value) {
    try {
      if (value) localStorage.setItem(OPEN, JSON.stringify(value)); else localStorage.removeItem(OPEN);
    } catch (refused) {
      // Then the edition may be changed under a job; its pages are kept with it.
    }
  }

  /** @returns {Promise<Array<{job: string, page?: string, title?: string, plant?: string, practice?: boolean}>>} The jobs that are not closed, the one written to last first. */
  const open = async () => (await all("jobs")).filter((each) => !each.closed).sort((a, b) => b.last - a.last);

  /** Says to the other pages which job is open, when one was closed. */
  const point = async () => pointer((await open())[0]);

  /**
   * The machine at hand, as the helper on circuits was told; steps offer it. With null it is forgotten. What was said in
   * another plant room some hours ago must not be taken for this one.
   */
  function machine(family, value) {
    const key = "kbgen." + shop + ".machine." + family;
    try {
      if (value) localStorage.setItem(key, JSON.stringify({ ...value, at: Date.now() }));
      else if (value === null) localStorage.removeItem(key);
      const kept = value || JSON.parse(localStorage.getItem(key) || "null");
      return kept && (value || Date.now() - kept.at < HOURS * 3600000) && typeof kept.plant === "string" ? kept : null;
    } catch (refused) {
      return value || null;
    }
  }

  window.kbDoStore = { add, read, forget, tidy, close, aside, pointer, open, machine };
})();
