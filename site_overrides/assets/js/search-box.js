// The search field: results while typing, filters as buttons, everything by keyboard too. Enhances
//   <form class="kb-search" role="search" data-root="../" data-shop="KEY"> with label and input[type=search],
//   .kb-search-filters, p.kb-search-status[role=status], ol.kb-search-results
// Classes it makes: in filters button[aria-pressed] with .kb-search-count; in results li.kb-search-leave,
// li.kb-search-hit with a > .kb-search-title, .kb-search-kind, .kb-search-plant, .kb-search-draft,
// .kb-search-summary, .kb-search-note, .kb-search-why; li.kb-search-near (what a panel shows); li.kb-search-again with a button (did you mean, last searches).
(function () {
  "use strict";

  const MOST = 20, REMEMBERED = 6, RESTS = 300;
  const LOADING = "Loading the search list…", UNMADE = "The search list could not be loaded. Use the lists below.";

  /** A new element with text or children; text is never read as markup. */
  function make(/** @type {string} */ name, /** @type {string} */ style, ...children) {
    const element = document.createElement(name);
    if (style) element.className = style;
    element.append(...children);
    return element;
  }
  const words = (/** @type {string} */ name) => (name.charAt(0).toUpperCase() + name.slice(1)).replace(/[-_]/g, " ");

  /** What the tablet remembers; where storage is refused, nothing. */
  function store(/** @type {string} */ shop) {
    const key = (/** @type {string} */ name) => "kbgen." + shop + "." + name;
    return {
      get(/** @type {string} */ name) {
        try {
          return JSON.parse(localStorage.getItem(key(name)) || "null");
        } catch (refused) {
          return null;
        }
      },
      set(/** @type {string} */ name, /** @type {unknown} */ value) {
        try {
          localStorage.setItem(key(name), JSON.stringify(value));
        } catch (refused) {
          // The choice then lasts for this page only.
        }
      },
    };
  }

  /** @param {HTMLFormElement} form */
  function start(form) {
    const input = form.querySelector("input");
    const [filters, status, list] = [".kb-search-filters", ".kb-search-status", ".kb-search-results"].map((each) => form.querySelector(each));
    const root = form.dataset.root || "", memory = store(form.dataset.shop || "");
    /** The plant taken; the one a query names, when another was tapped after it; rows shown beside those that answer. */
    let kind = "", plant = "", overruled = "", most = 0, index = null, names = {}, waiting = LOADING, last = null, plain = null, resting = 0;

    /** Text with the words that were asked for marked. */
    function marked(/** @type {string} */ text, /** @type {Set<string>} */ asked, /** @type {string} */ last) {
      const parts = [];
      let end = 0;
      for (const match of text.matchAll(/[\p{L}\p{N}]+(?:[-.:'’‑]?[\p{L}\p{N}]+)*/gu)) {
        const found = index.atoms(match[0]).map((atom) => atom.text);
        const whole = found.join("");
        if (!asked.has(whole) && !found.some((word) => asked.has(index.stem(word))) && !(last.length > 1 && whole.startsWith(last))) continue;
        parts.push(text.slice(end, match.index), make("mark", "", match[0]));
        end = match.index + match[0].length;
      }
      return [...parts, text.slice(end)];
    }

    function hit(result, asked, last) {
      const link = make("a", "", make("span", "kb-search-title", ...marked(result.title, asked, last)), " ",
        make("span", "kb-search-kind", words(result.kind)));
      link.href = root + result.address;
      if (result.equipment.length) link.append(" ", make("span", "kb-search-plant", result.equipment.map((id) => names[id] || id).join(", ")));
      if (result.draft) link.append(" ", make("span", "kb-search-draft", "Draft"));
      if (result.summary) link.append(" ", make("span", "kb-search-summary", ...marked(result.summary, asked, last)));
      if (result.note) link.append(" ", make("span", "kb-search-note", result.note));
      if (result.why) link.append(" ", make("span", "kb-search-why", result.why));
      return make("li", "kb-search-hit", link);
    }

    /** Of what was typed nothing was found, or only a code's number: what a panel shows that looks alike, and the ways in without typing. */
    function nearby(found) {
      const row = (label, shows, address) => {
        const link = make("a", "", label, shows);
        link.href = root + address;
        return make("li", "kb-search-near", link);
      };
      const shown = [...new Set(index.data.displays.map((display) => index.data.equipment[display[1]]))];
      const near = found.nearest.map((each) => row("Does it show ", make("samp", "", each.shows), each.address));
      return [...near, ...shown.filter((id) => !plant || id === plant)
        .map((id) => row("Pick what the panel shows: ", names[id], "plant/" + id + "-shows.html"))];
    }

    /** A row that searches for something else. */
    function again(/** @type {string} */ label, /** @type {string} */ query) {
      const button = make("button", "", label, make("strong", "", query));
      button.type = "button";
      button.addEventListener("click", () => {
        input.value = query;
        input.focus();
        show();
      });
      return make("li", "kb-search-again", button);
    }

    function filter(/** @type {string} */ label, /** @type {number | null} */ count, /** @type {boolean} */ pressed, /** @type {() => void} */ choose) {
      const button = make("button", "", label);
      if (count !== null) button.append(" ", make("span", "kb-search-count", String(count)));
      button.type = "button";
      button.setAttribute("aria-pressed", String(pressed));
      button.addEventListener("click", () => {
        const at = [...filters.querySelectorAll("button")].indexOf(button);
        choose();
        show();
        (filters.querySelectorAll("button")[at] || input).focus();
      });
      return button;
    }

    const today = () => new Date().toDateString();

    /** Take a plant, until the day ends; it goes before what this query names. */
    function take(/** @type {string} */ id) {
      overruled = plain && plain.plant !== id ? plain.plant : "";
      plant = id;
      memory.set("plant", { id, day: today() });
    }

    /** Ask the index; a query that names a plant goes before the one taken, until one is tapped. */
    function ask(/** @type {string} */ query, /** @type {number} */ limit) {
      plain = index.query(query, { kind, equipment: plant, limit });
      return overruled && plain.plant === overruled ? index.query(query, { kind, equipment: plant, limit, sure: true }) : plain;
    }

    /** Whether the answer is what exactly the panel of a known plant shows. */
    const isDisplay = (found) => found && found.exact && found.answers === 1 && found.plant && found.results[0].equipment.includes(found.plant);

    /** A row for what answers less well. */
    function further() {
      const button = make("button", "", make("strong", "", "More"), ", less like what was typed");
      button.type = "button";
      button.addEventListener("click", () => {
        const at = list.children.length - 1;
        most = Math.max(most, MOST) + MOST;
        show();
        targets()[at]?.focus();
      });
      return make("li", "kb-search-again", button);
    }

    /** A row that takes another plant, where the one taken hides better answers. */
    function instead(/** @type {string} */ id, /** @type {number} */ many) {
      const button = make("button", "", many === 1 ? "1 better answer" : many + " better answers", " for ", make("strong", "", names[id]));
      button.type = "button";
      button.addEventListener("click", () => {
        take(id);
        input.focus();
        show();
      });
      return make("li", "kb-search-again", button);
    }

    function showFilters(found) {
      const plants = Object.keys(names).filter((id) => found.equipment[id] || id === found.plant);
      const kinds = index.data.kinds.filter(([name]) => found.kinds[name] || name === kind);
      const rows = [];
      if (plants.length > 1 || found.plant) {
        rows.push(plants.map((id) => filter(names[id], found.equipment[id] || 0, id === found.plant, () => { take(id === found.plant ? "" : id); })));
      }
      if (kinds.length > 1 || kind) {
        rows.push(kinds.map(([name, , folder]) => filter(words(folder), found.kinds[name] || 0, name === kind, () => { kind = name === kind ? "" : name; })));
      }
      filters.replaceChildren(...rows.map((row, at) => {
        const group = make("div", "kb-search-group", ...row);
        group.setAttribute("role", "group");
        group.setAttribute("aria-label", at === 0 && (plants.length > 1 || found.plant) ? "Plant" : "Kind of page");
        return group;
      }));
    }

    function say(found, query) {
      const shown = found.answers === 1 ? "1 answer" : found.answers + " answers";
      const where = [found.plant && names[found.plant], kind && words(kind)].filter(Boolean).join(", ");
      const absent = found.absent.length ? " " + (found.plant ? names[found.plant] + " shows" : "No plant shows") + (found.plant ? " no " : " ") + found.absent.join(", ") + "." : "";
      const unknown = found.notUnderstood.length ? " Not found anywhere: " + found.notUnderstood.join(", ") + "." : "";
      return (found.answers ? shown : "Nothing found for “" + (query.length > 60 ? query.slice(0, 60) + "…" : query) + "”")
        + (where ? " (only " + where + ")" : "") + "." + absent + unknown + (found.nearest.length ? " Displays that look alike are below." : "");
    }

    function show() {
      const query = input.value;
      clearTimeout(resting);
      resting = setTimeout(remember, RESTS);
      if (query !== (last && last.query)) most = 0;
      const asked = index ? index.atoms(query).map((atom) => atom.text) : [];
      if (!index || !asked.length) {
        status.textContent = index || (waiting === LOADING && !query.trim()) ? "" : waiting;
        filters.replaceChildren();
        list.replaceChildren(...(index && !query.trim() ? (memory.get("searches") || []).map((each) => again("Again: ", String(each))) : []));
        return;
      }
      const found = ask(query, Math.max(most, MOST));
      last = { ...found, query };
      const many = Math.min(found.answers, MOST);
      const shown = new Set();
      for (let from = 0; from < Math.min(asked.length, 40); from++) {
        let joined = "";
        for (const word of asked.slice(from, from + 4)) shown.add(joined += word);
        if (!index.faint.has(asked[from]) || asked.length === 1) shown.add(index.stem(asked[from])); else shown.delete(asked[from]);
      }
      for (const word of index.atoms(found.didYouMean || "")) if (!index.faint.has(word.text)) shown.add(index.stem(word.text));
      const typed = /[\p{L}\p{N}]$/u.test(query) ? asked[asked.length - 1] : "";
      const rows = found.results.slice(0, most || many).map((result) => hit(result, shown, typed));
      if (found.results.length > rows.length || found.results.length === Math.max(most, MOST)) rows.push(further());
      // After the plant's own row, which says what it shows.
      if (!found.results.length || found.nearest.length || found.absent.length) rows.splice(found.absent.length && found.plant ? 1 : 0, 0, ...nearby(found));
      // Who speaks of danger is not asked back for a word that no page has.
      if (found.didYouMean && !found.danger) rows.push(again("Did you mean ", found.didYouMean));
      for (const [id, above] of Object.entries(found.better)) rows.unshift(instead(id, above));
      if (found.danger) {
        const { address, title, parts } = index.data.emergency, [says, act] = parts[found.danger] || [title || "Leave now", ""];
        const link = make("a", "", make("strong", "", says), " ", make("span", "", act));
        link.href = root + address + (parts[found.danger] ? "#" + found.danger : "");
        rows.unshift(make("li", "kb-search-leave", link));
      }
      showFilters(found);
      // A keyboard on the screen covers all but the field and what stands right under it.
      if (Boolean(found.danger) !== (list.nextElementSibling === filters)) (found.danger ? list : input).after(filters);
      list.replaceChildren(...rows);
      status.textContent = (found.danger ? "Danger: leave first. " : "") + say(found, query.trim());
    }

    /** Keep the query in the address, where a page may do that: when typing rests, for it costs more than the search. */
    function remember() {
      clearTimeout(resting);
      const query = input.value, asked = new URLSearchParams();
      if (query.trim()) asked.set("q", query.slice(0, 300));
      if (kind) asked.set("kind", kind);
      const text = asked.toString();
      try {
        history.replaceState(null, "", location.pathname + (text ? "?" + text : "") + location.hash);
      } catch (refused) {
        // Pages from disk may not; the search works without.
      }
    }

    /** Put a query that led somewhere first among the last searches. */
    function keep() {
      remember();
      const query = input.value.trim().slice(0, 80);
      if (query) memory.set("searches", [query, ...(memory.get("searches") || []).filter((each) => each !== query)].slice(0, REMEMBERED));
    }

    const targets = () => [...list.querySelectorAll("a, button")];

    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const [first] = list.querySelectorAll(".kb-search-leave a, .kb-search-hit a, .kb-search-near a");
      if (!first) return;
      // Only what exactly this plant's panel shows is opened; from all else somebody chooses.
      if (first.closest(".kb-search-hit") && isDisplay(last)) {
        keep();
        first.click();
      } else {
        first.focus();
      }
    });
    input.addEventListener("input", show);
    list.addEventListener("click", (event) => {
      if (event.target.closest("a")) keep();
    });
    form.addEventListener("keydown", (event) => {
      const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
      const at = targets().indexOf(document.activeElement);
      if (event.key === "Escape") {
        event.preventDefault();
        input.value = "";
        input.focus();
        show();
      } else if (step && (at >= 0 || document.activeElement === input)) {
        event.preventDefault();
        (targets()[at + step] || (at + step < 0 ? input : document.activeElement)).focus();
      }
    });
    document.addEventListener("keydown", (event) => {
      if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey || /^(INPUT|TEXTAREA|SELECT)$/.test(event.target.tagName)) return;
      event.preventDefault();
      input.focus();
      input.select();
    });

    const asked = new URLSearchParams(location.search);
    input.value = input.value || asked.get("q") || "";
    kind = asked.get("kind") || "";
    const script = document.createElement("script");
    script.src = root + "assets/search-index.js";
    script.async = true;
    const unmade = () => {
      waiting = UNMADE;
      show();
    };
    script.addEventListener("error", unmade);
    script.addEventListener("load", () => {
      // Another edition's list, kept by the browser, would be read wrongly.
      if (window.kbgenSearchIndex.version !== kbgenSearch.version) return unmade();
      index = kbgenSearch.open(window.kbgenSearchIndex);
      for (const id of index.data.equipment) names[id] = words(id);
      for (let entry = 0; entry < index.size; entry++) {
        if (index.groupOf(entry).kind === "equipment") names[index.entry(entry).id] = index.entry(entry).title;
      }
      const taken = memory.get("plant");
      plant = taken && taken.day === today() && names[taken.id] ? taken.id : "";
      if (!index.data.kinds.some(([name]) => name === kind)) kind = "";
      show();
    });
    document.head.append(script);
    addEventListener("pagehide", remember);
    show();
    if (location.hash === "#kb-q") input.focus();
  }

  document.querySelectorAll("form.kb-search").forEach(start);
})();
