/* Chooses the colours, and whether this may be a first visit, before the page is painted. Loaded in the head, not deferred. */
(function () {
  "use strict";
  var root = document.documentElement;
  var shop = document.currentScript.getAttribute("data-shop");
  var scheme = null;
  try {
    scheme = localStorage.getItem("kbgen." + shop + ".scheme");
  } catch (refused) {
    // A browser may refuse storage to pages from disk; the choice then lasts for this page only.
  }
  if (scheme === "light" || scheme === "dark" || scheme === "sun") root.setAttribute("data-scheme", scheme);
  root.classList.add("js");
  var worker = location.protocol !== "file:" && window.isSecureContext && navigator.serviceWorker;
  if (worker && !worker.controller) root.classList.add("kb-first-visit");
})();
