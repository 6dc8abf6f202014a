// Asks the preview whether this page is still what it shows; takes it anew, at the same place, where it is not.
"use strict";
(() => {
  const place = `kbgen-preview-${location.pathname}`;
  const mark = document.body.dataset.preview;
  const doing = document.querySelector(".preview-doing");
  let asking = null;

  // The place is kept here alone: the browser's own keeping would move a reader who has gone on.
  history.scrollRestoration = "manual";
  const kept = Number(sessionStorage.getItem(place) ?? 0);
  sessionStorage.removeItem(place);
  const scroll = () => window.scrollTo({ top: kept, behavior: "instant" });
  scroll();
  let reached = window.scrollY;
  // Again when all is there, for before that the page may be too short; not for a reader who has gone on.
  const stayed = () => window.scrollY === reached;
  window.addEventListener("load", () => {
    if (kept && stayed()) scroll();
    reached = -1;
  });

  function say(text) {
    if (doing && doing.textContent !== text) doing.textContent = text;
  }

  async function ask() {
    const mine = new AbortController();
    asking = mine;
    while (asking === mine) {
      const told = encodeURIComponent(doing ? doing.textContent : "");
      const query = `page=${encodeURIComponent(location.pathname)}&mark=${mark}&doing=${told}`;
      try {
        const answer = await fetch(`/.kbgen/wait?${query}`, { signal: mine.signal, cache: "no-store" });
        const now = await answer.json();
        say(now.doing);
        if (now.mark !== mark) {
          // Taken anew before it was at its place: it still belongs there.
          sessionStorage.setItem(place, String(stayed() ? kept : window.scrollY));
          location.reload();
          return;
        }
      } catch {
        if (asking !== mine) return;
        say("The preview has ended. Start kbgen serve again.");
        await new Promise((done) => setTimeout(done, 1000));
      }
    }
  }

  // A browser keeps few connections to one place: only the page somebody looks at asks.
  function stop() {
    const old = asking;
    asking = null;
    old?.abort();
  }
  function look() {
    if (document.visibilityState !== "visible") stop();
    else if (asking === null) ask();
  }
  // Taking this page anew would call back a reader who is on the way to another.
  addEventListener("beforeunload", stop);
  addEventListener("pageshow", look);
  document.addEventListener("visibilitychange", look);
  look();
})();
