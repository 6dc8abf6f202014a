/* What stands below the instruction of a step: pad, answers, a wait, a tag. Each calls `send` with the event that says
   what was done; what was typed and is not answered yet is sent as a draft, so that it is not lost either. */
(function () {
  "use strict";

  const { el, marked, button, pad } = window.kbDoDraw, S = window.kbDoState;
  const CALLED = { none: "Nothing", some: "In between", full: "Full", over: "Over" };

  const list = (rows) => el("dl", "kb-do-facts", ...rows.flatMap(([label, words]) => [el("dt", "", label), el("dd", "", ...marked(words))]));
  const box = (...inside) => el("div", "kb-do-answers", ...inside);

  /** Buttons for the answers of a question; doubt has its own place below. */
  function choices(ctx, figures) {
    const asked = ctx.step.answers || [];
    return box(...asked.map(([when, , doubt], e) => (doubt && /^not sure$/i.test(when) ? null
      : button("kb-do-answer", when, () => ctx.send({ k: "go", e, ...(figures ? { v: figures } : {}) })))));
  }

  const answerOf = (ctx, verdict) => ctx.step.answers.findIndex((each) => each[1] === verdict);

  /** The limits of every class alike, before the number is taken: none of them looks like the right one. */
  function classes(limits, known) {
    const [low, high] = S.full(limits, null, known), volts = (number) => String(Math.round(number * 10) / 10) + " V";
    return el("ul", "kb-do-classes", el("li", "", "Nothing: to " + volts(limits.none)), el("li", "", "In between"),
      el("li", "", "Full: " + volts(low) + " to " + volts(high)), el("li", "", "Over: more"));
  }

  function volts(ctx) {
    const { step, state, draft } = ctx;
    if (!draft.length) {
      return [pad("V", "Take it", (number) => ctx.type([number]), classes(step.volts, state.supply))];
    }
    const word = S.judge(step.volts, draft[0], state.supply);
    // More than full stops the page whichever answer it is sent with.
    const e = word === "over" ? 0 : answerOf(ctx, word);
    const told = el("p", "kb-do-said", el("strong", "", draft[0] + " V: " + CALLED[word]));
    if (word === "over") told.append(". Hands and leads out.");
    const on = e < 0 ? null : button("kb-do-answer", word === "over" ? "Hands and leads are out" : "Go on", () => ctx.send({ k: "go", e, v: draft }));
    return [told, list(step.right || []), box(on, button("kb-do-answer kb-do-minor", "Type it again", () => ctx.type([])))];
  }

  function figure(ctx) {
    const { step, draft } = ctx;
    if (!draft.length) return [pad(step.number, "Take it", (number) => ctx.type([number]))];
    const on = step.answers ? choices(ctx, draft) : box(button("kb-do-answer", "Go on", () => ctx.send({ k: "go", e: 0, v: draft })));
    return [el("p", "kb-do-said", el("strong", "", draft[0] + " " + step.number)), list(step.right || []),
      step.answers ? el("p", "kb-do-ask", ctx.step.ask) : null, on,
      box(button("kb-do-answer kb-do-minor", "Type it again", () => ctx.type([])))];
  }

  /** Live, dead, live: the known source, every pair, the known source again, each as a number. */
  function dead(ctx, send) {
    const { step, draft } = ctx, places = [step.known, ...step.pairs, step.known + " again"];
    const taken = list(draft.map((number, at) => [places[at], number + " V"]));
    if (draft.length < places.length) {
      return [taken, el("p", "kb-do-ask", "Reading " + (draft.length + 1) + " of " + places.length + ": ", el("strong", "", places[draft.length])),
        pad("V", "Take it", (number) => ctx.type([...draft, number]))];
    }
    const verdict = S.proved(step, draft), good = verdict === "dead";
    const told = good ? "Dead: every pair at " + step.dead + " V or less, and the meter read before and after."
      : "Not dead, or the meter did not read. Dead is " + step.dead + " V or less at every pair, and a meter that reads before and after.";
    return [taken, el("p", "kb-do-said", el("strong", "", told)),
      box(button("kb-do-answer", good ? "Go on" : "Go on: not dead", () => send(verdict)),
        button("kb-do-answer kb-do-minor", "Read all of it again", () => ctx.type([])))];
  }

  function mark(ctx) {
    const fields = ["Mark on the panel", "Mark on what is switched off", "Mark on what is shut"].map((label) => {
      const field = el("input", "");
      field.autocomplete = "off";
      field.setAttribute("autocapitalize", "characters");
      return { label: el("label", "kb-do-field", label, field), field };
    });
    const told = el("p", "kb-do-said");
    told.setAttribute("role", "status");
    const typed = () => fields.map((each) => each.field.value.trim()).filter(Boolean);
    const take = button("kb-do-answer", "Compare", () => {
      const marks = typed(), verdict = S.alike(marks);
      if (!verdict) {
        told.textContent = "Type at least two marks as they stand on the plant.";
        return;
      }
      told.replaceChildren(el("strong", "", verdict === "same" ? "All the same." : "Not all the same. Touch nothing."));
      told.after(list(ctx.step.right || []));
      take.replaceWith(button("kb-do-answer", "Go on", () => ctx.send({ k: "go", e: answerOf(ctx, verdict), v: marks })));
    });
    return [...fields.map((each) => each.label), told, box(take)];
  }

  let ticking = 0;
  function wait(ctx) {
    const [seconds, why] = ctx.step.wait, until = ctx.state.since + seconds * 1000;
    const left = el("p", "kb-do-clock"), place = box();
    left.setAttribute("role", "timer");
    const on = button("kb-do-answer", "The time is over. Prove it next", () => ctx.send({ k: "go", e: 0 }));
    const tick = () => {
      const rest = Math.ceil((until - Date.now()) / 1000);
      left.textContent = rest > 0 ? Math.floor(rest / 60) + ":" + String(rest % 60).padStart(2, "0") : "The time is over";
      if (rest <= 0) {
        clearInterval(ticking);
        place.replaceChildren(on);
        if (rest > -3) ctx.sound();
      }
    };
    clearInterval(ticking);
    ticking = setInterval(tick, 500);
    tick();
    return [why ? el("p", "kb-do-ask", ...marked("Until: " + why)) : null, left,
      el("p", "", "The clock alone proves nothing. It cannot be skipped: go on by leaving it safe."), place];
  }

  function ends(ctx) {
    const { step, ways } = ctx;
    const stop = button("kb-do-answer", "Done. This page ends here", () => ctx.send({ k: "end" }));
    const on = ways.length ? button("kb-do-answer", "A colleague goes on here", () => ctx.colleague()) : null;
    return [el("p", "kb-do-said", "Ends: " + step.end), box(stop, on)];
  }

  /** @returns {Array<Node | null>} What a step asks for. */
  function below(ctx) {
    const { step } = ctx;
    clearInterval(ticking);
    if (step.ends) return ends(ctx);
    if (step.volts) return volts(ctx);
    if (step.pairs) return dead(ctx, (verdict) => ctx.send({ k: "go", e: answerOf(ctx, verdict), v: ctx.draft }));
    if (step.mark) return mark(ctx);
    if (step.number !== undefined) return figure(ctx);
    if (step.wait) return wait(ctx);
    const ask = step.ask ? el("p", "kb-do-ask", ...marked(step.ask)) : null;
    if (step.answers) return [ask, choices(ctx)];
    const hangs = step.tag === "" ? "My lock and tag " + (ctx.state.tags + 1) + " hang" : step.tag ? "Tag " + step.tag + " hangs" : "Done";
    return [box(button("kb-do-answer", hangs, () => ctx.send({ k: "go", e: 0 })))];
  }

  window.kbDoSteps = { below, dead, figure, list, box, choices };
})();
