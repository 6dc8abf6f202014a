/* "Note what was found": the record of a job without a procedure, as one form. Nothing of it is kept on the tablet. */
(function () {
  "use strict";

  window.kbNote = ({ place, load }) => {
    const W = window.kbDoWords, { el, answer, minor, day, field } = window.kbDoDraw, { symptom, equipment } = place.dataset, begun = Date.now();
    const root = el("main", "kb-do"), hidden = [...document.body.children].filter((each) => !["SCRIPT", "LINK"].includes(each.tagName) && !each.hidden);
    root.setAttribute("aria-label", "Note what was found");
    const shut = () => {
      root.remove();
      for (const each of hidden) each.hidden = false;
      place.querySelector("button").focus();
    };
    let record = null;
    const run = {
      page: { plant: [equipment] }, state: { plant: "", who: "" }, start: () => ({}), away: () => false, load, shut,
      turn: (made) => draw(made ? made() : form), stay: () => minor("Back", () => draw(form)),
      record: () => record,
      ask(words, then) {
        const more = field(words, "", W.names);
        draw([more.made, el("div", "kb-do-answers", answer("Keep it", () => then(more.input.value.trim())), minor("Back", () => window.kbDoRecord(run)))]);
      },
      send: (event) => record.added.push({ line: event.line, text: event.text, of: event.of }),
    };
    const edges = window.kbDoEdges(run), plant = edges.machine();
    const fault = field("What was found", "", W.fault), cause = field("Its cause, and what was done", "", "");
    const left = field(W.left, "", "Empty when nothing is"), minutes = field("Minutes", "", "");
    minutes.input.inputMode = "numeric";
    const devices = new Map([...document.querySelectorAll("a[href*='devices/']")].map((way) => [/devices\/([a-z0-9-]+)\.html/.exec(way.href)?.[1], way.textContent]));
    devices.delete(undefined);
    devices.delete("index");
    const device = el("select", "", new Option("None of them, or not known", ""), ...[...devices].map(([id, title]) => new Option(title, id)));
    const made = (who, which) => ({
      kbgen: "job-record", v: 1, edition: window.kbEdition.id, practice: false, note: true, ...which,
      day: day(begun), minutes: Math.max(1, Math.round(Number(minutes.input.value.replace(",", ".")) || 1)), who: [who],
      pages: [], readings: [], on: [], notes: [], wrong: [], outstanding: left.input.value.trim() ? [left.input.value.trim()] : [], added: [],
      found: { symptom, device: device.value, fault: fault.input.value.trim(), cause: cause.input.value.trim() },
    });
    const form = [el("h2", "", "Note what was found"), el("p", "", document.querySelector("h1").textContent + ". No names of customers belong here."), ...plant.made,
      devices.size ? el("label", "kb-do-field", "Device", device) : null, fault.made, cause.made, left.made, minutes.made,
      ...edges.signed("Your initials", "Make the record", (who) => {
        const which = plant.said();
        if (!which || !fault.input.value.trim()) return W.found;
        record = made(who, which);
        window.kbDoRecord(run);
        return "";
      }, minor("Back to the page", shut))];

    function draw(parts) {
      const body = el("div", "kb-do-body", ...parts);
      body.tabIndex = -1;
      root.replaceChildren(el("header", "kb-do-top", el("h1", "", "Note what was found")), body);
      scrollTo(0, 0);
      body.focus({ preventScroll: true });
    }

    for (const each of hidden) each.hidden = true;
    document.body.append(root);
    draw(form);
  };
})();
