/* Keeps this edition on the tablet: starts the worker where one may run, and asks it to compare with the office.
   What became of it stands in `window.kbTablet`, and every change is told by the event `kb-tablet`. */
(function () {
  "use strict";

  const GO_ON = 20000, AGAIN = 3600000, KEPT_HOURS = 8;
  const edition = window.kbEdition || {};
  const root = new URL("../../", document.currentScript.src).href;

  /** @type {{way: string, status: any, compare: (wish?: object) => void}} `way`: disk, plain, none or worker. */
  const tablet = { way: "worker", status: null, compare: () => {} };
  window.kbTablet = tablet;
  if (location.protocol === "file:") tablet.way = "disk";
  else if (!window.isSecureContext) tablet.way = "plain";
  else if (!("serviceWorker" in navigator) || edition.preview) tablet.way = "none";
  if (location.protocol !== "file:") {
    // Not in the page: from disk it would be an error on the console.
    const link = document.createElement("link");
    link.rel = "manifest";
    link.href = root + "manifest.webmanifest";
    document.head.append(link);
  }
  if (tablet.way !== "worker") return;

  /** Whether somebody is in the middle of a job: nothing is switched under their hands. */
  function busy() {
    try {
      const mine = "kbgen." + edition.shop + ".";
      return Object.keys(localStorage).some((name) => {
        if (name !== mine + "job" && !name.startsWith(mine + "locate.")) return false;
        const kept = JSON.parse(localStorage.getItem(name) || "null");
        // A job keeps the pages it goes by; one that lay for long holds no edition back.
        if (name === mine + "job") return !(kept && kept.at && Date.now() - kept.at > KEPT_HOURS * 3600000);
        return Boolean(kept && kept.taken && kept.taken.length && Date.now() - kept.at < KEPT_HOURS * 3600000);
      });
    } catch (refused) {
      return false;
    }
  }

  /** @type {ServiceWorkerRegistration | null} */
  let registration = null;
  tablet.compare = (wish) => {
    const worker = registration && registration.active;
    if (worker) worker.postMessage({ look: true, hold: busy(), ...wish });
  };
  const going = () => ["fetching", "cut"].includes(tablet.status?.last?.state);

  navigator.serviceWorker.addEventListener("message", (event) => {
    if (event.data.scope !== root) return;
    tablet.status = event.data;
    if (tablet.status.last?.ask) event.source.postMessage({ hold: busy() });
    document.dispatchEvent(new Event("kb-tablet"));
  });
  navigator.serviceWorker.startMessages();
  window.addEventListener("online", () => tablet.compare());
  document.addEventListener("visibilitychange", () => document.hidden || tablet.compare());
  // A browser ends a worker that works for long; the next word from a page takes it up again.
  setInterval(() => going() && tablet.compare(), GO_ON);
  setInterval(() => tablet.compare(), AGAIN);

  navigator.serviceWorker.register(root + "sw.js", { scope: root, updateViaCache: "none" })
    .then((found) => {
      registration = found;
      const coming = found.installing || found.waiting;
      if (coming) coming.addEventListener("statechange", () => tablet.compare());
      tablet.compare();
    })
    .catch(() => {
      tablet.way = "none";
      document.dispatchEvent(new Event("kb-tablet"));
    });
})();
