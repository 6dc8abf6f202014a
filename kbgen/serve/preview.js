// Asks the preview whether this page is still what it shows; takes it anew, at the same place, where it is not.
"use strict";
(() => {
  const place = `kbgen-preview-${location.pathname}`;
  const mark = document.body.dataset.preview;
  const doing = document.querySelector(".preview-doing");
  let asking = null;

  let back = sessionStorage.getItem(place);
  if (back !== null) {
    sessionStorage.removeItem(place);
    // At once, and again when all is there: before that the page may be too short for its place.
    const scroll = () => window.scrollTo({ top: Number(back), behavior: "instant" });
    scroll();
    window.addEventListener("load", () =>
      requestAnimationFrame(() => {
        scroll();
        back = null;
      }),
    );
  }

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
          sessionStorage.setItem(place, back ?? String(window.scrollY));
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
