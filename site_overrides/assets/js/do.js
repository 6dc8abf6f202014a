/* "Do this now" on the page of a procedure, "Note what was found" on that of a symptom: what does it is loaded when it
   is asked for. */
(function () {
  "use strict";

  const place = document.getElementById("do") || document.getElementById("note");
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
      const own = id ? ["steps/" + id + ".js", "steps/leave-now.js"] : ["js/note.js"];
      await Promise.all([load("steps/words.js").then(() => load("js/steps.js")), load("plants.js"), ...own.map(load)]);
      await (id ? window.kbDoRun({ assets, page: window.kbDoing[id], load }) : window.kbNote({ place, load }));
      begun = Boolean(id);
    } catch (missing) {
      begun = false;
      const told = place.querySelector("p") || place.appendChild(document.createElement("p"));
      told.textContent = "This could not be begun here. Work by the page below.";
    }
  }

  const style = document.createElement("link");
  style.rel = "stylesheet";
  style.href = assets + "css/do.css";
  document.head.append(style);
  const button = place.querySelector("button");
  button.addEventListener("click", begin);
  place.hidden = false;
  if (location.hash.split("=")[0] === "#" + place.id) style.addEventListener("load", begin);
})();
