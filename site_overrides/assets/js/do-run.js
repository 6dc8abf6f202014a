/* Leads through a procedure one step a screen. A screen is drawn only when what led to it is on the disk. */
const GUARD = 500, HOT = 700, TOKEN = "kbgen.do";

window.kbDoRun = async function ({ assets, page, load }) {
  /** What all screens share. `aside` draws what is asked between two steps; nothing of it is kept. */
  const run = {
    assets, page, state: begin(), pages: { [page.id]: page }, job: "", log: [], draft: [], aside: null, picked: {},
    send, draw, load, ask: sentence, leave, step: () => stepAt(run.pages[run.state.page], run.state.at),
    /** Whether nobody touched it for so long that what was dead is not known any more. */
    rested: () => Date.now() - run.last() > BREAK || Date.now() < run.last() - 60000,
    /** How the job began: which machine, and in practice which fault is simulated. */
    start: () => run.log.find((each) => each.k === "start") || {},
    fault: () => (window.kbPractice || {})[page.id]?.find((each) => each[0] === run.start().fault),
    last: () => (run.log.length ? run.log[run.log.length - 1].t : 0),
    away: () => run.rested() || sessionStorage.getItem(TOKEN) !== run.job,
    link, shut, turn, stay, simulated: () => simulated(),
  };
  const edges = window.kbDoEdges(run);
  const root = el("main", "kb-do");
  root.setAttribute("aria-label", "Step by step");
  const hidden = [...document.body.children].filter((each) => !["SCRIPT", "LINK"].includes(each.tagName) && !each.hidden);
  let guard = 0, busy = false;
  /** Where a job is gone on with: the address names it, so that a tab keeps to its own. */
  const at = (job) => "#do" + (job ? "=" + job : "");
  /** All of the page is here before it begins: whoever stands at a plant waits for no file. */
  const names = Array.from({ length: page.parts || 0 }, (_, at) => page.id + "." + (at + 1));
  const entire = Promise.all(names.map((name) => load("steps/" + name + ".js"))).then(() => opened(page, ...names.map((name) => window.kbDoing[name])));
  entire.catch(() => {});

  /** Writes events down, then takes them in and draws; what could not be written is not shown as done. */
  async function send(...events) {
    if (busy) return;
    if (run.state.page && run.rested() && !events.some((event) => ["break", "leave"].includes(event.k))) {
      draw();
      return;
    }
    busy = true;
    const now = Date.now(), told = events.map((event) => ({ t: now, ...event }));
    try {
      await entire;
      run.job ||= now.toString(36) + Math.random().toString(36).slice(2, 8);
      const begun = told.find((each) => each.k === "start"), there = run.pages[begun ? begun.page : run.state.page] || page;
      const where = { page: there.id, title: there.title, plant: (begun || run.state).plant, practice: Boolean((begun || run.state).practice) };
      await store.add(run.job, told, begun ? [there] : [], run.log.length, where);
      store.pointer({ job: run.job, ...where });
    } catch (full) {
      busy = false;
      draw(stop(W.full));
      return;
    }
    for (const event of told) {
      run.log.push(event);
      run.draft = event.k === "draft" ? event.v : [];
      take(run.pages, run.state, event);
    }
    if (told.some((each) => each.k === "start" && each.practice)) await simulated();
    sessionStorage.setItem(TOKEN, run.job);
    history.replaceState(null, "", at(run.job));
    run.aside = null;
    draw();
    guard = performance.now() + (run.state.page && run.step().hot ? HOT : GUARD);
    busy = false;
  }

  /** A second tap right after the first is nobody's answer to what just appeared. */
  function guarded(event) {
    const tapped = event.target.closest("button, a");
    if (!tapped || tapped.closest(".kb-do-keys button:not(.kb-do-take), .kb-do-tiles :not(.kb-do-answer), .kb-do-leave-now")) return;
    if (busy || performance.now() < guard) {
      event.preventDefault();
      event.stopPropagation();
    } else guard = performance.now() + GUARD;
  }

  /** Shows what is asked between two steps, or the step again. */
  function turn(aside) {
    run.aside = aside || null;
    draw();
    const input = root.querySelector("input");
    if (aside && input) input.focus();
  }

  function link(words, id, job = run.job) {
    const made = el("a", "kb-do-answer", ...marked(words));
    made.href = id + ".html" + at(job);
    made.addEventListener("click", () => id === page.id && setTimeout(() => location.reload(), 50));
    return made;
  }

  function stay() {
    return minor("Back to the step", () => turn());
  }

  /** Asks for a sentence; where `none` is right, one tap is enough. */
  function sentence(words, then, none) {
    const text = field(words, "", W.names);
    turn(() => [text.made, box(answer("Keep it", () => (text.input.value.trim() || none ? then(text.input.value.trim()) : turn())), stay())]);
  }

  function leave() {
    return answer("Leave it safe now", () => turn(() => [el("h2", "", "Leave it safe"),
      text(W.leave),
      text(W.tag),
      box(answer(W.hangs, () => send({ k: "leave" })),
        stay())]));
  }

  // ---- one step ----------------------------------------------------------------------------------

  function stepScreen() {
    const { state, pages } = run, here = pages[state.page], now = run.step();
    const [, , ways, left] = here.nodes[state.at];
    const inFull = new Set([...here.first, ...state.trail.flatMap((node) => stepAt(here, node).cautions || [])]);
    const typing = now.reach && run.draft.length;
    const quiet = now.number !== undefined || now.pairs || now.mark;
    const ctx = context(now, here.nodes[state.at][0], ways);
    return [
      // Once a reach is over, what was read in it is typed, and nothing more is told of it.
      typing ? null : count("Step " + (state.trail.length + 1) + ". Up to " + (left - 1) + " more. " + here.title + " ",
        button("kb-do-wrong", "This step is wrong here", () => sentence(W.wrong, (text) => send({ k: "wrong", text }), true))),
      ...(now.cautions || []).map((each) => caution(here.cautions[each], inFull.has(each))),
      ...(typing ? [] : now.also || now.do).map((line) => text(...marked(line))),
      now.see && !quiet ? el("p", "kb-do-see", "Seen when it is right: ", ...marked(now.see)) : null,
      list((!now.also && now.facts) || []),
      now.volts ? ladder(ctx) : null,
      ...(now.photos || []).map(([file, alt]) => Object.assign(el("img", ""), { src: assets + "../photos/" + file, alt })),
      now.note && now.number === undefined ? edges.noteFor(now.note) : null,
      ...below(ctx),
    ];
  }

  /** What a step's screen goes by: `meter` says what the practice meter shows, where something is simulated. */
  function context(step, number, ways) {
    const { state, draft, picked } = run, here = run.pages[state.page], shows = state.practice && run.fault()?.[2];
    return {
      step, number, ways, state, draft, picked, send, sound, draw, steps: here.steps, page: here, practice: state.practice,
      colleague: edges.colleague, type: (v) => send({ k: "draft", v }), meter: (at) => (shows ? shows[at] : undefined),
      marks: (window.kbPlants || []).find((each) => each.id === run.start().machine)?.marks || [],
    };
  }
  run.context = context;

  /** In practice, what the meter would show comes with the page; without it the person says what would be read. */
  const simulated = async () => page.practice && load("steps/" + page.id + ".practice.js");

  function doubt() {
    const now = run.step(), at = (now.answers || []).findIndex((each) => each[2]);
    if (at >= 0 && !now.ends) {
      send({ k: "go", e: at, u: 1 });
      return;
    }
    turn(() => [text(W.unsure),
      box(leave(), stay())]);
  }

  function back() {
    const { state } = run, here = run.pages[state.page];
    if (run.draft.length) {
      send({ k: "draft", v: [] });
      return;
    }
    if (state.stop || !asksBack(here, state)) {
      send({ k: "back" });
      return;
    }
    const to = stepAt(here, state.trail[state.trail.length - 1]);
    turn(() => [stop(W.back),
      ...to.do.map((line) => text(...marked(line))), ask(W.undone),
      box(answer("Yes, it is undone", () => send({ k: "back", undone: true })),
        minor("No. Stay here", () => turn()))]);
  }

  // ---- the frame ---------------------------------------------------------------------------------

  function standing() {
    const { state } = run;
    if (!state.page) return null;
    const items = holds(run.pages[state.page], state.at).concat(Object.entries(state.beside).map(([key, words]) => [key, "u", words]));
    const count = (what) => items.filter((each) => each[1] === what).length;
    if (state.practice) items.length = 0;
    const total = state.practice ? W.onNothing : [["l", "May be live: "], ["u", "still to undo: "], ["o", "outstanding: "]].map(([what, words]) => words + count(what)).join(" · ");
    const made = el("ul", "kb-do-holds", el("li", "", total), ...items.map(([key, what, words]) => el("li", "kb-do-" + what,
      spoken(words, state.seen[key], state.who), state.unknown.includes(key) ? el("strong", "", " Not known now.") : "")));
    made.setAttribute("aria-label", W.holds);
    made.tabIndex = 0;
    return made;
  }

  function foot() {
    const { state } = run, between = Boolean(run.aside) || state.unknown.length > 0 || run.away();
    // Between two steps there is nothing to go back to, and doubt has its own answer.
    if (!state.page || between) return null;
    const left = button("", "Back", back), right = button("", "Not sure", doubt);
    left.disabled = state.stop === "lost" || !(state.trail.length || run.draft.length || state.stop);
    right.disabled = Boolean(state.stop);
    return el("div", "kb-do-foot", left, right);
  }

  const leavePage = () => new DOMParser().parseFromString(window.kbLeaveNow, "text/html");
  function leaveNow() {
    const inside = el("div", "kb-do-leave"), parsed = leavePage();
    for (const way of parsed.querySelectorAll("a[href]:not([href^='#'])")) {
      way.setAttribute("href", new URL(way.getAttribute("href"), assets + "../").href);
    }
    inside.append(minor("Back to the step", () => inside.remove()), ...parsed.body.childNodes);
    root.append(inside);
    inside.append(Object.assign(el("script", ""), { src: assets + "js/site.js" }));
    inside.querySelector("button").focus();
  }

  const site = whichSite();
  function whichSite() {
    try {
      const { id, day } = JSON.parse(localStorage.getItem("kbgen." + window.kbEdition.shop + ".site"));
      return day === new Date().toDateString() ? " · " + leavePage().querySelector(`[data-site="${id}"]`).textContent : "";
    } catch (none) {
      return "";
    }
  }

  function screen() {
    const { state } = run;
    if (run.aside) return run.aside();
    if (run.open) return edges.choose();
    if (!state.page) return state.done.length && state.done[state.done.length - 1][0] === page.id ? edges.over() : edges.begin();
    if (state.page !== page.id) {
      return [stop("A job is open at " + state.plant + "."), box(link("Go on there: " + run.pages[state.page].title, state.page), edges.another())];
    }
    if (run.away()) return edges.again();
    if (state.stop) return [stop(W[state.stop]), box(leave())];
    return state.unknown.length ? edges.sure() : stepScreen();
  }

  function draw(only) {
    const { state } = run;
    root.classList.toggle("kb-do-practised", state.practice);
    const top = el("header", "kb-do-top", el("h1", "", state.practice ? el("strong", "kb-do-practice", "PRACTICE") : null, el("strong", "", state.plant || "Step by step"), state.who ? " · " + state.who : "", site),
      button("kb-do-leave-now", "LEAVE NOW", leaveNow));
    const main = el("div", "kb-do-body", ...(only ? [only, box(minor("Read the page", shut))] : screen()));
    main.tabIndex = -1;
    root.replaceChildren(...[top, standing(), main, only ? null : foot()].filter(Boolean));
    scrollTo(0, 0);
    main.focus({ preventScroll: true });
  }

  function sound() {
    try {
      const tone = new AudioContext(), from = tone.createOscillator();
      from.connect(tone.destination);
      from.start();
      from.stop(tone.currentTime + 0.4);
    } catch (silent) {
      // A tablet without sound still shows that the time is over.
    }
  }

  function shut() {
    root.remove();
    for (const each of hidden) each.hidden = false;
    history.replaceState(null, "", location.pathname);
    location.reload();
  }

  for (const each of hidden) each.hidden = true;
  root.addEventListener("click", guarded, true);
  document.body.append(root);
  try {
    const jobs = await store.open(), asked = location.hash.slice(4);
    if (asked !== "new") {
      // One that is open is gone on with; of several that are not this tab's, the person says which.
      const mine = [asked, sessionStorage.getItem(TOKEN), jobs[1] ? "" : jobs[0]?.job].find((job) => jobs.some((each) => each.job === job));
      run.job = mine || "";
      run.open = !mine && jobs[0] && jobs;
    }
    const kept = run.job ? await store.read(run.job) : { events: [], pages: {} };
    if (!whole(kept.events, { ...run.pages, ...kept.pages })) throw new Error("damaged");
    run.state = replay({ ...run.pages, ...kept.pages }, kept.events);
    run.log = kept.events;
    // A page that is under way ends on the edition it began with; one that begins is the one of now.
    run.pages = { ...kept.pages, ...(run.state.page === page.id ? {} : run.pages) };
    if (run.state.practice) await simulated();
    run.draft = run.log.reduce((typed, event) => (event.k === "draft" ? event.v : []), []);
    draw();
  } catch (damaged) {
    // It stays on the tablet, under its own name, for who can read it.
    store.aside(run.job);
    Object.assign(run, { state: begin(), pages: { [page.id]: page }, job: "", log: [], draft: [] });
    draw(stop(W.damaged));
  }
  store.tidy().catch(() => {});
  // A tablet that lay there is picked up again: what was dead then is not known now.
  const look = () => run.state.page && !run.aside && run.rested() && !root.querySelector("input") && draw();
  document.addEventListener("visibilitychange", () => document.hidden || look());
  setInterval(look, 30000);
};
