/* The job record: what was found, done and left, for who keeps the books. It is shown whole to the person, leaves the
   tablet by their hand only, and tells no undo, no doubt and no time of a single step. */
const ON = ["lock", "shut", "off", "cover", "in", "lead", "gas"];
const bare = (words) => words.replace(/\{who\} |,? ?(since )?\{time\}(, not since)?/g, "");

const upper = (words) => words.slice(0, 1).toUpperCase() + words.slice(1);

/** @returns {object} The record, as it is saved: see kbgen/cli/record.py. */
function make(run) {
  const pages = run.pages, state = begin(), on = {}, who = new Set();
  const starts = run.log.filter((each) => each.k === "start"), which = starts.find((each) => each.size) || starts[0];
  const begun = Object.fromEntries(starts.map((each) => [each.page, each.edition]));
  let spent = 0, last = 0;
  for (const event of run.log) {
    take(pages, state, event);
    if (event.who) who.add(event.who);
    if (last && event.t - last < 30 * 60000) spent += event.t - last;
    last = event.t;
    if (!state.page) continue;
    for (const [key, , words] of holds(pages[state.page], state.at)) {
      if (ON.includes(kindOf(key))) on[key] = bare(words);
    }
  }
  const there = new Set(Object.keys(state.beside));
  const of = ([page, number]) => pages[page].steps[number], where = (each) => ({ page: each[0], step: of(each).at });
  const unitOf = ({ number, pairs, wait }) => number ?? (pairs ? "V" : (wait || [0, 0, [[""]]])[2].map((each) => each[0]).join(", "));
  return {
    kbgen: "job-record", v: 1, edition: window.kbEdition.id, practice: state.practice,
    plant: state.plant, machine: which.machine || "", size: which.size || "", equipment: which.equipment || run.page.plant[0] || "", day: day(run.log[0].t),
    minutes: Math.max(1, Math.round(spent / 60000)), who: [...who],
    pages: state.done.map(([page, how]) => ({ page, title: pages[page].title, how })),
    readings: state.readings.map((each) => ({ ...where(each), values: each[2], what: of(each).do.join(" "), unit: unitOf(of(each)),
      meter: of(each).meter || "", facts: (of(each).facts || []).map((fact) => fact.join(": ").replaceAll("`", "")) })),
    on: Object.entries(on).map(([key, words]) => ({ key, words, off: !there.has(key) })),
    notes: state.notes.map((each) => ({ ...where(each), label: of(each).note || "", text: each[2] })),
    wrong: state.wrong.map((each) => ({ ...where(each), text: each[2], edition: begun[each[0]] || window.kbEdition.id })),
    outstanding: Object.entries(state.beside).filter(([key]) => !(key in on)).map(([, words]) => bare(words)),
    added: run.log.filter((event) => event.k === "add").map(({ line, text, of }) => ({ line, text, of })),
  };
}

/** @returns {string[]} The record as lines of text. */
function lines(record) {
  const said = [...(record.practice ? [W.practised] : []), "Job record, plant " + record.plant, record.day + ", " + record.minutes + " min, " + record.who.join(", "),
    ...record.pages.map((each) => each.title + ": " + each.how.replaceAll("-", " "))];
  const { found } = record;
  if (found) said.push("Found: " + found.fault, ...(found.cause ? ["Cause, and what was done: " + found.cause] : []));
  for (const each of record.readings) {
    said.push("Read: " + each.what.replaceAll("`", "") + " " + each.values.map((value) => (typeof value === "number" ? figure(value, "") : value)).join(", ") + (each.unit ? " " + each.unit : "")
      + (each.meter ? " (meter in " + each.meter + ")" : ""));
  }
  for (const each of record.on) said.push(upper(each.words) + (each.off ? ": undone again" : ": STILL SO"));
  for (const each of record.notes) said.push((each.label || "Note") + ": " + each.text);
  for (const each of record.wrong) said.push("Step wrong here (" + each.page + ", " + each.step + "): " + each.text);
  for (const each of record.outstanding) said.push(W.open + each);
  return said.concat("Edition " + record.edition);
}

window.kbDoRecord = (run) => {
  const record = run.record ? run.record() : make(run), said = lines(record);
  const text = () => said.map((line) => [line, ...record.added.filter((each) => each.of === line).map((each) => "   " + each.text)].join("\n")).join("\n") + "\n";
  const rows = el("ol", "kb-do-record", ...said.map((line, at) => el("li", "", line,
    ...record.added.filter((each) => each.of === line).map((each) => el("em", "", " " + each.text)),
    button("kb-do-wrong", "Add", () => run.ask("A sentence to: " + line, async (more) => {
      await run.send({ k: "add", line: at, text: more, of: line });
      window.kbDoRecord(run);
    })))));
  const file = answer("Save it as a file", () => {
    const way = el("a", "");
    way.href = URL.createObjectURL(new Blob([JSON.stringify(record, null, 1)], { type: "application/json" }));
    way.download = "job-" + record.day + "-" + record.plant.replace(/[^A-Za-z0-9]+/g, "-") + ".json";
    way.click();
    setTimeout(() => URL.revokeObjectURL(way.href), 10000);
  });
  const copy = answer("Copy the text", async () => {
    try {
      await navigator.clipboard.writeText(text());
      copy.textContent = "Copied";
    } catch (refused) {
      getSelection().selectAllChildren(rows);
    }
  });
  const code = answer("Show it as a code", async () => {
    await run.load("js/qr.js");
    const packed = new Blob([JSON.stringify(record)]).stream().pipeThrough(new CompressionStream("deflate-raw"));
    const bytes = new Uint8Array(await new Response(packed).arrayBuffer());
    const place = el("div", "kb-do-code");
    try {
      place.append(window.kbQr("KBJ1." + btoa(String.fromCharCode(...bytes)).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "")));
    } catch (long) {
      place.append(W.long);
    }
    code.replaceWith(place);
  });
  run.turn(() => [el("h2", "", "The record of this job"),
    el("p", "", W.record), rows,
    box(copy, file, code, answer("Print it", () => print()), minor("Back", () => run.turn()))]);
};
window.kbDoRecord.make = make;
