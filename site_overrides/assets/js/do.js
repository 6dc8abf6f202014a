/* "Do this now" on the page of a procedure: what leads through it is loaded when it is asked for. */
(function () {
  "use strict";

  const place = document.getElementById("do");
  const script = document.currentScript;
  if (!place || !window.indexedDB) return;
  const assets = new URL("../", script.src).href, id = place.dataset.procedure;

  const load = (name) => new Promise((good, bad) => {
    const made = document.createElement("script");
    made.src = assets + name;
    made.addEventListener("load", () => good(undefined));
    made.addEventListener("error", () => bad(new Error(name)));
    document.head.append(made);
  });

  let begun = false;
  async function begin() {
    if (begun) return;
    begun = true;
    try {
      await Promise.all(["js/do-state.js", "js/do-store.js", "js/do-draw.js", "steps/" + id + ".js", "steps/leave-now.js"].map(load));
      await load("js/do-steps.js");
      await load("js/do-edges.js");
      await load("js/do-record.js");
      await load("js/do-run.js");
      await window.kbDoRun({ assets, page: window.kbDoing[id] });
    } catch (missing) {
      begun = false;
      const told = place.querySelector("p") || place.appendChild(document.createElement("p"));
      told.textContent = "Step by step could not be begun here. Work by the page below.";
    }
  }

  const style = document.createElement("link");
  style.rel = "stylesheet";
  style.href = assets + "css/do.css";
  document.head.append(style);
  const button = place.querySelector("button");
  button.addEventListener("click", begin);
  place.hidden = false;
  if (location.hash === "#do") style.addEventListener("load", begin);
})();
