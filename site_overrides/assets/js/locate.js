/* The helper on a circuit's page: the technician says how the plant stands and what the points read, and
   sees what can still be wrong and where to put the leads next. What is typed stays on this tablet. */
(function () {
  "use strict";

  const place = /** @type {HTMLElement | null} */ (document.querySelector(".kb-locate"));
  const circuit = window.kbCircuit;
  const judge = window.kbJudge;
  if (!place || !circuit || !judge || circuit.circuit !== place.getAttribute("data-circuit")) return;

  const SHOWN = 8;
  /** Readings of an earlier visit must not be taken for today's. */
  const KEPT_HOURS = 8;
  const says = circuit.says;
  const SAME = 6;
  const shop = window.kbEdition ? window.kbEdition.shop : "";
  /** Told to other tabs when something was kept; what was read lies in the store of the tablet's jobs. */
  const KEY = "kbgen." + shop + ".locate." + circuit.circuit;
  const store = window.indexedDB ? window.kbDoStore : null;
  const tables = new URL("./", /** @type {HTMLScriptElement} */ (document.querySelector("script[src*='/circuits/']")).src).href;
  /** Size and options are said of the plant, not of this circuit; see plant.js. */
  const plant = window.kbPlant;

  /** @type {{at: number, chosen: Object<string, string>, taken: {port: string, value: number | string, mode: string, anew: boolean, at: number}[]}} */
  let state = { at: Date.now(), chosen: {}, taken: [] };
  let dropped = false;
  /** The port that a second person is asked to read. */
  let otherHands = "";

  /** @type {{plant: string, machine: string} | null} The machine that is read; while none is said, nothing is kept. */
  let machine = null;
  let typing = false, known = 0, refused = false;
  const kept = () => "helper " + (machine.machine || "own:" + circuit.equipment + ":" + machine.plant.toLowerCase()) + " " + circuit.circuit;

  /** @returns {HTMLElement} */
  function make(tag, attributes, ...children) {
    const made = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes || {})) {
      if (typeof value === "function") made.addEventListener(name, value);
      else if (value === true) made.setAttribute(name, "");
      else if (value !== false && value !== null && value !== undefined) made.setAttribute(name, String(value));
    }
    made.append(...children.filter((child) => child !== null && child !== undefined && child !== ""));
    return made;
  }

  const button = (text, press, more) => make("button", { type: "button", click: press, ...more }, text);
  const percent = (share) => (share > 0 && share < 0.005 ? "below 1 %" : Math.round(100 * share) + " %");
  const upper = (text) => text.charAt(0).toUpperCase() + text.slice(1);

  const ofThePlant = (dimension) => plant && (dimension.name === "size" || dimension.name === "options");
  const fitted = (choice) => choice.id.split("+").filter(Boolean);
  const optionsOf = (dimension) => [...new Set(dimension.choices.flatMap(fitted))];

  /** @returns {object | undefined} The choice made; nothing while the plant is not said to be one of them. */
  function chosen(dimension) {
    if (!ofThePlant(dimension)) {
      const wanted = state.chosen[dimension.name];
      const found = dimension.choices.find((choice) => choice.id === wanted);
      return found || (dimension.asked ? undefined : dimension.choices[0]);
    }
    const said = plant.said();
    if (dimension.name === "size") return dimension.choices.find((choice) => choice.id === said.size);
    const options = optionsOf(dimension);
    if (!options.every((option) => said[option])) return undefined;
    const there = options.filter((option) => said[option] === "yes").join("+");
    return dimension.choices.find((choice) => choice.id === there);
  }

  function choose(dimension, id) {
    if (!ofThePlant(dimension)) {
      state.chosen[dimension.name] = id;
      keep();
    } else if (dimension.name === "size") {
      plant.say({ size: id });
    } else {
      const there = id.split("+");
      plant.say(Object.fromEntries(optionsOf(dimension).map((option) => [option, there.includes(option) ? "yes" : "no"])));
    }
  }

  /** @returns {number} Which state of the plant is chosen; less than nought while none is, or none is worked out. */
  function numbered() {
    let at = 0;
    for (const dimension of circuit.dimensions) {
      const groups = 1 + Math.max(...dimension.choices.map((choice) => choice.group));
      const choice = chosen(dimension);
      if (!choice) return -1;
      at = at * groups + choice.group;
    }
    return circuit.numbers[at];
  }

  /** @returns {object | undefined} The data of the chosen state; it is fetched when it is chosen first. */
  function variant() {
    const number = numbered(), name = circuit.circuit + "." + number, found = (window.kbTables || {})[name];
    if (found || number < 0 || asked.has(name)) return found;
    asked.add(name);
    const script = document.createElement("script");
    script.src = tables + name + ".js";
    script.addEventListener("load", () => show(true));
    document.head.append(script);
    return undefined;
  }
  const asked = new Set();

  function nameOf(data, port) {
    const at = data.ports.indexOf(port);
    return judge.isDevice(data, port) ? "across " + data.names[at] : port;
  }

  /** Shows what was done: where the machine is said, when it is on the disk. */
  async function keep() {
    state.at = Date.now();
    if (!machine || !store) {
      show(true);
      return;
    }
    try {
      await store.add(kept(), [{ k: "helper", t: state.at, chosen: state.chosen, taken: state.taken }], [], known, { closed: state.at });
      known += 1;
      try {
        localStorage.setItem(KEY, String(state.at));
      } catch (none) {
        // Other tabs see it when they are loaded again.
      }
    } catch (full) {
      refused = true;
      await restore();
    }
    show(true);
  }

  function take(value) {
    const data = variant();
    const port = portField.value;
    if (!data || !data.ports.includes(port)) return;
    state.taken.push({ port, value, mode: modeField.value, anew: !anewRow.hidden && anewField.checked, at: Date.now() });
    dropped = false;
    voltsField.value = "";
    keep();
  }

  function takeVolts() {
    const typed = voltsField.value.trim().replace(",", ".").replace(/\s*V$/i, "");
    const volts = Number(typed);
    if (typed === "" || !Number.isFinite(volts)) {
      voltsSays.textContent = "Type volts, for example 118.";
      voltsField.focus();
      return;
    }
    voltsSays.textContent = "";
    take(volts);
  }

  function reset() {
    state.taken = [];
    dropped = false;
    keep();
  }

  /** Takes up what was read at this machine; what is older than a visit is dropped, what cannot be read is left alone. */
  async function restore() {
    known = 0;
    dropped = false;
    state = { at: Date.now(), chosen: {}, taken: [] };
    if (!machine || !store) return;
    try {
      const { events } = await store.read(kept()), last = events.pop();
      known = events.length + (last ? 1 : 0);
      if (!last || !last.chosen || !Array.isArray(last.taken)) return;
      const taken = last.taken.filter((r) => r && circuit.modes[r.mode] && typeof r.port === "string");
      const old = Date.now() - last.t > KEPT_HOURS * 3600 * 1000;
      dropped = old && taken.length > 0;
      if (old) {
        await store.forget(kept());
        known = 0;
      }
      state = { at: last.t, chosen: last.chosen, taken: old ? [] : taken };
    } catch (damaged) {
      refused = true;
    }
  }

  /** Another machine: nothing of the one before is taken for it, neither what was read nor what it is. */
  async function name(value, own) {
    typing = value === "own";
    const listed = (window.kbPlants || []).find((each) => each.id === value) || {};
    machine = listed.id ? { plant: listed.number, machine: listed.id } : own ? { plant: own, machine: "" } : null;
    const known = { ...(listed.size ? { size: listed.size } : {}), ...listed.options };
    if (plant) plant.say({ ...Object.fromEntries(Object.keys(plant.said()).map((of) => [of, ""])), ...known });
    if (store) store.machine(circuit.equipment, machine);
    await again();
  }

  async function again() {
    await restore();
    showChooser();
    show(true);
  }

  // ---- what stands on the page ---------------------------------------------------------------------

  const chooser = make("div", { class: "kb-locate-state" });
  const next = make("div", { class: "kb-locate-next", role: "status" });
  const portField = /** @type {HTMLSelectElement} */ (make("select", { id: "kb-locate-port", change: labelWords }));
  const modeField = /** @type {HTMLSelectElement} */ (make("select", { id: "kb-locate-mode", change: labelWords },
    ...Object.entries(circuit.modes).map(([id, title]) => make("option", { value: id }, upper(title)))));
  const voltsField = /** @type {HTMLInputElement} */ (make("input", {
    id: "kb-locate-volts", type: "text", inputmode: "decimal", autocomplete: "off", "aria-describedby": "kb-locate-volts-says",
  }));
  const voltsSays = make("p", { id: "kb-locate-volts-says", role: "alert" });
  const wordButtons = make("div", { class: "kb-locate-words", role: "group", "aria-label": "What it reads" });
  const anewField = /** @type {HTMLInputElement} */ (make("input", { id: "kb-locate-anew", type: "checkbox" }));
  const anewRow = make("p", { class: "kb-locate-field", hidden: true }, anewField, make("label", { for: "kb-locate-anew" }, says.tickAnew));
  const form = make("form", { class: "kb-locate-form", submit: (event) => { event.preventDefault(); takeVolts(); } },
    make("p", { class: "kb-locate-field" }, make("label", { for: "kb-locate-port" }, "Read at"), portField),
    make("p", { class: "kb-locate-field" }, make("label", { for: "kb-locate-mode" }, "Meter in"), modeField),
    anewRow,
    wordButtons,
    make("p", { class: "kb-locate-field" }, make("label", { for: "kb-locate-volts" }, "or volts"), voltsField,
      make("button", { type: "submit" }, "Enter volts")),
    voltsSays);
  const readings = make("div", { class: "kb-locate-readings" });
  const result = make("div", { class: "kb-locate-result" });

  /** Which machine is read: one of the shop's list, or a name of one's own. */
  function machineField() {
    const listed = (window.kbPlants || []).filter((each) => each.equipment === circuit.equipment);
    const own = machine && !machine.machine ? machine.plant : "", now = machine ? machine.machine || "own" : typing || !listed.length ? "own" : "";
    const option = (value, text) => make("option", { value, selected: value === now }, text);
    const select = listed.length ? make("select", { id: "kb-locate-plant", change: (event) => name(event.target.value) },
      option("", "Not said: nothing is kept"), ...listed.map((each) => option(each.id, each.number + ", " + each.title)), option("own", "Another: type its number")) : "";
    const input = now === "own" ? make("input", { id: select ? "kb-locate-own" : "kb-locate-plant", type: "text", autocomplete: "off", value: own,
      "aria-label": select ? "Its number, as it stands on it" : false, change: (event) => name("own", event.target.value.trim()) }) : "";
    return make("p", { class: "kb-locate-field" }, make("label", { for: "kb-locate-plant" }, listed.length ? "Which plant" : "Which plant (without it nothing is kept)"), select, input);
  }

  function showChooser() {
    chooser.replaceChildren(machineField(), ...circuit.dimensions.map((dimension) => {
      const id = "kb-locate-" + dimension.name;
      const now = chosen(dimension);
      const select = make("select", { id, change: (event) => choose(dimension, event.target.value) },
        now ? "" : make("option", { disabled: true, selected: true }, "Choose"),
        ...dimension.choices.map((choice) =>
          make("option", { value: choice.id, selected: choice === now }, choice.title)));
      return make("p", { class: "kb-locate-field" }, make("label", { for: id }, dimension.title), select);
    }));
  }

  function showPorts(data, suggested) {
    const option = (port) => {
      const at = data.ports.indexOf(port);
      const where = data.where[at] ? " (" + data.where[at] + ")" : "";
      return make("option", { value: port }, data.names[at] + where);
    };
    const points = data.ports.slice(0, data.points).filter((mark) => mark !== data.back);
    const wanted = suggested ? suggested.port : portField.value;
    portField.replaceChildren(
      make("optgroup", { label: "To " + (data.back || "the " + says.back) }, ...points.map(option)),
      make("optgroup", { label: "Across a contact" }, ...data.ports.slice(data.points).map(option)));
    if (data.ports.includes(wanted)) portField.value = wanted;
    if (suggested) modeField.value = suggested.mode;
  }

  /** The words in volts of the supply as it was read. */
  function labelWords() {
    const data = variant();
    if (!data) return;
    anewRow.hidden = portField.value !== otherHands;
    const port = data.ports.indexOf(portField.value), mode = data.modes.find((m) => m.id === modeField.value);
    const found = judge.supplyOf(data, taken(data));
    const own = portField.value === data.supply;
    const [from, to] = own ? data.supplyBand : judge.full(data, mode.own ? mode.id : "high_z", port, found ? found.volts : null);
    const none = port < data.points ? data.noneTo : data.badContact;
    const word = (value, text, volts) => make("button", { type: "button", click: () => take(value), "data-word": value },
      make("strong", {}, text), make("span", {}, volts));
    const full = found || own ? from + " to " + to + " V" : "within " + data.within + " V of " + data.supply;
    wordButtons.replaceChildren(
      word("none", "None", "up to " + none + " V"),
      word("some", "Some", "between"),
      word("full", "Full", full),
      word("over", "Over", "more than full"));
  }

  function showReadings(data) {
    const clock = (time) => new Date(time).toTimeString().slice(0, 5);
    const rows = state.taken.map((r) => {
      const text = upper(readingText(data, r));
      return make("li", {}, make("span", {}, text + ", " + clock(r.at)),
        button("Remove", () => {
          state.taken = state.taken.filter((other) => other !== r);
          keep();
        }, { "aria-label": "Remove " + text }));
    });
    readings.replaceChildren(
      dropped ? make("p", {}, "Readings of an earlier visit were dropped.") : "",
      refused ? make("p", { role: "alert" }, "What was read could not be kept, or another tab went on. Write it down.") : "",
      machine ? make("p", {}, "Read at " + machine.plant + ".") : "",
      rows.length ? make("ul", {}, ...rows) : make("p", {}, "Nothing read yet."),
      button("Start again", reset, { class: "kb-locate-reset" }));
  }

  const readingText = (data, r) => nameOf(data, r.port) + ": " + (typeof r.value === "number" ? r.value + " V" : r.value)
    + (r.mode === "high_z" ? "" : ", " + circuit.modes[r.mode]) + (r.anew ? ", found anew" : "");
  const taken = (data) => state.taken.filter((r) => data.ports.includes(r.port));
  const then = (steps) => make("ul", {}, ...steps.map((each) => make("li", {}, each)));
  const line = (strong, ...rest) => make("p", {}, make("strong", {}, strong), ...rest);

  /** Names what stands; of many only the first. */
  function left(data, found) {
    const names = found.standing.map((row) => data.faults[row].name);
    const rest = names.length - SAME;
    return names.slice(0, SAME).join("; or ") + (rest > 0 ? ", or " + rest + (rest > 1 ? " others" : " other") : "");
  }

  function showNext(data, found) {
    if (found.foreign) {
      const volts = found.foreign.volts;
      next.replaceChildren(
        line("STOP. " + upper(nameOf(data, found.foreign.port)) + " reads "
          + (typeof volts === "number" ? volts + " V" : volts) + ". ", says.foreign[found.foreign.why]),
        ...says.stop.map((each) => make("p", {}, each)));
      return;
    }
    const lines = found.warned.filter((name) => says.first.includes(name)).map((name) => line(says.warnings[name]));
    lines.push(...found.drops.map((drop) => line(drop.volts + " V are lost between " + drop.from + " and " + drop.to
      + ": a bad joint or contact.", found.notCounted.some((n) => n.why === "ghost" && found.taken[n.at].port === drop.to)
      ? " Or it is a ghost: repeat it in low impedance to the " + says.back + "." : "")));
    if (found.repeat) {
      lines.push(line("These readings contradict each other.", " First: is the lead on the " + says.back + ", and does the known source still read? Is the state above right?"));
    }
    if (found.ends) lines.push(line("", says.ends.replace("{upper}", found.ends.from).replace("{lower}", found.ends.to)));
    if (found.verdict === "made") {
      lines.push(line(says.made.replace("{first}", data.supply).replace("{last}", data.row[data.row.length - 1])));
      const beside = found.cannotTell.filter((row) => data.faults[row].kind === "open")
        .map((row) => data.names[data.ports.indexOf(data.faults[row].where[0], data.points)]);
      if (beside.length) lines.push(line(says.madeBeside.replace("{names}", beside.join("; "))));
      lines.push(then(says.madeNext));
    } else if (found.verdict === "found") {
      lines.push(line("Found: " + upper(left(data, found)) + "."), then(says.foundNext));
    } else if (found.hangsOn) {
      const name = data.names[data.ports.indexOf(found.hangsOn)];
      lines.push(line(says.hangsOn.replaceAll("{port}", name)), line("", says.hangsThen.replace("{names}", left(data, found))));
    } else if (found.asMeant) {
      lines.push(line(data.asMeant));
    } else if (found.eitherWay) {
      lines.push(line(data.eitherWay));
    }
    if (found.next) {
      const at = data.ports.indexOf(found.next.port);
      const where = data.where[at] ? data.where[at] + ". " : "";
      const how = found.next.mode === "high_z" ? "" : ", meter in " + circuit.modes[found.next.mode];
      const to = found.next.device ? "" : " to " + (data.back || "the " + says.back);
      lines.push(
        line((found.repeat ? "Repeat " : "Next: ") + nameOf(data, found.next.port) + to + how + ".",
          " " + where + "About " + found.next.minutes.toFixed(0) + " min. " + says[found.next.why]),
        found.next.gates.length ? line("Mind: ", found.next.gates.join("; ") + ".") : "");
    } else if (found.verdict === "unclear" && !found.asMeant && !found.eitherWay && !found.hangsOn) {
      lines.push(line(says.noMore[0], " " + says.noMore[1]));
    }
    next.replaceChildren(...lines);
  }

  function showResult(data, found) {
    const faults = data.faults;
    const open = found.verdict !== "foreign" && found.verdict !== "made";
    const listed = open ? found.remaining.filter((each) => !faults[each.row].hidden) : [];
    const items = listed.slice(0, SHOWN).map(({ row, share, against }) => {
      const notes = faults[row].notes;
      const jobs = notes ? ", " + notes + (notes === 1 ? " field note" : " field notes") : "";
      const only = against.length ? "; only if " + readingText(data, found.taken[against[0]]) + " was wrong" : "";
      return make("li", { "data-fault": faults[row].fault }, make("strong", {}, percent(share)), " " + upper(faults[row].name) + jobs + only);
    });
    const rest = listed.slice(SHOWN);
    const restShare = rest.reduce((total, each) => total + each.share, 0);
    const shown = new Set(listed.slice(0, SHOWN).map((each) => each.row));
    const alike = found.groups
      .map((group) => group.filter((row) => shown.has(row)).map((row) => faults[row].name))
      .filter((names) => names.length > 1);
    const welded = found.verdict === "made"
      ? found.cannotTell.filter((row) => faults[row].kind === "stuck").map((row) => faults[row].name) : [];
    result.replaceChildren(
      open ? make("h3", {}, items.length ? "What can still be wrong" : "Nothing fits all of these readings") : "",
      items.length ? make("ul", {}, ...items) : "",
      rest.length ? make("p", {}, "And " + rest.length + " more, together " + percent(restShare) + ".") : "",
      ...alike.map((names) => make("p", {}, "No reading tells apart: " + names.join("; ") + ".")),
      welded.length ? make("p", {}, "Reads the same: " + welded.join("; ") + ".") : "",
      ...found.notCounted.map((n) => make("p", {}, make("strong", {}, "Not counted: "), readingText(data, found.taken[n.at]) + ". " + says.uncounted[n.why]
        + (found.unexplained.includes(n.at) ? " " + says.unexplained : ""))),
      found.device && found.taken.length ? job(found.device) : "",
      found.verdict === "made" ? sometimes() : "",
      ...found.warned.filter((name) => found.foreign || !says.first.includes(name)).map((name) => make("p", { class: "kb-locate-mind" }, says.warnings[name])),
      make("p", { class: "kb-locate-mind" }, says.caution));
  }

  /** An open contact is not yet a faulty one. */
  function job(id) {
    const device = circuit.devices[id];
    const check = device.check;
    return make("div", { class: "kb-locate-job" },
      make("h3", {}, "Is " + device.title + " doing its job?"),
      make("p", {}, check ? "Check with: " + check.with + "." : "Check with an instrument of your own."),
      check ? make("p", {}, make("strong", {}, "Real: "), check.real) : "",
      check ? make("p", {}, make("strong", {}, "False: "), check.false) : "",
      make("p", {}, make("strong", {}, "Not sure counts as real. "), "Find the cause before any reset."),
      device.known ? make("p", {}, make("a", { class: "kb-go", href: "../devices/" + encodeURIComponent(id) + ".html" }, device.title)) : "");
  }

  function sometimes() {
    const rows = Object.values(circuit.devices).flatMap((device) => device.sometimes.map((cause) =>
      make("li", {}, make("strong", {}, device.title), ": " + cause.cause + " (" + cause.appears + ")"
        + (cause.look_for ? ". Look for: " + cause.look_for : ""))));
    return rows.length ? make("div", {}, make("h3", {}, "What opens only sometimes"), make("ul", {}, ...rows)) : "";
  }

  /** @param {boolean} follow Whether the point to read follows the suggestion. */
  function show(follow) {
    const data = variant();
    form.hidden = !data;
    if (!data) {
      const missing = circuit.dimensions.filter((dimension) => !chosen(dimension)).map((dimension) => dimension.title.toLowerCase());
      next.replaceChildren(make("p", {}, missing.length
        ? "Choose first: " + missing.join(", ") + ". The readings hang on it."
        : numbered() >= 0 ? "One moment: the figures of this state are fetched."
        : "This state is not worked out on this page. Choose another, or ask the office for it."));
      readings.replaceChildren();
      result.replaceChildren();
      return;
    }
    // A reading at a point this size does not have says nothing here; it comes back with its size.
    const found = { ...judge.judge(data, taken(data)), taken: taken(data) };
    const suggested = found.next;
    otherHands = suggested && suggested.why === "anew" ? suggested.port : "";
    anewField.checked = false;
    showPorts(data, follow ? suggested : null);
    labelWords();
    showReadings(data);
    // After a stop nothing is offered to go on with; a slip of the finger can still be removed.
    form.hidden = Boolean(found.foreign);
    showNext(data, found);
    showResult(data, found);
  }

  machine = (store && store.machine(circuit.equipment)) || null;
  showChooser();
  place.replaceChildren(chooser, next, form, readings, result);
  place.hidden = false;
  show(true);
  // What was dropped of this machine is said first; then what is old goes, whichever machine it was read at.
  (machine ? again() : Promise.resolve()).then(() => store && store.tidy()).catch(() => undefined);
  document.addEventListener("kb-plant", () => {
    showChooser();
    show(true);
  });
  // Another tab of the same circuit may have been used meanwhile.
  window.addEventListener("storage", (event) => {
    if (machine && event.key === KEY) again();
  });
})();
