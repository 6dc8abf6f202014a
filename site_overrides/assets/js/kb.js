/* Small helpers of every page: colours, the way to the search, the edition, overdue reviews. */
(function () {
  "use strict";

  /** @type {{id: string, date: string, shop: string} | undefined} */
  var edition = window.kbEdition;
  var root = document.documentElement;

  /** @param {string} selector @returns {HTMLElement[]} */
  function all(selector) {
    return Array.prototype.slice.call(document.querySelectorAll(selector));
  }

  /** @returns {string} The colours in use: light, dark or sun. */
  function scheme() {
    var chosen = root.getAttribute("data-scheme");
    if (chosen) return chosen;
    if (matchMedia("(prefers-contrast: more)").matches) return "sun";
    return matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
  }

  function showScheme() {
    all("button[data-scheme]").forEach(function (button) {
      button.setAttribute("aria-pressed", String(button.getAttribute("data-scheme") === scheme()));
    });
  }

  /** @param {string} chosen */
  function setScheme(chosen) {
    root.setAttribute("data-scheme", chosen);
    try {
      if (edition) localStorage.setItem("kbgen." + edition.shop + ".scheme", chosen);
    } catch (refused) {
      // Without storage the choice lasts for this page only.
    }
    showScheme();
  }

  function schemes() {
    all(".kb-schemes").forEach(function (group) {
      group.hidden = false;
    });
    all("button[data-scheme]").forEach(function (button) {
      button.addEventListener("click", function () {
        setScheme(button.getAttribute("data-scheme") || "light");
      });
    });
    showScheme();
  }

  /** The field in the bar leads to the search on the home page. */
  function find() {
    all("form.kb-find").forEach(function (form) {
      form.hidden = false;
      form.addEventListener("submit", function (event) {
        event.preventDefault();
        var words = form.querySelector("input").value;
        location.href = form.getAttribute("data-home") + "?q=" + encodeURIComponent(words);
      });
    });
    var field = document.getElementById("kb-q");
    if (field && location.hash === "#kb-q") field.focus();
  }

  function menu() {
    var details = /** @type {HTMLDetailsElement | null} */ (document.querySelector("details.kb-menu"));
    if (!details) return;
    document.addEventListener("click", function (event) {
      if (!details.contains(/** @type {Node} */ (event.target))) details.open = false;
    });
    document.addEventListener("keydown", function (event) {
      if (event.key !== "Escape" || !details.open) return;
      details.open = false;
      details.querySelector("summary").focus();
    });
  }

  function stamp() {
    if (!edition) return;
    all("[data-edition]").forEach(function (slot) {
      slot.textContent = "Edition " + edition.id + " of " + edition.date;
    });
  }

  /** Turning a phone wraps every line anew: what stood below the bar is scrolled back to its place. */
  function keepInView() {
    var width = innerWidth;
    var page = document.querySelector(".kb-page");
    /** @type {Element | null} */
    var read = null;
    var above = 0;

    /** @param {Element} element */
    function top(element) {
      return element.getBoundingClientRect().top;
    }

    /** @returns {number} Where text begins to be seen, in px from the upper edge. */
    function line() {
      return parseFloat(getComputedStyle(root).scrollPaddingTop) || 0;
    }

    function mark() {
      // The scroll that a turn itself causes comes with the new width and says nothing.
      if (innerWidth !== width) return;
      var at = line();
      var box = page.getBoundingClientRect();
      var hit = document.elementFromPoint(box.left + box.width / 2, at + 4);
      read = scrollY > 0 && hit && page.contains(hit) && hit !== page ? hit.closest(".kb-step, .kb-tick, tr") || hit : null;
      above = read ? (top(read) - at) / Math.max(read.getBoundingClientRect().height, 1) : 0;
    }

    function turned() {
      if (innerWidth === width) return;
      width = innerWidth;
      if (read) {
        var back = top(read) - line() - above * read.getBoundingClientRect().height;
        scrollBy({ top: back, behavior: "instant" });
      }
      mark();
    }

    if (!page) return;
    addEventListener("scroll", mark, { passive: true });
    addEventListener("resize", turned);
    mark();
  }

  /** Dates are compared as text: both are ISO 8601, today is the reader's day. */
  function overdue() {
    var now = new Date();
    var two = function (number) { return String(number).padStart(2, "0"); };
    var today = now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate());
    all("time[data-due]").forEach(function (time) {
      if (time.getAttribute("data-due") >= today) return;
      var mark = document.createElement("strong");
      mark.className = "kb-overdue";
      mark.textContent = time.getAttribute("data-late") || "Review overdue";
      time.parentElement.appendChild(document.createTextNode(" "));
      time.parentElement.appendChild(mark);
    });
  }

  /** What is led to stands open, also where the browser does not open it by itself. */
  function opened() {
    var id = decodeURIComponent(location.hash.slice(1));
    var goal = id && document.getElementById(id);
    if (!goal) return;
    var shut = goal.parentElement.closest("details:not([open])");
    // The name of a card leads to all of it.
    var own = /** @type {HTMLDetailsElement | null} */ (goal.querySelector(":scope > details.kb-branch"));
    if (own) own.open = true;
    if (!shut) return;
    for (var each = shut; each; each = each.parentElement.closest("details:not([open])")) each.open = true;
    goal.scrollIntoView();
  }

  /** On paper nothing that one may be led to stays behind a line. */
  function printed() {
    /** @type {HTMLElement[]} */
    var shut = [];
    addEventListener("beforeprint", function () {
      shut = all("details.kb-branch:not([open])");
      shut.forEach(function (each) { each.open = true; });
    });
    addEventListener("afterprint", function () {
      shut.forEach(function (each) { each.open = false; });
    });
  }

  schemes();
  opened();
  addEventListener("hashchange", opened);
  printed();
  find();
  menu();
  stamp();
  keepInView();
  overdue();
})();
