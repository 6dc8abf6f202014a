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
      const listed = load("plants.js").catch(() => {});
      await Promise.all([load("js/steps.js"), load("steps/" + id + ".js"), load("steps/leave-now.js"), listed]);
      await window.kbDoRun({ assets, page: window.kbDoing[id], load });
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
