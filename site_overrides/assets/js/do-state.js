/* What the log of a job comes to; the twin of kbgen/views/doing/replay.py, which says what events there are. Which step
   follows, what stands on the plant and in which words comes with the page; here nothing of it is decided. */
const HELD = ["lock", "off", "shut", "guard", "dead", "tried", "zero"];
const BREAK = 30 * 60000, MOST = 1e9;
const kindOf = (key) => key.split(":")[0];

const begin = () => ({
  page: "", at: 0, since: 0, trail: [], unknown: [], seen: {}, supply: null, tags: 0, readings: [], stop: "",
  done: [], brings: [], next: "", beside: {}, who: "", plant: "", mark: "", practice: false, notes: [], wrong: [],
});

/** Turns the data of a page from what is shipped into what is gone by; twin of kbgen/views/doing/rows.py. */
function opened(page, ...parts) {
  if (Array.isArray(page.nodes)) return page;
  if (parts.length !== (page.parts || 0) || parts.some((each) => each[0] !== page.mark)) throw new Error(page.id);
  const summed = (numbers, sum = 0) => numbers.map((more) => (sum += more));
  const { s, h, l, w } = page.nodes, sets = summed(h), left = summed(l), bodies = page.steps.concat(...parts.map((each) => each.slice(1)));
  const which = summed(page.which);
  let there = [];
  page.nodes = summed(s).map((step, at) => [step, sets[at], [w[at]].flat().map((to) => (to === "c" ? -1 : to === "n" ? -2 : to + at)), left[at]]);
  page.holds = page.holds.map((turned) => (there = there.filter((each) => !turned.includes(each))
    .concat(turned.filter((each) => !there.includes(each))).sort((a, b) => a - b)));
  page.steps = page.at.map((at, number) => ({ ...bodies[which[number]], at }));
  return page;
}

/** @returns {Array<[string, string, string]>} The items at a node: key, what it is for, words. */
const holds = (page, node) => page.holds[page.nodes[node][1]].map((each) => page.items[each]);
const stepAt = (page, node) => page.steps[page.nodes[node][0]];
const keysAt = (page, node) => holds(page, node).map((each) => each[0]);
const only = (map, keep) => Object.fromEntries(Object.entries(map).filter(([key]) => keep(key)));
const tenths = (volts) => Math.floor(volts * 10 + 0.5) / 10;

function mayStart(page, state) {
  if (state.practice) return true;
  if (page.after.length && state.next !== page.id && !state.done.some((each) => each[0] === page.after[0])) return false;
  return page.needs.every((key) => HELD.includes(kindOf(key)) || state.brings.includes(key));
}

/** @returns {[string, number, number] | null} What the supply of a circuit is now; `volts` is null before they are read. */
function supplyOf(limits, volts, known) {
  const mine = known && known[0] === limits.of ? known : null;
  if (volts === null || limits.place === undefined) return mine;
  if (Math.abs(volts) < limits.band[0] || Math.abs(volts) > limits.band[1]) return mine;
  return mine && mine[1] < limits.place ? mine : [limits.of, limits.place, Math.abs(volts)];
}

/** @returns {[number, number]} Between which volts a reading is full. */
function full(limits, volts, known) {
  const found = supplyOf(limits, volts, known), supply = found && found[2];
  if (limits.sup) return limits.band;
  if (supply === null) return limits.n;
  const within = Math.min(limits.w[0], limits.w[1] * supply);
  const low = Math.max(tenths(supply * limits.sag[0] - within), limits.least);
  return [low, Math.max(low, tenths(supply * limits.sag[1] + within))];
}

/** @returns {string} The word for a reading: none, some, full or over. */
function judge(limits, volts, known) {
  const read = Math.abs(volts);
  if (read <= limits.none) return "none";
  const [low, high] = full(limits, volts, known);
  return read < low ? "some" : read <= high ? "full" : read <= limits.more ? "above" : "over";
}

/** @returns {string} Which class of a reading an answer stands for. */
const says = (step, e) => (step.volts.is ? step.volts.is[e] : step.answers[e][1]);

/** @returns {boolean} Whether an answer may be given for a figure: it lies in its range, or in none and the answer is none. */
function fits(ranges, e, figure) {
  const there = ranges.map((each) => each !== null && each[0] <= Math.abs(figure) && Math.abs(figure) <= each[1]);
  return there[e] || (ranges[e] === null && !there.includes(true));
}

const numbers = (figures, count) => Array.isArray(figures) && figures.length === count
  && figures.every((each) => typeof each === "number" && Number.isFinite(each) && Math.abs(each) <= MOST);

function proved(step, figures) {
  if (!numbers(figures, step.pairs.length + 2)) return "";
  const read = figures.map(Math.abs), first = read[0], last = read[read.length - 1];
  const reads = first >= step.least && last >= step.least && last >= 0.8 * first;
  return reads && read.slice(1, -1).every((each) => each <= step.dead) ? "dead" : "live";
}

