/* What stands below the instruction of a step: pad, answers, a wait, a tag. Each calls `send` with the event that says
   what was done; what was typed and is not answered yet is sent as a draft, so that it is not lost either. */
const CALLED = { none: "Nothing", some: "In between", full: "Full", over: "Over", above: "More than full" };

const list = (rows) => el("dl", "kb-do-facts", ...rows.flatMap(([label, words]) => [el("dt", "", label), el("dd", "", ...marked(words))]));
const box = (...inside) => el("div", "kb-do-answers", ...inside);

/** Buttons for the answers of a question; doubt has its own place below. */
function choices(ctx, figures) {
  const asked = ctx.step.answers || [], { ranges } = ctx.step;
  return box(...asked.map(([when, , doubt], e) => ((doubt && /^not sure$/i.test(when)) || (ranges && !fits(ranges, e, figures[0])) ? null
    : answer(when, () => ctx.send({ k: "go", e, ...(figures ? { v: figures } : {}) })))));
}

const answerOf = (ctx, verdict) => ctx.step.answers.findIndex((each, e) => (ctx.step.volts ? says(ctx.step, e) : each[1]) === verdict);
const again = (ctx, words) => minor(words || "Type it again", () => ctx.type([]));

/** What stands over a pad: the meter's mode, and in practice what it shows. */
const over = (ctx, number) => {
  const { meter } = ctx.steps[number], shows = ctx.meter(number);
  return [meter ? said("Meter in ", el("strong", "", meter)) : null,
    shows === undefined ? null : el("p", "kb-do-shows", W.meter, el("strong", "", figure(shows, ctx.steps[number].number)))];
};

const volt = (number) => Math.round(number * 10) / 10 + " V";

/** The limits of every class alike, before the number is taken: none of them looks like the right one. */
function classes(limits, known) {
  const [low, high] = full(limits, null, known);
  return el("ul", "kb-do-classes", el("li", "", "Nothing: to " + volt(limits.none)), el("li", "", "In between"),
    el("li", "", "Full: " + volt(low) + " to " + volt(high)), el("li", "", "Over: more"));
}

function volts(ctx) {
  const { step, state, draft } = ctx;
  if (!draft.length) {
    return [pad("V", "Take it", (number) => ctx.type([number]), ...over(ctx, ctx.number), classes(step.volts, state.supply))];
  }
  const word = judge(step.volts, draft[0], state.supply), foreign = word === "over";
  // More than full stops the page whichever answer it is sent with.
  const e = foreign ? 0 : answerOf(ctx, word);
  const told = said(el("strong", "", draft[0] + " V: " + CALLED[word]));
  if (foreign) told.append(". Hands and leads out.");
  // What lies in between is the person's to say: no way is taken by the number alone.
  const words = foreign ? W.handsOut : word === "some" && e >= 0 ? step.answers[e][0] : "Go on";
  const on = e < 0 ? null : answer(words, () => ctx.send({ k: "go", e, v: draft }));
  return [told, list(step.right || []), box(on, again(ctx))];
}

/** The points of the panel that were read on this page, with what was read last. */
function ladder({ steps, state, page }) {
  const read = state.readings.filter(([there, number]) => there === page.id && steps[number].volts?.p);
  const last = new Map(read.map(([, number, [volts]]) => ["`" + steps[number].volts.p + "`", volts + " V"]));
  return last.size ? el("p", "", "Read so far: ", ...marked([...last].map((each) => each.join(" ")).join(", "))) : null;
}

// ---- several readings in one reach ------------------------------------------------------------

