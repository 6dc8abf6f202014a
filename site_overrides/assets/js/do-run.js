/* Leads through a procedure one step a screen. A screen is drawn only when what led to it is on the disk. */
(function () {
  "use strict";

  const { el, marked, button, said, caution, clock } = window.kbDoDraw;
  const S = window.kbDoState, store = window.kbDoStore, steps = window.kbDoSteps;
  const BREAK = 30 * 60000, GUARD = 500, HOT = 700;
  const STOPS = {
    cannot: "This answer and what was done before cannot both be right. Look again. Go back, or leave it safe.",
    used: "This was done as often as it may be. Go back, or leave it safe.",
    foreign: "More volts than this supply has: a wrong point, or a feed from elsewhere. Hands and leads out. Leave it safe, or go back and read the supply again.",
    lost: "It is not as it was left. Nothing here counts as off or dead. Leave it safe.",
  };
  const SURE = {
    lock: "Go there. Is this lock on, with your own tag? Whoever takes over hangs an own lock first.",
    off: "Go there. Is it still off?", shut: "Go there. Is it still shut?", guard: "Go there. Does the guard still stand?",
    cover: "Go there. Is it open as it was left, and nothing changed behind it?",
    in: "Go there. Does its tag hang, and is it as it was left?", lead: "Go there. Are the leads on as they were, and tight?",
    gas: "Go there. Is it as it was left?",
  };

  window.kbDoRun = async function ({ assets, page }) {
    let state, pages, job, log, draft = [], guard = 0, aside = "";
    const root = el("section", "kb-do");
    root.setAttribute("aria-label", "Step by step");
    const hidden = [...document.body.children].filter((each) => !["SCRIPT", "LINK"].includes(each.tagName));
    const token = "kbgen.do";

    async function open() {
      job = await store.openJob();
      const kept = job ? await store.read(job) : { events: [], pages: {} };
      log = kept.events;
      pages = { ...kept.pages };
      pages[page.id] ||= page;
      state = S.replay(pages, log);
      for (const event of log) draft = event.k === "draft" ? event.v : [];
    }

    /** Writes events down, then takes them in and draws; what could not be written is not shown as done. */
    async function send(...events) {
      if (performance.now() < guard) return;
      guard = Infinity;
      const now = Date.now();
      const told = events.map((event) => ({ t: now, ...event }));
      try {
        if (!job) job = now.toString(36) + Math.random().toString(36).slice(2, 8);
        await store.add(job, told, told.filter((each) => each.k === "start").map((each) => pages[each.page]));
      } catch (full) {
        guard = 0;
        draw(el("p", "kb-do-stop", "This could not be kept on the tablet. Do not go on here. Work by the page, and look at the tags."));
        return;
      }
      for (const event of told) {
        log.push(event);
        draft = event.k === "draft" ? event.v : [];
        S.take(pages, state, event);
      }
      store.pointer({ job, page: state.page || page.id, title: (pages[state.page] || page).title, plant: state.plant, at: now });
      sessionStorage.setItem(token, job);
      draw();
      const shown = state.page ? S.stepAt(pages[state.page], state.at) : {};
      guard = performance.now() + (shown.hot ? HOT : GUARD);
    }

    function field(label, value, words) {
      const input = el("input", "");
      input.value = value;
      input.autocomplete = "off";
      const made = el("label", "kb-do-field", label, words ? el("small", "", words) : null, input);
      return { made, input };
    }

    // ---- screens -----------------------------------------------------------------------------------

    function begin() {
      if (state.done.length && !state.page && pages[page.id] !== page) pages[page.id] = page;
      const here = [el("h1", "", page.title)];
      if (!S.mayStart(page, state)) {
        const to = page.after;
        here.push(el("p", "kb-do-stop", "Another page comes first, and was not done on this job."));
        if (to.length) here.push(steps.box(link("kb-do-answer", "Do first: " + to[1], to[0] + ".html#do")));
        return [...here, steps.box(leaveOff())];
      }
      const plant = field("Which plant", state.plant, "Its number, as it stands on it"), who = field("Your initials", state.who, "");
      const told = el("p", "kb-do-said");
      told.setAttribute("role", "status");
      const on = button("kb-do-answer", "Begin", () => {
        const by = who.input.value.trim().toUpperCase(), which = plant.input.value.trim();
        if (!which || !/^[A-ZÀ-Ž]{2,4}$/.test(by)) {
          told.textContent = "Type the plant's number, and two to four letters for your initials.";
          return;
        }
        if (state.plant && which !== state.plant) {
          told.textContent = "This job is at " + state.plant + ". Close it first.";
          return;
        }
        send({ k: "start", page: page.id, who: by, plant: which });
      });
      return [...here, el("p", "", "The tags on the plant are the truth. This screen is a copy."), steps.list(page.before),
        ...page.first.map((each) => caution(page.cautions[each], false)), plant.made, who.made, told, steps.box(on, leaveOff())];
    }

    const leaveOff = () => button("kb-do-answer kb-do-minor", "Read the page", shut);
    function link(className, words, href) {
      const made = el("a", className, ...marked(words));
      made.href = href;
      // Only the part behind # changes where it is this page's own address.
      made.addEventListener("click", () => setTimeout(() => location.pathname.endsWith(href.split("#")[0]) && location.reload(), 50));
      return made;
    }

    /** Somebody comes back, or takes over: nothing dead is known, and who it is comes first. */
    function again() {
      const who = field("Your initials", "", "After a break nothing counts as dead");
      const on = button("kb-do-answer", "Go on, one by one at the plant", () => {
        const by = who.input.value.trim().toUpperCase();
        if (/^[A-ZÀ-Ž]{2,4}$/.test(by)) {
          aside = "";
          send({ k: "break", who: by });
        }
      });
      const here = pages[state.page];
      return [el("h1", "", "Go on at " + state.plant), el("p", "", here.title + ". Last touched " + clock(lastTime()) + " by " + state.who + "."),
        el("p", "kb-do-stop", "Somebody may have been here. Locks, covers and leads are looked at one by one. Dead is proved anew."),
        who.made, steps.box(on, leave())];
    }

    function sure() {
      const here = pages[state.page], key = state.unknown[0], kind = S.kindOf(key);
      const item = S.holds(here, state.at).find((each) => each[0] === key);
      const words = el("p", "kb-do-text", ...marked(said(item ? item[2] : state.beside[key] || key, state.seen[key], state.who)));
      const head = el("p", "kb-do-count", "Not known any more: " + state.unknown.length + (state.unknown.length > 1 ? " things" : " thing"));
      const no = button("kb-do-answer", "No, or not sure", () => send({ k: "sure", key, ok: false }));
      if (!["dead", "tried", "zero"].includes(kind)) {
        const yes = button("kb-do-answer", "Yes, I see it now", () => send({ k: "sure", key, ok: true }));
        return [head, words, el("p", "kb-do-ask", SURE[kind] || "Go there. Is it as it was left?"), steps.box(yes, no)];
      }
      const step = here.steps[here.again[key]];
      if (!step) return [head, words, el("p", "kb-do-ask", "This page does not prove it. Leave it safe, and begin with the page that does."), steps.box(no)];
      const figures = draft.length ? { v: draft } : {};
      const ctx = { step, state, draft, draft_: draft, draftNow: () => draft };
      const texts = [head, words, ...(step.cautions || []).map((each) => caution(here.cautions[each], false)),
        ...step.do.map((line) => el("p", "kb-do-text", ...marked(line)))];
      ctx.draft = (v) => send({ k: "draft", v });
      if (step.pairs) return [...texts, ...steps.dead(ctx, (verdict) => send({ k: "sure", key, ok: verdict === "dead", v: draft }))];
      if (step.number !== undefined && !draft.length) return [...texts, ...steps.figure(ctx)];
      const yes = button("kb-do-answer", "Yes, seen now", () => send({ k: "sure", key, ok: true, ...figures }));
      return [...texts, steps.list(step.right || []), el("p", "kb-do-ask", step.ask || "Is it gone?"), steps.box(yes, no)];
    }

    function stopped() {
      return [el("p", "kb-do-stop", STOPS[state.stop]), steps.box(leave())];
    }

    /** Which cautions were shown in full on this page already. */
    function shownBefore(here) {
      const nodes = state.trail.slice();
      return new Set([...here.first, ...nodes.flatMap((node) => S.stepAt(here, node).cautions || [])]);
    }

    function step() {
      const here = pages[state.page], now = S.stepAt(here, state.at), [, , ways, left] = here.nodes[state.at];
      const before = shownBefore(here);
      const ctx = { step: now, state, ways, draft, draftNow: () => draft, send, colleague, sound };
      ctx.draft = (v) => send({ k: "draft", v });
      const quiet = now.number !== undefined || now.pairs;
      return [
        el("p", "kb-do-count", "Step " + (state.trail.length + 1) + ". Up to " + (left - 1) + " more. " + here.title),
        ...(now.cautions || []).map((each) => caution(here.cautions[each], before.has(each))),
        ...now.do.map((line) => el("p", "kb-do-text", ...marked(line))),
        now.see && !quiet ? el("p", "kb-do-see", "Seen when it is right: ", ...marked(now.see)) : null,
        steps.list(now.facts || []),
        ...(now.photos || []).map(([file, alt]) => Object.assign(el("img", ""), { src: assets + "../photos/" + file, alt })),
        ...steps.below(ctx),
        now.note && now.number === undefined ? noteFor(now.note) : null,
        button("kb-do-wrong", "This step is wrong here", () => ask("What is wrong here? A word, or a photo's name.", (text) => send({ k: "wrong", text }))),
      ];
    }

    function noteFor(label) {
      const kept = state.notes.filter((each) => each[0] === state.page && each[1] === pages[state.page].nodes[state.at][0]).map((each) => each[2]);
      return el("p", "kb-do-note", ...(kept.length ? ["Noted: " + kept.join("; ") + " "] : []),
        button("kb-do-minor", "Note: " + label, () => ask(label, (text) => send({ k: "note", text }))));
    }

    function ask(words, then) {
      const text = field(words, "", "No names of people, no addresses");
      aside = () => [text.made, steps.box(
        button("kb-do-answer", "Keep it", () => { aside = ""; if (text.input.value.trim()) then(text.input.value.trim()); else draw(); }),
        button("kb-do-answer kb-do-minor", "Back to the step", () => { aside = ""; draw(); }))];
      draw();
      text.input.focus();
    }

    function colleague() {
      const who = field("Initials of who goes on", "", "");
      aside = () => [who.made, steps.box(button("kb-do-answer", "I go on here", () => {
        const by = who.input.value.trim().toUpperCase();
        if (!/^[A-ZÀ-Ž]{2,4}$/.test(by)) return;
        aside = "";
        send({ k: "go", e: 0 }, { k: "break", who: by });
      }))];
      draw();
    }

    const leave = () => button("kb-do-answer", "Leave it safe now", () => {
      aside = () => [el("h1", "", "Leave it safe"),
        el("p", "kb-do-text", "Bring nothing back on. Leave every lock, tag and cover as it is. Shut and lock what you can reach without danger."),
        el("p", "kb-do-text", "Hang a tag that says what stands above. Call the lead technician, and stay until somebody answers."),
        steps.box(button("kb-do-answer", "The tag hangs. Close this page", () => { aside = ""; send({ k: "leave" }); }),
          button("kb-do-answer kb-do-minor", "Back to the step", () => { aside = ""; draw(); }))];
      draw();
    });

    function over() {
      const last = state.done[state.done.length - 1], there = pages[last[0]];
      const open = Object.entries(state.beside);
      const next = (there.steps.find((each) => each.ends === last[1] && each.next) || {}).next;
      const ways = [...(next ? [next] : []), ...there.following].filter((each, at, every) => every.findIndex((one) => one[0] === each[0]) === at);
      return [el("h1", "", there.title), el("p", "kb-do-said", last[1] === "left" ? "Left safe before its end." : "Done."),
        open.length ? el("h2", "", "Still to undo, or outstanding") : el("p", "", "Nothing is left to undo from this job."),
        el("ul", "kb-do-left", ...open.map(([key, words]) => el("li", "", said(words, state.seen[key], state.who)))),
        steps.box(...ways.map(([id, title]) => link("kb-do-answer", "Go on with: " + title, id + ".html#do")),
          button("kb-do-answer kb-do-minor", "Close this job", closeJob), leaveOff())];
    }

    function closeJob() {
      aside = () => [el("p", "kb-do-stop", "The tags on the plant stay. What is open stands on them and in your record."),
        steps.box(button("kb-do-answer", "Close it", async () => {
          await store.close(job, Object.keys(state.beside).length, 0);
          store.pointer(null);
          location.hash = "";
          location.reload();
        }), button("kb-do-answer kb-do-minor", "Back", () => { aside = ""; draw(); }))];
      draw();
    }

    // ---- the frame ---------------------------------------------------------------------------------

    const lastTime = () => (log.length ? log[log.length - 1].t : 0);
    const rested = () => state.page && (Date.now() - lastTime() > BREAK || Date.now() < lastTime() - 60000);

    function holds() {
      if (!state.page) return null;
      const here = pages[state.page], lost = new Set(state.unknown);
      const items = S.holds(here, state.at).map(([key, what, words]) => [key, what, words]);
      for (const [key, words] of Object.entries(state.beside)) items.push([key, "u", words]);
      const rows = items.map(([key, what, words]) => {
        const row = el("li", "", said(words, state.seen[key], state.who), lost.has(key) ? el("strong", "", " Not known now") : "");
        row.dataset.what = what;
        return row;
      });
      const made = el("ul", "kb-do-holds", ...rows);
      made.setAttribute("aria-label", "What stands on the plant, and what is still to undo");
      made.tabIndex = 0;
      return made;
    }

    function doubt() {
      const here = pages[state.page], now = S.stepAt(here, state.at), at = (now.answers || []).findIndex((each) => each[2]);
      if (at >= 0 && !now.ends) {
        send({ k: "go", e: at, u: 1 });
        return;
      }
      aside = () => [el("p", "kb-do-text", "Not sure? Then it is not so. Touch nothing more, and call the lead technician."),
        steps.box(leave(), button("kb-do-answer kb-do-minor", "Back to the step", () => { aside = ""; draw(); }))];
      draw();
    }

    function back() {
      const here = pages[state.page];
      if (draft.length) { send({ k: "draft", v: [] }); return; }
      if (state.stop || !S.asksBack(here, state)) { send({ k: "back" }); return; }
      const to = S.stepAt(here, state.trail[state.trail.length - 1]);
      aside = () => [el("p", "kb-do-stop", "These steps change the plant. Going back undoes nothing by itself."),
        ...to.do.map((line) => el("p", "kb-do-text", ...marked(line))), el("p", "kb-do-ask", "Is the plant as it was before this step?"),
        steps.box(button("kb-do-answer", "Yes, it is undone", () => { aside = ""; send({ k: "back", undone: true }); }),
          button("kb-do-answer kb-do-minor", "No. Stay here", () => { aside = ""; draw(); }))];
      draw();
    }

    function foot() {
      const left = button("", "Back", () => performance.now() > guard && back());
      const right = button("", "Not sure", () => performance.now() > guard && doubt());
      left.disabled = !state.page || Boolean(aside) || (!state.trail.length && !draft.length && !state.stop) || state.unknown.length > 0 || state.stop === "lost";
      right.disabled = !state.page || Boolean(aside) || Boolean(state.stop) || state.unknown.length > 0;
      return el("div", "kb-do-foot", left, right);
    }

    function leaveNow() {
      const inside = el("div", "kb-do-leave");
      const parsed = new DOMParser().parseFromString(window.kbLeaveNow || "", "text/html");
      for (const way of parsed.querySelectorAll("a[href]")) {
        if (!way.getAttribute("href").startsWith("#")) way.setAttribute("href", new URL(way.getAttribute("href"), assets + "../").href);
      }
      inside.append(button("kb-do-answer kb-do-minor", "Back to the step", () => inside.remove()), ...parsed.body.childNodes);
      root.append(inside);
      const again_ = document.createElement("script");
      again_.src = assets + "js/site.js";
      inside.append(again_);
      inside.querySelector("button").focus();
    }

    function draw(only) {
      const at = state.page ? state.plant : page.title;
      const top = el("header", "kb-do-top", el("p", "", el("strong", "", at), state.who ? " · " + state.who : ""),
        button("kb-do-leave-now", "LEAVE NOW", leaveNow));
      const body = only ? [only, steps.box(leaveOff())]
        : aside ? aside()
          : !state.page ? (state.done.length && state.done[state.done.length - 1][0] === page.id ? over() : begin())
            : rested() || sessionStorage.getItem(token) !== job ? again()
              : state.unknown.length && !state.stop ? sure() : state.stop ? stopped() : step();
      const main = el("div", "kb-do-body", ...body.filter(Boolean));
      main.tabIndex = -1;
      root.replaceChildren(top, ...[holds()].filter(Boolean), main, foot());
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
      location.hash = "";
      location.reload();
    }

    for (const each of hidden) each.hidden = true;
    document.body.append(root);
    try {
      await open();
    } catch (damaged) {
      // It stays on the tablet, under its own name, for who can read it.
      store.pointer(null);
      [state, pages, job, log] = [S.begin(), { [page.id]: page }, "", []];
      draw(el("p", "kb-do-stop", "What was kept of the last job cannot be read. It was set aside. Look at the tags: nothing is known to be off or dead."));
      return;
    }
    if (state.page && state.page !== page.id) {
      draw(el("div", "", el("p", "kb-do-stop", "A job is open at " + state.plant + "."), steps.box(link("kb-do-answer", "Go on there: " + pages[state.page].title, state.page + ".html#do"))));
    } else draw();
    store.tidy().catch(() => {});
    // A tablet that lay there is picked up again: what was dead then is not known now.
    document.addEventListener("visibilitychange", () => document.hidden || (rested() && draw()));
    setInterval(() => rested() && !root.querySelector("input") && draw(), 30000);
  };
})();
