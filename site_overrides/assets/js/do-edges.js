/* Where a page begins, is taken up again after a break, and ends. */
(function () {
  "use strict";

  const { el, marked, button, said, caution, clock } = window.kbDoDraw;
  const S = window.kbDoState, store = window.kbDoStore, steps = window.kbDoSteps;
  const SURE = {
    lock: "Go there. Is this lock on, with your own tag? Whoever takes over hangs an own lock first, then the first comes off.",
    off: "Go there. Is it still off?", shut: "Go there. Is it still shut?", guard: "Go there. Does the guard still stand?",
    cover: "Go there. Is it open as it was left, and nothing changed behind it?",
    in: "Go there. Does its tag hang, and is it as it was left?", lead: "Go there. Are the leads on as they were, and tight?",
    gas: "Go there. Is it as it was left?",
  };

  window.kbDoEdges = (run) => {
    function field(label, value, words) {
      const input = el("input", "");
      input.value = value;
      input.autocomplete = "off";
      return { made: el("label", "kb-do-field", label, words ? el("small", "", words) : null, input), input };
    }

    /** What these pages are not, in the words of the page itself. */
    const law = () => el("p", "", document.querySelector(".kb-law").textContent);

    const told = () => {
      const made = el("p", "kb-do-said");
      made.setAttribute("role", "status");
      return made;
    };

    /** @returns {string} Initials as typed; empty while they are none. */
    const initials = (input) => (/^[A-ZÀ-Ž]{2,4}$/.test(input.value.trim().toUpperCase()) ? input.value.trim().toUpperCase() : "");
    const readPage = () => button("kb-do-answer kb-do-minor", "Read the page", run.shut);

    function begin() {
      const { page, state } = run, head = el("h2", "", page.title);
      if (!S.mayStart(page, state)) {
        return [head, el("p", "kb-do-stop", "Another page comes first. It was not done on this job, or did not end so that this one may follow."),
          steps.box(page.after.length ? run.link("Do first: " + page.after[1], page.after[0]) : null, readPage())];
      }
      const plant = field("Which plant", state.plant, "Its number, as it stands on it"), who = field("Your initials", state.who, ""), line = told();
      const on = button("kb-do-answer", "Begin", () => {
        const by = initials(who.input), which = plant.input.value.trim();
        if (!which || !by) line.textContent = "Type the plant's number, and two to four letters for your initials.";
        else if (state.plant && which !== state.plant) line.textContent = "This job is at " + state.plant + ". Close it first.";
        else run.send({ k: "start", page: page.id, who: by, plant: which, anew: Boolean(run.job) && run.away() });
      });
      return [head, el("p", "", "The tags on the plant are the truth. This screen is a copy."), law(), steps.list(page.before),
        ...page.first.map((each) => caution(page.cautions[each], false)), plant.made, who.made, line, steps.box(on, readPage())];
    }

    /** Somebody comes back, or takes over: nothing dead is known, and who it is comes first. */
    function again() {
      const { state, pages } = run, who = field("Your initials", "", ""), line = told();
      const on = button("kb-do-answer", "Go on, one by one at the plant", () => {
        if (initials(who.input)) run.send({ k: "break", who: initials(who.input) });
        else line.textContent = "Type two to four letters for your initials.";
      });
      return [el("h2", "", "Go on at " + state.plant), el("p", "", pages[state.page].title + ". Last touched " + clock(run.last()) + " by " + state.who + "."),
        el("p", "kb-do-stop", "Somebody may have been here. Locks, covers and leads are looked at one by one. Dead is proved anew."),
        law(), who.made, line, steps.box(on, run.leave())];
    }

    function sure() {
      const { state, draft } = run, here = run.pages[state.page], key = state.unknown[0], kind = S.kindOf(key);
      const item = S.holds(here, state.at).find((each) => each[0] === key);
      const words = el("p", "kb-do-text", ...marked(said(item ? item[2] : state.beside[key] || key, state.seen[key], state.who)));
      const head = el("p", "kb-do-count", "Not known any more: " + state.unknown.length + (state.unknown.length > 1 ? " things" : " thing"));
      const no = button("kb-do-answer", "No, or not sure", () => run.send({ k: "sure", key, ok: false }));
      if (!["dead", "tried", "zero"].includes(kind)) {
        const yes = button("kb-do-answer", "Yes, I see it now", () => run.send({ k: "sure", key, ok: true }));
        return [head, words, el("p", "kb-do-ask", SURE[kind] || "Go there. Is it as it was left?"), steps.box(yes, no)];
      }
      const step = here.steps[here.again[key]];
      if (!step) return [head, words, el("p", "kb-do-ask", "This page does not prove it. Leave it safe, and begin with the page that does."), steps.box(no)];
      const texts = [head, words, ...(step.cautions || []).map((each) => caution(here.cautions[each], false)),
        ...step.do.map((each) => el("p", "kb-do-text", ...marked(each)))];
      const ctx = { step, state, draft, type: (v) => run.send({ k: "draft", v }) };
      if (step.pairs) return [...texts, ...steps.dead(ctx, (verdict) => run.send({ k: "sure", key, ok: verdict === "dead", v: draft }))];
      if (step.number !== undefined && !draft.length) return [...texts, ...steps.figure(ctx)];
      const yes = button("kb-do-answer", "Yes, seen now", () => run.send({ k: "sure", key, ok: true, ...(draft.length ? { v: draft } : {}) }));
      return [...texts, steps.list([...(step.facts || []), ...(step.right || [])]), el("p", "kb-do-ask", step.ask || "Is it gone?"), steps.box(yes, no)];
    }

    function colleague() {
      const who = field("Initials of who goes on", "", ""), line = told();
      run.turn(() => [who.made, line, steps.box(button("kb-do-answer", "I go on here", () => {
        if (initials(who.input)) run.send({ k: "go", e: 0 }, { k: "break", who: initials(who.input) });
        else line.textContent = "Type two to four letters for your initials.";
      }), button("kb-do-answer kb-do-minor", "Back to the step", () => run.turn()))]);
    }

    function noteFor(label) {
      const { state } = run, number = run.pages[state.page].nodes[state.at][0];
      const kept = state.notes.filter((each) => each[0] === state.page && each[1] === number).map((each) => each[2]);
      return el("p", "kb-do-note", kept.length ? "Noted: " + kept.join("; ") + " " : "",
        button("kb-do-minor", "Note: " + label, () => run.ask(label, (text) => run.send({ k: "note", text }))));
    }

    /** How a page ended, what it leaves, and which pages go on. */
    function over() {
      const { state } = run, [id, how, number] = state.done[state.done.length - 1], there = run.pages[id];
      const open = Object.entries(state.beside), next = number < 0 ? null : there.steps[number].next;
      const ways = (next ? [next] : there.following).filter((each) => how !== "evacuated" && how !== "left");
      return [el("h2", "", there.title), el("p", "kb-do-said", how === "left" ? "Left before its end." : "Ends: " + there.steps[number].end),
        open.length ? el("h2", "", "Still to undo, or outstanding") : el("p", "", "Nothing is left to undo from this job."),
        el("ul", "kb-do-left", ...open.map(([key, words]) => el("li", "", said(words, state.seen[key], state.who)))),
        steps.box(...ways.map(([to, title]) => run.link("Go on with: " + title, to)),
          button("kb-do-answer", "The record of this job", () => window.kbDoRecord(run)),
          button("kb-do-answer kb-do-minor", "Close this job", closeJob), readPage())];
    }

    function closeJob() {
      run.turn(() => [el("p", "kb-do-stop", "The tags on the plant stay. What is open stands on them, and in your record."),
        steps.box(button("kb-do-answer", "Close it", async () => {
          await store.close(run.job, Object.keys(run.state.beside).length);
          store.pointer(null);
          run.shut();
        }), button("kb-do-answer kb-do-minor", "Back", () => run.turn()))]);
    }

    return { field, begin, again, sure, colleague, noteFor, over };
  };
})();
