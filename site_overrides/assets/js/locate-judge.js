/* Judges readings of a circuit as `kbgen locate` does. No arithmetic of circuits happens here: what every
   fault can read was worked out when the pages were made, and is intersected and looked up. */
(function () {
  "use strict";

  const NONE = 1, SOME = 2, FULL = 4;
  const WORDS = { none: NONE, some: SOME, full: FULL };
  const NAMES = { [NONE]: "none", [SOME]: "some", [FULL]: "full" };
  /** A repetition must be able to clear up this share of what is left. */
  const WORTH = 0.02;

  /**
   * @typedef {{port: string, value: number | string, low: boolean}} Reading
   * A mark read to the return or a contact read across; volts, or none, some, full; the meter's mode.
   * @typedef {{port: string, device: boolean, low: boolean, minutes: number, gates: string[], why: string}} Next
   * The next test; what its place asks for; the name of the reason among the shipped sentences.
   */

  /** @returns {number} The word for a reading. */
  function said(data, reading) {
    if (typeof reading.value === "string") return WORDS[reading.value];
    const volts = Math.abs(reading.value);
    return volts <= data.none_to ? NONE : volts >= data.full_from ? FULL : SOME;
  }

  const isDevice = (data, port) => Object.prototype.hasOwnProperty.call(data.before, port);
  const sum = (values) => values.reduce((total, value) => total + value, 0);

  /** @returns {number[]} The faults that no reading excludes, in the order of the table. */
  function possible(data, taken) {
    const full = new Set(taken.filter((r) => said(data, r) === FULL && !isDevice(data, r.port)).map((r) => r.port));
    let left = data.faults.map((_, row) => row);
    for (const reading of taken) {
      const what = said(data, reading);
      if (what === SOME && !reading.low) continue; // may be a ghost
      if (what === NONE && reading.port !== data.supply) {
        const needed = isDevice(data, reading.port) ? data.before[reading.port] : data.supply;
        if (!full.has(needed)) continue; // a zero counts only while the supply reads full
      }
      const port = data.ports.indexOf(reading.port);
      const digits = data.words[reading.low ? "low_z" : "high_z"];
      left = left.filter((row) => {
        if (what !== SOME || typeof reading.value === "string") return Number(digits[row][port]) & what;
        const between = (data.middle[row] || {})[port];
        const volts = Math.abs(reading.value);
        return between && between[0] <= volts && volts <= between[1];
      });
    }
    return left;
  }

  /** @returns {Reading[]} Readings of which one must be wrong: nothing upstream and full downstream of it. */
  function outOfOrder(data, taken) {
    const along = taken.filter((r) => data.falling.includes(r.port));
    const found = new Set();
    for (const first of along) {
      for (const second of along) {
        const upstream = data.falling.indexOf(first.port) <= data.falling.indexOf(second.port);
        const weaker = Number(first.low) <= Number(second.low);
        if (said(data, first) === NONE && said(data, second) === FULL && upstream && weaker) {
          found.add(first).add(second);
        }
      }
    }
    return [...found];
  }

  /** @returns {Reading} The reading without which most of what was suspected is possible again. */
  function mostWorthRepeating(data, taken, wrong) {
    let best = { gain: 0, at: -1 };
    for (const reading of wrong) {
      const others = taken.filter((r) => r !== reading);
      const cured = outOfOrder(data, others).length === 0;
      const gain = cured ? sum(possible(data, others).map((row) => data.faults[row].weight)) : 0;
      const at = taken.indexOf(reading);
      if (gain > best.gain || (gain === best.gain && at > best.at)) best = { gain, at };
    }
    if (best.gain > 0) return taken[best.at];
    return taken.find((r) => r.port === data.supply) || taken[taken.length - 1];
  }

  /** @returns {number} The one word a fault reads at a port, or 0 when it may read several. */
  function wordOf(data, port, row) {
    const one = (digit) => digit === NONE || digit === SOME || digit === FULL;
    const high = Number(data.words.high_z[row][port]);
    if (port >= data.points) return one(high) ? high : 0;
    const clear = one(Number(data.words.high_z[0][port]));
    if (clear && one(high)) return high;
    const low = Number(data.words.low_z[row][port]);
    return one(low) ? low : 0;
  }

  /** @returns {string[][]} Faults that every reachable reading can only call by the same words. */
  function inseparable(data, rows) {
    const points = data.reachable.map((mark) => data.ports.indexOf(mark));
    const found = new Map();
    for (const row of rows) {
      const high = data.words.high_z[row], low = data.words.low_z[row];
      const key = points.map((port) => high[port] + low[port]).join("") + high.slice(data.points);
      found.set(key, [...(found.get(key) || []), row]);
    }
    return [...found.values()].filter((group) => group.length > 1);
  }

  function seenWord(data, taken, port, low) {
    const reading = taken.find((r) => r.port === port && r.low === low);
    return reading ? said(data, reading) : 0;
  }

  /** @returns {number} The places reached and covers off after the readings, as bits. */
  function opened(data, taken) {
    return data.tests.reduce((bits, t) => (taken.some((r) => r.port === t.name) ? bits | t.needs : bits), 0);
  }

  function minutes(data, test, bits) {
    return test.minutes + sum(data.setups.map((s, k) => ((test.needs >> k) & 1 && !((bits >> k) & 1) ? s.minutes : 0)));
  }

  const gates = (data, test) => data.setups.filter((s, k) => (test.needs >> k) & 1 && s.gate).map((s) => s.gate);

  /** @returns {Next} */
  function point(data, mark, bits, low, why) {
    const test = data.tests.find((t) => t.name === mark && !t.device);
    return { port: mark, device: false, low, minutes: minutes(data, test, bits), gates: gates(data, test), why };
  }

  /** @returns {Next} */
  function across(data, label, bits, why) {
    const test = data.across[label];
    return { port: label, device: true, low: false, minutes: minutes(data, test, bits), gates: gates(data, test), why };
  }

  /** @returns {Next | null} */
  function suggest(data, taken, left) {
    const bits = opened(data, taken);
    if (data.reachable.includes(data.supply) && !taken.some((r) => r.port === data.supply)) {
      return point(data, data.supply, bits, false, "supply");
    }
    const doubtful = taken.find((r) =>
      said(data, r) === SOME && !r.low && data.reachable.includes(r.port)
      && !seenWord(data, taken, r.port, true) && wordOf(data, data.ports.indexOf(r.port), 0) !== SOME);
    if (doubtful) {
      return point(data, doubtful.port, bits, true, "doubt");
    }
    return data.policy.order ? alongTheString(data, taken, left, bits) : downTheTree(data, taken, left, bits);
  }

  function alongTheString(data, taken, left, bits) {
    const still = new Set(left);
    const alive = data.groups.map((group) => group.some((row) => still.has(row)));
    const span = data.policy.order.map((h, at) => (alive[h] ? at : -1)).filter((at) => at >= 0);
    if (span.length > 1) {
      const state = data.policy.states.indexOf(bits);
      const k = data.policy.choice[state][span[0]][span[span.length - 1]];
      const test = data.tests[k];
      if (test && !seenWord(data, taken, test.name, test.meter === "low_z")) {
        return point(data, test.name, bits, test.meter === "low_z", "order");
      }
    }
    const rows = data.groups.flatMap((group, h) => (alive[h] ? group.filter((row) => still.has(row)) : []));
    const label = toReadAcross(data, rows);
    if (label && !seenWord(data, taken, label, false)) return across(data, label, bits, "across");
    return unclear(data, taken, left, bits);
  }

  /** @returns {string} The contact whose reading across splits faults that the points cannot tell apart. */
  function toReadAcross(data, rows) {
    const labels = rows.filter((row) => data.faults[row].kind === "open").map((row) => data.faults[row].fault.slice(5));
    return labels.find((label) => {
      const port = data.ports.indexOf(label, data.points);
      const called = new Set(rows.map((row) => ({ [NONE]: NONE, [FULL]: FULL })[wordOf(data, port, row)] || SOME));
      return called.size > 1;
    }) || "";
  }

  /** The low-impedance reading that clears up most: bad contacts show only under load. @returns {Next | null} */
  function unclear(data, taken, left, bits) {
    const weight = (row) => data.faults[row].weight;
    const total = sum(left.map(weight));
    let best = null;
    for (const mark of data.reachable) {
      if (seenWord(data, taken, mark, true)) continue;
      const port = data.ports.indexOf(mark);
      const called = left.map((row) => ({ row, word: Number(data.words.low_z[row][port]) }));
      let kept = 0;
      for (const word of [NONE, SOME, FULL]) {
        const fitting = called.filter((c) => c.word & word);
        const ways = (c) => (c.word & 1) + ((c.word >> 1) & 1) + ((c.word >> 2) & 1);
        kept += sum(fitting.map((c) => weight(c.row) / ways(c))) * sum(fitting.map((c) => weight(c.row)));
      }
      const cleared = total ? 1 - kept / (total * total) : 0;
      if (cleared > WORTH && (!best || cleared > best.cleared + 1e-9)) best = { cleared, mark };
    }
    return best && point(data, best.mark, bits, true, "load");
  }

  /** Parts side by side: one fixed order, in which what the readings tell already is passed by. */
  function downTheTree(data, taken, left, bits) {
    let node = data.policy.tree;
    while (node && node.test) {
      const low = node.meter === "low_z", device = node.kind === "device";
      const port = device ? data.ports.indexOf(node.test, data.points) : data.ports.indexOf(node.test);
      let word = seenWord(data, taken, node.test, low);
      if (!word) {
        const called = new Set(left.map((row) => wordOf(data, port, row)));
        word = called.size === 1 ? [...called][0] : 0;
      }
      if (!word) {
        if (!device) return point(data, node.test, bits, low, "fixed");
        return across(data, node.test, bits, "only-across");
      }
      const below = node.outcomes[NAMES[word]];
      node = below && below.as ? node.outcomes[below.as] || below : below;
      if (node && node.as) node = null;
    }
    const rest = node && node.then;
    if (rest && !seenWord(data, taken, rest.test, false)) return across(data, rest.test, bits, "across");
    return unclear(data, taken, left, bits);
  }

  /**
   * Judge readings.
   *
   * @param {object} data One variant of the circuit's data.
   * @param {Reading[]} taken At most one reading of a port in each mode of the meter.
   */
  function judge(data, taken) {
    const left = possible(data, taken);
    const total = sum(left.map((row) => data.faults[row].weight));
    const remaining = left
      .map((row) => ({ row, share: total ? data.faults[row].weight / total : 0 }))
      .sort((a, b) => b.share - a.share || a.row - b.row);
    const wrong = left.length ? outOfOrder(data, taken) : taken;
    const repeat = wrong.length ? mostWorthRepeating(data, taken, wrong) : null;
    const still = new Set(left);
    const alive = data.groups.filter((group) => group.some((row) => still.has(row)));
    const fed = taken.some((r) => r.port === data.supply && said(data, r) === FULL);
    const sound = fed && still.has(0) && alive.length === 1 && alive[0].includes(0);
    const opens = new Set(left
      .filter((row) => data.faults[row].kind === "open" && !data.faults[row].hidden)
      .map((row) => data.faults[row].device));
    return {
      remaining,
      groups: inseparable(data, remaining.map((r) => r.row)),
      repeat,
      sound,
      next: repeat || sound ? null : suggest(data, taken, left),
      device: !repeat && !still.has(0) && opens.size === 1 ? [...opens][0] : "",
      jumps: taken.some((r) => r.low && isDevice(data, r.port)),
      dead: taken.some((r) => r.port === data.supply && said(data, r) === NONE),
    };
  }

  window.kbJudge = { judge, said, isDevice };
})();