/** @returns {string} Whether marks are the same, and that of the machine where the shop has its number. */
function alike(marks, own) {
  if (!Array.isArray(marks) || marks.length < 2 || !marks.every((each) => typeof each === "string")) return "";
  const said = marks.concat(own || []).map((each) => each.toUpperCase().replace(/[^A-Z0-9]/g, ""));
  if (said[0] && said.every((each) => each === said[0])) return "same";
  return said.every(Boolean) ? "different" : "";
}

function waited(state, [seconds, , limits], event) {
  if (!state.practice && event.t - state.since < seconds * 1000) return false;
  if (!limits.length) return Boolean(event.ok);
  return numbers(event.v, limits.length) && limits.every(([, most], at) => event.v[at] < most || (event.v[at] === 0 && most === 0));
}

function answered(state, step, e, figures) {
  const verdict = step.answers ? step.answers[e][1] : "";
  if (step.volts) {
    if (!numbers(figures, 1)) return false;
    const word = judge(step.volts, figures[0], state.supply);
    if (word === "over") state.stop = "foreign";
    return word === says(step, e) || word === "over";
  }
  if (step.over && numbers(figures, 1) && Math.abs(figures[0]) > step.over) state.stop = "foreign";
  if (step.pairs) return proved(step, figures) === verdict;
  if (step.mark) return alike(figures, state.mark) === verdict;
  if (step.ranges) return numbers(figures, 1) && fits(step.ranges, e, figures[0]);
  return step.number === undefined || numbers(figures, 1);
}

/** @returns {boolean} Whether figures are pairs of a step of a reach and its volts, each once, the supply among them. */
const ofReach = (listed, figures) => Array.isArray(figures) && numbers(figures.map((each) => each[1]), figures.length)
  && figures.every((each) => each.length === 2 && listed.includes(each[0])) && figures.some((each) => each[0] === listed[0])
  && new Set(figures.map((each) => each[0])).size === figures.length;

function arrive(page, state, node, event) {
  const before = keysAt(page, state.at), now = keysAt(page, node);
  state.at = node;
  state.since = event.t;
  state.beside = only(state.beside, (key) => !now.includes(key));
  state.seen = only(state.seen, (key) => now.includes(key) || key in state.beside);
  for (const key of now) if (!before.includes(key)) state.seen[key] = [state.who, event.t];
}

function close(page, state, how, number, brings) {
  for (const [key, what, words] of holds(page, state.at)) {
    if (what === "u" || what === "o" || key.startsWith("lead:")) state.beside[key] = words;
  }
  state.done.push([state.page, how, number]);
  const onward = (number >= 0 && page.steps[number].next) || [];
  Object.assign(state, { page: "", brings, next: onward[0] || "", unknown: [], trail: [], supply: null, stop: "" });
}

