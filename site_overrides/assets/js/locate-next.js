/* Says where the leads go next, as `kbgen locate` does. */
(function () {
  "use strict";

  const E = window.kbEvidence;
  const { NONE, SOME, FULL, OVER } = E;
  const NAMES = { [NONE]: "none", [SOME]: "some", [FULL]: "full", [OVER]: "over" };
  /** The same figures as in the program; see suggestion.py, doubt.py and telling.py. */
  const WORTH = 0.03, ANY = 1e-3, CONFIRMS = 0.3, RIVALS = 0.08, MOST_REPEATS = 3, MISTAKEN = 0.05, MOST_DOUBT = 0.5;
  const MINUTE = 0.02, HAIR = 1e-9;
  const CERTAIN = [NONE, FULL, OVER, FULL | OVER];

  const sum = (values) => values.reduce((total, value) => total + value, 0);
  const one = (digit) => [NONE, SOME, FULL, OVER].includes(digit);
  const called = (data, mode, row, port) => parseInt(data.words[E.solved(data, mode)][row][port], 16);

  /** @returns {number} The one word a fault reads at a port, or 0 when it may read several. */
  function wordOf(data, port, row) {
    const high = called(data, "high_z", row, port);
    if (port >= data.points) return one(high) ? high : 0;
    const made = called(data, "high_z", 0, port);
    if ([NONE, SOME, FULL].includes(made) && one(high)) return high;
    const low = called(data, "low_z", row, port);
    return one(low) ? low : 0;
  }

  /** Asks, in turn, whatever may be the most useful next reading. */
  function suggester(data, taken, evidence, drops) {
    const { sorted, against } = evidence;
    const seen = (port, mode) => taken.some((r) => r.port === port && r.mode === mode);
    const read = (port) => taken.some((r) => r.port === port);
    const weight = (row) => data.faults[row].weight;
    const opened = data.tests.reduce((bits, t) => (read(t.name) ? bits | t.needs : bits), 0);
    const pointTest = (name) => data.tests.find((t) => t.name === name);
    const minutes = (test) => test.minutes
      + sum(data.setups.map((s, k) => ((test.needs >> k) & 1 && !((opened >> k) & 1) ? s.minutes : 0)));
    const portIn = (name, device) => (device ? data.ports.indexOf(name, data.points) : data.ports.indexOf(name));

    function at(test, why, mode) {
      if (!test) return null;
      const gates = data.setups.filter((s, k) => (test.needs >> k) & 1 && s.gate).map((s) => s.gate);
      return { port: test.name, device: test.device, mode: mode || test.meter, minutes: minutes(test), gates, why };
    }

    const across = (label) => ({ ...data.across[label], name: label, device: true, meter: "high_z" });

    function doubtful() {
      const low = data.modesAt.includes("low_z");
      for (const { at: k, why } of sorted.notCounted) {
        const { port } = taken[k];
        if (why === "across" && sorted.words[k] === SOME && taken.filter((r) => r.port === port).length === 1) {
          return at(across(port), "doubt-across");
        }
        if (why === "ghost" && low && data.reachable.includes(port) && !seen(port, "low_z")
          && wordOf(data, E.portOf(data, port), 0) !== SOME) return at(pointTest(port), "doubt", "low_z");
      }
      return null;
    }

    function lost() {
      for (const drop of [...drops].sort((a, b) => b.volts - a.volts)) {
        const contacts = E.between(data, drop);
        if (contacts.every(read)) continue;
        const row = data.falling;
        const inside = row.slice(row.indexOf(drop.from) + 1, row.indexOf(drop.to))
          .filter((mark) => data.reachable.includes(mark) && !read(mark));
        if (inside.length) {
          const mode = seen(drop.to, "low_z") ? "low_z" : "high_z";
          return at(pointTest(inside[Math.floor(inside.length / 2)]), "drop", mode);
        }
        const label = contacts.find((each) => !seen(each, "high_z"));
        if (label) return at(across(label), "drop-across");
      }
      return null;
    }

    function outcomes(test, alive) {
      const port = portIn(test.name, test.device);
      return new Set(alive.map((h) => wordOf(data, port, data.groups[h][0]) || SOME));
    }

    function ordered(left) {
      const still = new Set(left);
      const alive = data.groups.map((_, h) => h).filter((h) => data.groups[h].some((row) => still.has(row)));
      if (alive.length > 1) {
        const unread = data.tests.filter((t) => outcomes(t, alive).size > 1 && !seen(t.name, t.meter));
        if (unread.length) {
          const chosen = data.policy.order ? alongTheString(alive) : downTheTree(left);
          const test = unread.includes(chosen) ? chosen : unread[0];
          return at(test, test.device ? "only-across" : "order");
        }
      }
      const rows = alive.flatMap((h) => data.groups[h].filter((row) => still.has(row)));
      const label = toReadAcross(rows);
      return label && !seen(label, "high_z") ? at(across(label), "across") : null;
    }

    function alongTheString(alive) {
      const span = data.policy.order.map((h, k) => (alive.includes(h) ? k : -1)).filter((k) => k >= 0);
      const k = data.policy.choice[data.policy.states.indexOf(opened)][span[0]][span[span.length - 1]];
      return data.tests[k];
    }

    /** Parts side by side: one fixed order, in which what the readings tell already is passed by. */
    function downTheTree(left) {
      let node = data.policy.tree;
      while (node && node.test) {
        const device = node.kind === "device", port = portIn(node.test, device);
        const reading = [...taken].reverse().find((r) => r.port === node.test && r.mode === node.meter);
        let what = reading ? E.said(data, reading, sorted.volts) : 0;
        if (!what) {
          const words = new Set(left.map((row) => wordOf(data, port, row)));
          what = words.size === 1 ? [...words][0] : 0;
        }
        if (!what) return data.tests.find((t) => t.name === node.test && t.device === device);
        const below = node.outcomes[NAMES[what]];
        node = below && below.as ? node.outcomes[below.as] || below : below;
        if (node && node.as) node = null;
      }
      return undefined;
    }

    /** @returns {string} The contact whose reading across splits faults that the points cannot tell apart. */
    function toReadAcross(rows) {
      const labels = rows.filter((row) => data.faults[row].kind === "open").map((row) => data.faults[row].where[0]);
      return labels.find((label) => {
        const port = portIn(label, true);
        return new Set(rows.map((row) => wordOf(data, port, row) || SOME)).size > 1;
      }) || "";
    }

    function candidates() {
      const found = [];
      for (const mark of data.reachable) {
        const test = data.tests.find((t) => t.name === mark && !t.device);
        if (test) for (const mode of data.modesAt) if (!seen(mark, mode)) found.push({ test, mode });
      }
      for (const label of data.ports.slice(data.points)) {
        if (!seen(label, "high_z") && sorted.fed.has(label)) found.push({ test: across(label), mode: "high_z" });
      }
      return found;
    }

    /** What faults can still read at a port, by the pieces the readings leave of each. */
    function span(row, mode, port) {
      let lo = Infinity, hi = -Infinity;
      data.pieces.forEach((piece, k) => {
        if (piece[0] !== row || !evidence.kept[k]) return;
        const whole = E.interval(data, piece, E.solved(data, mode), port), plain = E.usual(piece);
        lo = Math.min(lo, whole[0] * (data.unit * (plain ? 1 : piece[1])));
        hi = Math.max(hi, whole[1] * (data.unit * (plain ? 1 : piece[2])));
      });
      const off = port < data.points ? data.digits : Math.max(data.digits, data.badContact);
      return {
        lo: lo * (1 - data.share) - off, hi: hi * (1 + data.share) + off,
        word: E.spoken(data, lo, hi, mode, port),
      };
    }

    /** The far end in low impedance puts the load of the meter on every contact; then what a resistor hides. */
    function loaded(left) {
      const far = data.row[data.row.length - 1];
      const kinds = left.map((row) => data.faults[row].kind);
      if (!kinds.includes("healthy") || !kinds.includes("resistance")) return null;
      if (!data.reachable.includes(far) || !read(far)) return null;
      if (data.modesAt.includes("low_z") && !seen(far, "low_z")) return at(pointTest(far), "load", "low_z");
      const [label] = E.behindResistors(data, taken);
      return label ? at(across(label), "load") : null;
    }

    /** The reading that tells most of some faults from others, by their weights. */
    function best(first, second, least, why, doubted) {
      if (!first.length || !second.length) return null;
      const rows = [...new Set([...first, ...second])];
      const total = sum(first.flatMap((a) => second.map((b) => (a === b ? 0 : weight(a) * weight(b)))));
      let found = null;
      for (const { test, mode } of candidates().filter(({ test: each }) => !doubted.includes(each.name))) {
        const port = portIn(test.name, test.device);
        const spans = new Map(rows.map((row) => [row, span(row, mode, port)]));
        const ghost = mode === "high_z" && !data.direct && !test.device;
        let told = 0;
        for (const a of first) {
          for (const b of second) {
            const x = spans.get(a), y = spans.get(b);
            if (a === b) continue;
            const apart = ghost
              ? !(x.word & y.word) && CERTAIN.includes(x.word) && CERTAIN.includes(y.word)
              : x.lo > y.hi + HAIR || y.lo > x.hi + HAIR;
            if (apart) told += weight(a) * weight(b);
          }
        }
        told = total ? told / total : 0;
        const worth = told - MINUTE * minutes(test);
        if (told > least && (!found || worth > found.worth + HAIR)) found = { worth, test, mode };
      }
      return found ? at(found.test, why, found.mode) : null;
    }

    /** A point again in low impedance, else the same again, unless it was alike twice. */
    function repeat(reading, why) {
      const point = data.reachable.includes(reading.port) && data.modesAt.includes("low_z");
      if (point && !seen(reading.port, "low_z")) return at(pointTest(reading.port), why || "repeat", "low_z");
      const mode = againIn(reading);
      const words = taken.map((r, k) => (r.port === reading.port && r.mode === mode ? sorted.words[k] : 0)).filter(Boolean);
      const n = words.length;
      if (n > MOST_REPEATS || (n > 1 && words[n - 1] === words[n - 2])) return null;
      const test = E.isDevice(data, reading.port) ? across(reading.port) : pointTest(reading.port);
      return at(test, why || "repeat", mode);
    }

    /** @returns {string} The mode to take a reading again in: never low impedance across, or where the loop does not bear it. */
    function againIn(reading) {
      const bears = !E.isDevice(data, reading.port) && data.modesAt.includes("low_z");
      return reading.mode === "low_z" && !bears ? "high_z" : reading.mode;
    }

    function disputed(rows, why) {
      const gains = new Map();
      for (const row of rows) gains.set(against[row][0], (gains.get(against[row][0]) || 0) + weight(row));
      for (const k of [...gains.keys()].sort((a, b) => gains.get(b) - gains.get(a) || a - b)) {
        const found = repeat(taken[k], why);
        if (found) return found;
      }
      return null;
    }

    /** Whether its place was read again and came out alike. */
    const borneOut = (k) => taken.some((r, j) => j !== k && r.port === taken[k].port && E.modeOf(data, r.mode).own
      && sorted.words[j] === sorted.words[k]);

    /** A reading that came out otherwise when it was taken again, once more: two of three decide. */
    function third() {
      for (const { at: k, why } of sorted.notCounted) {
        const last = E.lastOf(taken, k);
        if (why === "again" && sorted.words[k] !== sorted.words[last] && !borneOut(last)) return repeat(taken[k], "third");
      }
      return null;
    }

    /** The rivals kept out by a reading that nothing bears out, while they matter. */
    function unconfirmed(left, rivals) {
      const found = rivals.filter((row) => !borneOut(against[row][0]));
      const rival = sum(found.map(weight));
      return left.length && rival > RIVALS * (rival + sum(left.map(weight))) ? found : [];
    }

    /** The last that counts of a place, to be read by other hands; nothing where they have read it. */
    function anew(port) {
      const own = sorted.counted.filter((k) => taken[k].port === port);
      if (!own.length || taken.some((r) => r.port === port && r.anew)) return null;
      return at(E.isDevice(data, port) ? across(port) : pointTest(port), "anew", againIn(taken[own[own.length - 1]]));
    }

    /** The place that alone keeps too much of the suspicion out; see doubt.py. */
    function hangsOn(left, all) {
      const settled = sorted.counted.filter((k) => taken[k].anew).map((k) => taken[k].port);
      const rivals = all.filter((row) => !settled.includes(taken[against[row][0]].port));
      if (MISTAKEN * sum(rivals.map(weight)) <= MOST_DOUBT * sum(left.map(weight))) return "";
      const out = new Map();
      for (const row of rivals) {
        const { port } = taken[against[row][0]];
        out.set(port, (out.get(port) || 0) + weight(row));
      }
      return [...out.keys()].reduce((a, b) => (out.get(b) > out.get(a) ? b : a));
    }

    return {
      repeat, disputed, unconfirmed, hangsOn, anew,
      search(left) {
        const known = sorted.counted.some((k) => sorted.words[k] === FULL);
        if (!known && data.reachable.includes(data.supply) && !read(data.supply)) return at(pointTest(data.supply), "supply");
        return doubtful() || lost() || ordered(left) || loaded(left) || best(left, left, left.includes(0) ? WORTH : ANY, "load", []);
      },
      confirm(left, all) {
        const again = third();
        if (again) return again;
        const bare = unconfirmed(left, all);
        if (!bare.length && !hangsOn(left, all)) return null;
        const rivals = bare.length ? bare : all;
        const doubted = rivals.map((row) => taken[against[row][0]].port);
        return best(left, rivals, CONFIRMS, "confirm", doubted) || disputed(bare, "confirm");
      },
      settle: (rows) => best(rows, rows, WORTH, "settle", rows.flatMap((row) => against[row].map((k) => taken[k].port))),
    };
  }

  window.kbNext = suggester;
})();
