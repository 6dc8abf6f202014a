/* Where a page begins, is taken up again after a break, and ends. */
const YOURS = "Your initials";

window.kbDoEdges = (run) => {
  /** What these pages are not, in the words of the page itself. */
  const law = () => el("p", "", document.querySelector(".kb-law").textContent);

  const readPage = () => minor("Read the page", run.shut);

  /** Asks who it is, and goes on when that is said; `then` may say what else is missing. */
  function signed(label, words, then, ...more) {
    const who = field(label, "", ""), line = said();
    line.setAttribute("role", "status");
    if (run.state.who && label === YOURS) who.input.value = run.away() ? "" : run.state.who;
    return [who.made, line, box(answer(words, async () => {
      const by = who.input.value.trim().toUpperCase();
      line.textContent = /^[A-ZÀ-Ž]{2,4}$/.test(by) ? await then(by) || "" : W.initials;
    }), ...more)];
  }

  /** Which machine: one of the shop's list, or a name of one's own with its family and size. */
  function machine() {
    const { page, state } = run, all = window.kbPlants || [], now = (!state.plant && store.machine(page.plant[0])) || run.start(), there = all.filter((each) => page.plant.includes(each.equipment));
    const family = (window.kbFamilies || {})[page.plant[0]], own = field("Which plant", now.plant || "", W.number);
    let picked = all.find((each) => each.id === now.machine), size = now.size || "";
    const press = (made, on) => made.setAttribute("aria-pressed", String(on));
    const sizes = family && family.sizes.length > 1 ? family.sizes : [];
    const rows = sizes.map(([id, title]) => button("", title, () => {
      size = id;
      show();
    }));
    const more = el("div", "kb-do-machine"), list = there.map((each) => button("", each.number + (each.title ? ", " + each.title : ""), () => {
      picked = picked === each ? undefined : each;
      own.input.value = picked ? picked.number : "";
      show();
    }));
    function show() {
      list.forEach((made, at) => press(made, there[at] === picked));
      rows.forEach((made, at) => press(made, sizes[at][0] === size));
      own.made.hidden = Boolean(picked);
      const open = picked ? picked.outstanding || [] : [];
      more.replaceChildren(...(!picked ? (rows.length ? [ask("Which size?"), el("div", "kb-do-tiles", ...rows)] : [])
        : [el("p", "", W.asOf.replace("{day}", picked.asOf)),
          ...(open.length ? [ask("Outstanding there"), el("ul", "", ...open.map((words) => el("li", "", words)))] : [])]));
    }
    show();
    return {
      made: [list.length ? el("div", "kb-do-tiles", ...list) : null, own.made, more],
      said: () => (picked ? { plant: picked.number, machine: picked.id, size: picked.size || "", equipment: picked.equipment }
        : own.input.value.trim() && (size || !sizes.length) ? { plant: own.input.value.trim(), machine: "", size, equipment: page.plant[0] } : null),
    };
  }

  function begin() {
    const { page, state } = run, head = el("h2", "", page.title);
    if (!mayStart(page, state)) {
      return [head, stop(W.after),
        box(page.after.length ? run.link("Do first: " + page.after[1], page.after[0]) : null, run.job ? another() : practise(), readPage())];
    }
    const start = (who, more) => run.send({ k: "start", page: page.id, who, anew: Boolean(run.job) && run.away(), edition: window.kbEdition.id, ...more });
    if (state.practice) return [head, el("p", "", W.practising),
      ...signed(YOURS, "Go on practising", (who) => start(who, { plant: state.plant, practice: 1 }), minor("End the practice", closeNow), readPage())];
    const plant = machine();
    return [head, el("p", "", W.tags), law(), list(page.before),
      ...page.first.map((each) => caution(page.cautions[each], false)), ...plant.made, ...signed(YOURS, "Begin", (who) => {
        const which = plant.said();
        if (!which) return W.plant;
        const first = run.start(), other = ["plant", "machine", "size"].some((each) => first[each] && which[each] !== first[each]);
        return state.plant && other ? W.other.replace("{plant}", state.plant) : start(who, which);
      }, run.job ? another() : practise(), readPage())];
  }

  /** Every job is one of its own: two tabs may be at two machines, or one of them at practice. */
  const another = () => run.link(W.another, run.page.id, "new");

  /** More than one job is open, and this tab is at none of them. */
  const choose = () => [el("h2", "", run.page.title), ask(W.jobs),
    box(...run.open.map((each) => run.link((each.practice ? "Practice: " : each.plant + ": ") + each.title, each.page, each.job)), another(), readPage())];

  /** The same with a simulated fault, away from the plant. */
  const practise = () => minor(W.practise, () => run.turn(() => [el("h2", "", "Practice"),
    text(W.practice),
    ...signed(YOURS, "Begin the practice", async (who) => {
      await run.simulated();
      const faults = (window.kbPractice || {})[run.page.id] || [], fault = faults[Math.floor(Math.random() * faults.length)];
      run.send({ k: "start", page: run.page.id, who, plant: "No plant", practice: 1, edition: window.kbEdition.id, ...(fault ? { fault: fault[0] } : {}) });
    }, run.stay())]));

  /** Somebody comes back, or takes over: nothing dead is known, and who it is comes first. */
  function again() {
    const { state, pages } = run;
    return [el("h2", "", "Go on at " + state.plant), el("p", "", pages[state.page].title + ". Last touched " + clock(run.last()) + " by " + state.who + "."),
      stop(W.again),
      ...signed(YOURS, W.goOn, (who) => run.send({ k: "break", who }), run.leave(), another()), law()];
  }

  function sure() {
    const { state, draft } = run, here = run.pages[state.page], key = state.unknown[0], kind = kindOf(key);
    const item = holds(here, state.at).find((each) => each[0] === key);
    const words = text(...marked(spoken(item ? item[2] : state.beside[key] || key, state.seen[key], state.who)));
    const head = count("Not known any more: " + state.unknown.length + (state.unknown.length > 1 ? " things" : " thing"));
    const no = answer("No, or not sure", () => run.send({ k: "sure", key, ok: false }));
    if (!["dead", "tried", "zero"].includes(kind)) {
      const by = (state.seen[key] || [""])[0], others = kind === "lock" && by !== state.who && !draft.length;
      // Two locks hang before one comes off: a deed of its own, and not a sentence.
      if (others) return [head, words, ask(W.own),
        box(answer("My own lock and tag " + (state.tags + 1) + " hang", () => run.send({ k: "draft", v: [1] })), no)];
      const own = kind === "lock" && by !== state.who ? { own: 1 } : {};
      const yes = answer("Yes, I see it now", () => run.send({ k: "sure", key, ok: true, ...own }, { k: "draft", v: [] }));
      return [head, words, ask(W["at " + kind] || W.still), box(yes, no)];
    }
    const step = here.steps[here.again[key]];
    if (!step) return [head, words, ask(W.unproved), box(no)];
    const texts = [head, words, ...(step.cautions || []).map((each) => caution(here.cautions[each], false)),
      ...step.do.map((each) => text(...marked(each)))];
    const ctx = run.context(step, here.again[key], []);
    if (step.pairs) return [...texts, ...dead(ctx, (verdict) => run.send({ k: "sure", key, ok: verdict === "dead", v: draft }))];
    if (step.number !== undefined && !draft.length) return [...texts, ...oneNumber(ctx)];
    const yes = answer("Yes, seen now", () => run.send({ k: "sure", key, ok: true, ...(draft.length ? { v: draft } : {}) }));
    return [...texts, list([...(step.facts || []), ...(step.right || [])]), ask(step.ask || "Is it gone?"), box(yes, no)];
  }

  const colleague = () => run.turn(() => signed("Initials of who goes on", "I go on here", (who) => run.send({ k: "go", e: 0 }, { k: "break", who }), run.stay()));

  function noteFor(label) {
    const { state } = run, number = run.pages[state.page].nodes[state.at][0];
    const kept = state.notes.filter((each) => each[0] === state.page && each[1] === number).map((each) => each[2]);
    return el("p", "", kept.length ? "Noted: " + kept.join("; ") + " " : "",
      button("kb-do-minor", "Note: " + label, () => run.ask(label, (text) => run.send({ k: "note", text }))));
  }

  /** How a page ended, what it leaves, and which pages go on. */
  function over() {
    const { state } = run, [id, how, number] = state.done[state.done.length - 1], there = run.pages[id];
    const open = Object.entries(state.beside), next = number < 0 ? null : there.steps[number].next;
    const ways = (next ? [next] : there.following).filter(() => how !== "evacuated" && how !== "left");
    return [el("h2", "", there.title), said(how === "left" ? "Left before its end." : "Ends: " + there.steps[number].end),
      open.length ? el("h2", "", "Still to undo, or outstanding") : el("p", "", W.nothing),
      el("ul", "kb-do-left", ...open.map(([key, words]) => el("li", "", spoken(words, state.seen[key], state.who)))),
      box(...ways.map(([to, title]) => run.link("Go on with: " + title, to)),
        answer("The record of this job", () => window.kbDoRecord(run)),
        minor(state.practice ? "What was simulated" : "Close this job", closeJob), readPage())];
  }

  async function closeNow(_, keep) {
    await store.close(run.job, Object.keys(run.state.beside).length, keep);
    run.shut();
  }

  function closeJob() {
    const practice = run.state.practice, fault = practice && run.fault();
    if (practice) {
      run.turn(() => [fault ? said("Simulated was: ", el("strong", "", fault[1])) : null, box(answer("End the practice", closeNow), run.stay())]);
      return;
    }
    run.turn(() => [stop(W.closing),
      el("p", "", W.tapped),
      box(answer("Close it", closeNow), answer(W.keep, () => closeNow(null, 1)),
        run.stay())]);
  }

  return { machine, signed, begin, again, sure, colleague, noteFor, over, choose, another };
};