/** Read first and typed afterwards: which are typed lies in the draft, pairs of a step and its volts. */
function reach(ctx) {
  const { steps, step, state, draft, number } = ctx, listed = step.reach, typed = new Map(draft);
  const name = (at) => "`" + steps[at].volts.p + "`", [supply] = listed, top = Math.max(...listed.map((at) => (steps[at].volts.band || steps[at].volts.n)[1]));
  if (!draft.length) {
    return [said("Meter in ", el("strong", "", step.meter), W.reach, ...marked("`" + step.volts.to + "`:")),
      el("p", "kb-do-reach", ...marked(listed.map(name).join(" "))),
      el("p", "", ...marked(W.others.replace("{supply}", name(supply)))),
      stop(W.top.replace("{most}", volt(top))),
      box(answer(W.out, () => ctx.type([[-1, 0]])))];
  }
  const empty = listed.filter((at) => !typed.has(at)), at = listed.includes(ctx.picked.at) ? ctx.picked.at : empty[0];
  const pick = (which) => {
    ctx.picked.at = which;
    ctx.draw();
  };
  const tiles = el("div", "kb-do-tiles kb-do-row", ...listed.map((each) => {
    const made = button("", [...marked(name(each)), " " + (typed.has(each) ? typed.get(each) + " V" : "–")], () => pick(each));
    made.setAttribute("aria-pressed", String(each === at));
    return made;
  }));
  const figures = draft.filter((each) => each[0] >= 0), found = typed.has(supply) ? supplyOf(steps[supply].volts, typed.get(supply), null) : null;
  const word = (which) => judge(steps[which].volts, typed.get(which), found);
  const foreign = figures.some((each) => typed.has(supply) && ["over", "above"].includes(word(each[0])));
  const keys = at === undefined ? null : pad("V", "Take it", (figure) => {
    ctx.picked.at = undefined;
    ctx.type([...draft.filter((each) => each[0] !== at), [at, figure]]);
  }, ...over(ctx, at), ask(...marked(name(at) + " to `" + step.volts.to + "`")));
  const send = () => {
    const own = typed.has(number) ? answerOf(ctx, word(number)) : -1;
    if (foreign || !typed.has(number) || word(number) !== "some") ctx.send({ k: "reach", v: figures });
    else if (number === supply) ctx.send({ k: "go", e: own, v: [typed.get(number)] });
    else ctx.send({ k: "reach", v: figures.filter((each) => each[0] !== number) }, { k: "go", e: own, v: [typed.get(number)] });
  };
  const words = foreign ? W.handsOut : typed.has(number) && typed.has(supply) && word(number) === "some" ? step.answers[answerOf(ctx, "some")][0] : "Go on with these";
  return [figures.length ? null : count(W.type), tiles, foreign ? stop(W.over) : keys,
    el("div", "kb-do-tiles kb-do-row", typed.has(supply) && (typed.has(number) || foreign || word(supply) !== "full") ? answer(words, send) : null,
      again(ctx, "Read all of them again"))];
}

function oneNumber(ctx) {
  const { step, draft } = ctx;
  if (!draft.length) return [pad(step.number, "Take it", (number) => ctx.type([number]), ...over(ctx, ctx.number))];
  const foreign = step.over && Math.abs(draft[0]) > step.over;
  const on = step.answers && !foreign ? choices(ctx, draft)
    : box(answer(foreign ? W.handsOut : "Go on", () => ctx.send({ k: "go", e: 0, v: draft })));
  on.append(again(ctx));
  return [said(el("strong", "", figure(draft[0], step.number)), foreign ? W.above : ""), list(step.right || []),
    step.answers && !foreign ? ask(ctx.step.ask) : null, on];
}

/** Live, dead, live: the known source, every pair, the known source again, each as a number. */
function dead(ctx, send) {
  const { step, draft } = ctx, places = [step.known, ...step.pairs, step.known + " again"];
  const taken = list(draft.map((number, at) => [places[at], number + " V"]));
  if (draft.length < places.length) {
    return [taken, ask("Reading " + (draft.length + 1) + " of " + places.length + ": ", el("strong", "", places[draft.length])),
      pad("V", "Take it", (number) => ctx.type([...draft, number]), ctx.practice ? el("p", "kb-do-shows", W.meter,
        el("strong", "", draft.length % (places.length - 1) ? "0 V" : "230 V")) : null)];
  }
  const verdict = proved(step, draft), good = verdict === "dead";
  const told = good ? W.dead.replace("{most}", step.dead)
    : W.live.replace("{most}", step.dead);
  return [taken, said(el("strong", "", told)),
    box(answer(good ? "Go on" : "Go on: not dead", () => send(verdict)),
      again(ctx, "Read all of it again"))];
}

