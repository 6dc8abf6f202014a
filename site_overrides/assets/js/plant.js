/* The plant at hand: its size and what is fitted, said once for all pages about its family. What does not hold
   for it is hidden; while nothing is said, everything stands there with the plants it holds for. */
(function () {
  "use strict";

  const place = /** @type {HTMLDetailsElement | null} */ (document.querySelector("details.kb-plant"));
  if (!place) return;

  /** Tomorrow it is another plant: what was said in another plant room must not be taken for this one. */
  const KEPT_HOURS = 8;
  const KEY = "kbgen." + (window.kbEdition ? window.kbEdition.shop : "") + ".plant." + place.dataset.plant;
  const buttons = /** @type {HTMLButtonElement[]} */ (Array.from(place.querySelectorAll("button[data-of]")));

  /** @type {Object<string, string>} Value by what it is said of: `size`, or the id of an option. */
  let said = {};

  function restore() {
    said = {};
    try {
      const kept = JSON.parse(localStorage.getItem(KEY) || "null");
      if (!kept || !(Date.now() - kept.at < KEPT_HOURS * 3600 * 1000)) return;
      for (const button of buttons) {
        const { of, value } = button.dataset;
        if (value && kept.said[of] === value) said[of] = value; // an older edition may have had other names
      }
    } catch (refused) {
      // no storage, or not ours: nothing is said
    }
  }

  function keep() {
    try {
      localStorage.setItem(KEY, JSON.stringify({ at: Date.now(), said }));
    } catch (refused) {
      // Without storage it is said for this page only.
    }
  }

  const names = (text) => (text ? text.split(" ") : []);

  /** @param {HTMLElement} part @returns {boolean} Whether it can hold for the plant, by all that is said of it. */
  function holds(part) {
    const sizes = names(part.dataset.sizes);
    return (!said.size || !sizes.length || sizes.includes(said.size))
      && names(part.dataset.fitted).every((option) => said[option] !== "no")
      && names(part.dataset.missing).every((option) => said[option] !== "yes");
  }

  function show() {
    const words = buttons.filter((button) => {
      const pressed = (said[button.dataset.of] || "") === button.dataset.value;
      button.setAttribute("aria-pressed", String(pressed));
      return pressed && button.dataset.value;
    }).map((button) => button.dataset.said);
    place.classList.toggle("kb-plant-known", words.length > 0);
    place.querySelector(".kb-plant-said").textContent = words.join(", ") || "not chosen, all are shown";
    for (const part of document.querySelectorAll(".kb-only, tr[data-sizes]")) part.hidden = !holds(part);
    for (const part of document.querySelectorAll(".kb-elsewhere")) part.hidden = holds(part);
    for (const section of document.querySelectorAll(".kb-page > section")) {
      const blocks = Array.from(section.children).filter((each) => !each.matches("h2, .kb-nothing"));
      section.querySelector(".kb-nothing")?.remove();
      if (!blocks.every((each) => each.hidden && each.matches(".kb-only"))) continue;
      const nothing = document.createElement("p");
      nothing.className = "kb-nothing";
      nothing.textContent = "Nothing here for " + words.join(", ") + ".";
      section.append(nothing);
    }
  }

  /** @param {Object<string, string>} change Values by what they are said of; an empty one takes it back. */
  function say(change) {
    said = Object.fromEntries(Object.entries({ ...said, ...change }).filter(([, value]) => value));
    keep();
    show();
    document.dispatchEvent(new Event("kb-plant"));
  }

  window.kbPlant = { said: () => said, say };
  for (const button of buttons) {
    button.addEventListener("click", () => say({ [button.dataset.of]: button.dataset.value }));
  }
  restore();
  if (Object.keys(said).length) keep();
  show();
  place.hidden = false;
  // Another tab may have been used meanwhile, or the page kept for going back.
  for (const again of ["storage", "pageshow"]) {
    window.addEventListener(again, () => {
      restore();
      show();
      document.dispatchEvent(new Event("kb-plant"));
    });
  }
})();