const KINDS = {
  start(page, state, event) {
    if (state.page || !page || (state.done.length && Boolean(event.practice) !== state.practice)) return;
    state.practice = Boolean(event.practice);
    if (!mayStart(page, state)) return;
    if (event.anew || event.who !== state.who || event.t - state.since > BREAK) {
      // After a break, or for somebody else, nothing that holds or was proved is taken as it was left.
      state.brings = state.brings.filter((key) => !HELD.includes(kindOf(key)));
    }
    const first = holds(page, 0), keys = first.map((each) => each[0]), carried = state.beside;
    Object.assign(state, { page: event.page, at: 0, since: event.t, trail: [], stop: "", supply: null });
    state.who = event.who;
    state.plant = event.plant;
    state.mark = event.machine ? event.plant : "";
    state.unknown = state.practice ? [] : first.filter(([key, what]) => "up".includes(what) && HELD.includes(kindOf(key))
      && !state.brings.includes(key)).map((each) => each[0]);
    state.beside = only(carried, (key) => !keys.includes(key));
    state.seen = only(state.seen, (key) => keys.includes(key) || key in carried);
  },
  go(page, state, event) {
    const [number, , ways] = page.nodes[state.at], step = page.steps[number], figures = event.v;
    if (state.stop || state.unknown.length || !(event.e >= 0 && event.e < ways.length)) return;
    const answer = step.answers ? step.answers[event.e] : ["", "", 0, 0];
    const doubt = Boolean(event.u && answer[2]);
    if (step.wait && !waited(state, step.wait, event)) return;
    if (!doubt && !answer[3] && !answered(state, step, event.e, figures)) return;
    if (figures !== undefined && !doubt) state.readings.push([state.page, number, figures]);
    if (state.stop) return;
    const target = ways[event.e];
    if (target < 0) {
      state.stop = target === -1 ? "cannot" : "used";
      return;
    }
    if (step.volts && numbers(figures, 1)) state.supply = supplyOf(step.volts, figures[0], state.supply) || state.supply;
    if (step.asks) state.supply = null;
    for (const [verdict, keys] of Object.entries(step.clears || {})) {
      if (verdict === "" || verdict === answer[1]) state.beside = only(state.beside, (key) => !keys.includes(key));
    }
    if (step.tag === "") state.tags += 1;
    state.trail.push(state.at);
    arrive(page, state, target, event);
  },
  reach(page, state, event) {
    const listed = stepAt(page, state.at).reach || [], supply = listed[0], figures = event.v;
    if (state.stop || state.unknown.length || !ofReach(listed, figures)) return;
    const found = supplyOf(page.steps[supply].volts, figures.find((each) => each[0] === supply)[1], null);
    const words = new Map(figures.map(([step, volts]) => [step, judge(page.steps[step].volts, volts, found)]));
    for (const [step, volts] of figures) state.readings.push([state.page, step, [volts]]);
    state.supply = found;
    if ([...words.values()].some((word) => word === "over" || word === "above")) state.stop = "foreign";
    else if (words.get(supply) !== "full" && page.nodes[state.at][0] !== supply) state.stop = "supply";
    while (!state.stop) {
      const [number, , ways] = page.nodes[state.at], word = words.get(number) || "some";
      words.delete(number);
      if (word === "some") return;
      const target = ways[page.steps[number].answers.findIndex((each) => each[1] === word)];
      if (target < 0) {
        state.stop = target === -1 ? "cannot" : "used";
        return;
      }
      state.trail.push(state.at);
      arrive(page, state, target, event);
    }
  },
  back(page, state, event) {
    if (["cannot", "used", "foreign", "supply"].includes(state.stop)) {
      // Volts that do not belong there: the supply may have changed, so it is read anew.
      Object.assign(state, { stop: "", supply: null });
      return;
    }
    if (state.stop || state.unknown.length || !state.trail.length) return;
    const to = state.trail[state.trail.length - 1];
    if (asksBack(page, state) && !event.undone) return;
    state.trail.pop();
    const now = keysAt(page, state.at);
    state.supply = null;
    // What was proved and is not proved now does not come back by going back.
    state.unknown = holds(page, to).filter(([key, what]) => what === "p" && !now.includes(key)).map((each) => each[0]);
    arrive(page, state, to, event);
  },
  break(page, state, event) {
    const there = holds(page, state.at);
    const wanted = there.filter(([key, what]) => what === "u" && !key.startsWith("look:") && !key.includes("?"))
      .concat(there.filter((each) => each[1] === "p")).map((each) => each[0]);
    state.unknown = wanted.concat(Object.keys(state.beside).filter((key) => !wanted.includes(key)));
    state.who = event.who;
    state.supply = null;
  },
  sure(page, state, event) {
    const key = event.key;
    if (state.stop || !state.unknown.length || state.unknown[0] !== key) return;
    if (!event.ok) {
      state.stop = "lost";
      return;
    }
    if (kindOf(key) === "lock" && (state.seen[key] || [""])[0] !== state.who) {
      // Whoever takes over hangs an own lock before the first comes off.
      if (!event.own) return;
      state.tags += 1;
    }
    if (["dead", "tried", "zero"].includes(kindOf(key))) {
      const step = page.steps[page.again[key]];
      if (!step || (step.pairs && proved(step, event.v) !== "dead")) return;
      if (step.number !== undefined && !numbers(event.v, 1)) return;
      if (event.v !== undefined) state.readings.push([state.page, page.again[key], event.v]);
    }
    state.unknown.shift();
    state.seen[key] = [state.who, event.t];
  },
  leave(page, state) {
    close(page, state, "left", -1, []);
  },
  end(page, state) {
    const number = page.nodes[state.at][0], how = page.steps[number].ends;
    if (state.stop || state.unknown.length || !how) return;
    close(page, state, how, number, page.brings[number] || []);
  },
  note(page, state, event) {
    state[event.k === "wrong" ? "wrong" : "notes"].push([state.page, page.nodes[state.at][0], event.text]);
  },
};
KINDS.wrong = KINDS.note;

/** @returns {boolean} Whether going back goes over a step that changes the plant. */
function asksBack(page, state) {
  const to = state.trail[state.trail.length - 1];
  return Boolean(to !== undefined && (stepAt(page, to).asks || stepAt(page, state.at).asks));
}

/** Takes one event into a state; one that does not fit changes nothing. */
function take(pages, state, event) {
  const page = pages[event.k === "start" ? event.page : state.page];
  if (page && Object.hasOwn(KINDS, event.k)) KINDS[event.k](page, state, event);
  return state;
}

/** @returns {boolean} Whether a log can be gone by: it begins with a page, and every event is one. */
const whole = (events, pages) => events.every((each, at) => typeof each.t === "number" && typeof each.k === "string"
  && (at > 0 || each.k === "start") && (each.k !== "start" || Object.hasOwn(pages, each.page)));

const replay = (pages, events) => events.reduce((state, event) => take(pages, state, event), begin());