/** Mark by mark, as the plant bears it: picked from three that were chosen when the edition was built, or typed. */
function mark(ctx) {
  const { draft } = ctx, places = W.mark.split("; "), own = field(places[draft.length], "", W.bare);
  const taken = list(draft.map((each, at) => [places[at], each || "–"])), take = (each) => ctx.type([...draft, each]);
  if (draft.length < places.length) {
    const type = ctx.picked.type || !ctx.marks[0];
    return [taken, ...(type ? [own.made, box(answer("Take it", () => take(own.input.value.trim())))]
      : [ask(places[draft.length]), box(el("div", "kb-do-tiles kb-do-row", ...ctx.marks.map((each) => answer(each, () => take(each)))), minor("Type it", () => {
        ctx.picked.type = 1;
        ctx.draw();
      }))])];
  }
  const marks = draft.filter(Boolean), verdict = alike(marks, ctx.state.mark);
  return [taken, said(el("strong", "", W[verdict || "marks"])), verdict ? list(ctx.step.right || []) : null,
    box(verdict ? answer("Go on", () => ctx.send({ k: "go", e: answerOf(ctx, verdict), v: marks })) : null, again(ctx))];
}

let ticking = 0;
/** A wait is over when its time is, and what shows it is there: a figure below its limit, or seen at the plant. */
function wait(ctx) {
  const [seconds, , limits] = ctx.step.wait, { draft } = ctx, until = ctx.practice ? 0 : ctx.state.since + seconds * 1000;
  const left = el("p", "kb-do-clock"), place = box();
  let before = 0;
  left.setAttribute("role", "timer");
  const proof = () => {
    if (!limits.length) return [answer("I looked: it is over", () => ctx.send({ k: "go", e: 0, ok: 1 }))];
    const [unit] = limits[draft.length] || [];
    if (unit) return [ask(W.read + unit + "?"), pad(unit, "Take it", (number) => ctx.type([...draft, number]))];
    const good = draft.every((figure, at) => figure < limits[at][1] || (figure === 0 && limits[at][1] === 0));
    return [said(el("strong", "", draft.map((figure, at) => figure + " " + limits[at][0]).join(", ") + (good ? "" : W.waitOn))),
      good ? answer("Go on", () => ctx.send({ k: "go", e: 0, v: draft })) : null, again(ctx, good ? "" : "Read it again")].filter(Boolean);
  };
  const tick = () => {
    const rest = Math.ceil((until - Date.now()) / 1000);
    left.textContent = rest > 0 ? Math.floor(rest / 60) + ":" + String(rest % 60).padStart(2, "0") : ctx.practice ? W.noWait : "The time is over";
    if (rest <= 0) {
      clearInterval(ticking);
      place.replaceChildren(...proof());
      // A tablet that slept through the end sounds when it wakes.
      if (before > 0) ctx.sound();
    }
    before = rest;
  };
  clearInterval(ticking);
  ticking = setInterval(tick, 500);
  tick();
  return [left, el("p", "", W.wait), place];
}

function ends(ctx) {
  const { step, ways } = ctx;
  return [said("Ends: " + step.end), box(answer("Done. This page ends here", () => ctx.send({ k: "end" })),
    ways.length ? answer("A colleague goes on here", () => ctx.colleague()) : null)];
}

/** @returns {Array<Node | null>} What a step asks for. */
function below(ctx) {
  const { step } = ctx;
  clearInterval(ticking);
  if (step.ends) return ends(ctx);
  if (step.reach) return reach(ctx);
  if (step.volts) return volts(ctx);
  if (step.pairs) return dead(ctx, (verdict) => ctx.send({ k: "go", e: answerOf(ctx, verdict), v: ctx.draft }));
  if (step.mark) return mark(ctx);
  if (step.number !== undefined) return oneNumber(ctx);
  if (step.wait) return wait(ctx);
  if (step.answers) return [step.ask ? ask(...marked(step.ask)) : null, choices(ctx)];
  const hangs = step.tag === "" ? "My lock and tag " + (ctx.state.tags + 1) + " hang" : step.tag ? "Tag " + step.tag + " hangs" : "Done";
  return [box(answer(hangs, () => ctx.send({ k: "go", e: 0 })))];
}

