/* Where the tablet is: asked at the start of each visit, kept for this day only. What belongs to a place is shown
   for the one that was chosen; without a choice of today its line stays blank. */
(function () {
  "use strict";

  const KEY = "kbgen." + (window.kbEdition ? window.kbEdition.shop : "") + ".site";
  const today = () => new Date().toDateString();
  const places = Array.from(document.querySelectorAll(".kb-sites"));

  /** @returns {{id: string, day: string, at: string} | null} */
  function chosen() {
    try {
      const kept = JSON.parse(localStorage.getItem(KEY) || "null");
      return kept && kept.day === today() ? kept : null;
    } catch (refused) {
      return here;
    }
  }
  let here = null;

  /** @param {string} id */
  function choose(id) {
    const now = new Date(), two = (number) => String(number).padStart(2, "0");
    here = id ? { id, day: today(), at: two(now.getHours()) + ":" + two(now.getMinutes()) } : null;
    try {
      if (here) localStorage.setItem(KEY, JSON.stringify(here)); else localStorage.removeItem(KEY);
    } catch (refused) {
      // Without storage it holds for this page only.
    }
    show();
  }

  function show() {
    const kept = chosen();
    for (const place of places) {
      const button = kept && Array.from(place.querySelectorAll("button[data-site]")).find((each) => each.dataset.site === kept.id);
      const said = place.querySelector(".kb-site-said p"), name = document.createElement("strong");
      name.textContent = button ? button.textContent : "____________";
      said.replaceChildren("You are at ", name, button ? ", chosen " + kept.at : "");
      place.querySelector(".kb-site-no").hidden = !button;
      place.querySelector(".kb-site-ask").hidden = Boolean(button);
      place.querySelector(".kb-site-unknown").hidden = Boolean(button);
      for (const facts of place.querySelectorAll("[data-site-facts]")) facts.hidden = !button || facts.dataset.siteFacts !== kept.id;
    }
  }

  for (const place of places) {
    for (const button of place.querySelectorAll("button[data-site]")) {
      button.addEventListener("click", () => {
        choose(button.dataset.site);
        place.querySelector(".kb-site-no").focus();
      });
    }
    place.querySelector(".kb-site-no").addEventListener("click", () => {
      choose("");
      place.querySelector(".kb-site-ask button").focus();
    });
  }
  show();
  for (const again of ["storage", "pageshow"]) window.addEventListener(again, show);
})();
