/* Counts readings of a circuit against its faults, as `kbgen locate` does: the same words, the same
   intervals (whole numbers of a unit), the same counting. No circuit is solved here. */
(function () {
  "use strict";

  const NONE = 1, SOME = 2, FULL = 4, OVER = 8;
  const SAID = { none: NONE, some: SOME, full: FULL, over: OVER };
  const HIGHEST = 1000, NEVER = 1e9, HAIR = 1e-9, MADE = 0.96;
  /** The sign of the first interval of a port; see ship.py. */
  const FIRST = 161;
  const RANGE = 60, WITHIN = 5, WITHIN_SHARE = 0.05, WITHIN_LOW = 1, ALIKE = 0.002;

  /**
   * @typedef {{port: string, value: number | string, mode: string, anew?: boolean}} Reading
   * A mark read to the return or a contact read across; volts, or none, some, full, over; the meter's mode; whether
   * a second person found the place anew and read it with another meter.
   */

  const tenths = (volts) => Math.floor(volts * 10 + 0.5) / 10;
  const isDevice = (data, port) => Object.prototype.hasOwnProperty.call(data.before, port);
  const portOf = (data, name) => data.ports.indexOf(name);
  const modeOf = (data, id) => data.modes.find((mode) => mode.id === id);
  const solved = (data, id) => data.modes.filter((mode) => mode.own).findIndex((mode) => mode.id === id);
  const sameHands = (one, other) => one.port === other.port && one.mode === other.mode && !one.anew === !other.anew;
  const number = (value) => typeof value === "number";
  const ghosts = (data, mode) => modeOf(data, mode).ghost && !data.direct;

  function allowance(nominal, read) {
    return nominal < RANGE ? WITHIN_LOW : Math.min(WITHIN, WITHIN_SHARE * read);
  }

  /** @returns {number[]} Between which volts a port reads full, with the supply as read (or null). */
  const full = (data, mode, port, supply) => (supply === null
    ? fullAt(data, mode, port, data.volts[2], [1, 1]) : fullAt(data, mode, port, supply, data.sag));

  /** @returns {number[]} The same while the supply is so, as its string leaves it. */
  function fullAt(data, mode, port, volts, sag) {
    const share = data.shares[solved(data, mode)][port];
    const within = allowance(data.volts[1], volts);
    let lo = tenths(volts * (share[0] / sag[0]) - within);
    const hi = tenths(volts * (share[1] / sag[1]) + within);
    if (port < data.points && mode !== "low_z") lo = Math.max(lo, data.leastFull);
    return [lo, Math.max(lo, hi)];
  }

  const nothing = (data, port) => (port < data.points ? data.noneTo : data.badContact);

  /** @returns {number} The word for volts at a port. */
  function word(data, volts, mode, port, supply) {
    if (volts <= nothing(data, port)) return NONE;
    const [lo, hi] = full(data, mode, port, supply);
    return volts < lo ? SOME : volts <= hi ? FULL : OVER;
  }

  /** @returns {number} The word for a reading. */
  function said(data, reading, supply) {
    if (!number(reading.value)) return SAID[reading.value];
    const volts = Math.abs(reading.value);
    const mode = modeOf(data, reading.mode).own ? reading.mode : "high_z";
    if (reading.port !== data.supply) return word(data, volts, mode, portOf(data, reading.port), supply);
    const [least, most] = data.supplyBand;
    return volts <= data.noneTo ? NONE : volts < least ? SOME : volts <= most ? FULL : OVER;
  }

  /** @returns {{at: number, volts: number} | null} The reading that says what the supply is now. */
  function supplyOf(data, taken) {
    const [least, most] = data.supplyBand;
    let found = null;
    taken.forEach((reading, at) => {
      const volts = Math.abs(Number(reading.value)), place = data.main.indexOf(reading.port);
      if (!number(reading.value) || !modeOf(data, reading.mode).own || place < 0) return;
      const share = data.shares[solved(data, reading.mode)][portOf(data, reading.port)][0];
      if (share < MADE * data.sag[0] || volts < least || volts > most) return;
      if (!found || place <= found.place) found = { place, at, volts };
    });
    return found;
  }

  /** @returns {number} The last reading of the same place, mode and hands. */
  const lastOf = (taken, k) => taken.reduce((last, other, j) => (sameHands(other, taken[k]) ? j : last), k);

  /** Sort readings: what each is called, which count, and why the others do not. */
  function sortOut(data, taken) {
    const supply = supplyOf(data, taken);
    const volts = supply ? supply.volts : null;
    const words = taken.map((reading) => said(data, reading, volts));
    const points = taken.map((reading, k) => ({ reading, word: words[k] })).filter((r) => !isDevice(data, r.reading.port));
    const known = points.some((r) => r.reading.port === data.supply || r.word === FULL);
    const alive = new Set(points
      .filter((r) => r.word === FULL || (r.word === SOME && !ghosts(data, r.reading.mode)))
      .map((r) => r.reading.port));
    // Along the string the voltage only falls: what is alive further down is fed all the way.
    data.falling.slice(0, Math.max(...[...alive].map((mark) => data.falling.indexOf(mark)), -1) + 1).forEach((mark) => alive.add(mark));
    const fed = new Set(Object.keys(data.before).filter((label) => alive.has(data.before[label])));
    const why = taken.map((reading, k) => {
      if (!modeOf(data, reading.mode).own) return "other-current";
      if (isDevice(data, reading.port)) return words[k] <= SOME && !fed.has(reading.port) ? "across" : "";
      if (words[k] === SOME && ghosts(data, reading.mode)) return "ghost";
      return words[k] === NONE && !known ? "zero" : "";
    });
    const turned = new Set();
    taken.forEach((reading, k) => {
      if (lastOf(taken, k) === k) return;
      why[k] = "again";
      const called = words.filter((_, j) => taken[j].port === reading.port && taken[j].mode === reading.mode);
      if (called.includes(NONE) && called.includes(FULL)) turned.add(reading.port);
    });
    const anew = taken.map((_, k) => k).filter((k) => taken[k].anew && !why[k]);
    taken.forEach((reading, k) => {
      if (reading.anew || why[k]) return;
      if (anew.some((j) => taken[j].port === reading.port && words[j] !== words[k])) why[k] = "anew";
    });
    return {
      supply, volts, words, fed, turned,
      counted: taken.map((_, k) => k).filter((k) => !why[k]),
      notCounted: taken.map((_, k) => ({ at: k, why: why[k] })).filter((each) => each.why),
    };
  }

  const usual = (piece) => piece[1] <= 1 && piece[2] >= 1;
  const interval = (data, piece, mode, port) => {
    const cell = 2 * (data.rows[piece[3 + mode]].charCodeAt(port) - FIRST);
    return [data.cells[port][cell], data.cells[port][cell + 1]];
  };

  /** @returns {number[]} Between which shares of the supply a piece of a fault reads so. */
  function fitting(data, piece, reading) {
    const port = portOf(data, reading.port);
    const whole = interval(data, piece, solved(data, reading.mode), port);
    const lo = whole[0] * data.unit, hi = whole[1] * data.unit;
    if (!number(reading.value)) {
      let [a, b] = band(data, SAID[reading.value], reading.mode, port);
      if (reading.value === "full" && reading.port === data.supply) [a, b] = data.supplyBand;
      const least = lo * (usual(piece) ? 1 : piece[1]), most = hi * (usual(piece) ? 1 : piece[2]);
      const fits = most * (1 + data.share) + data.digits >= a && least * (1 - data.share) - data.digits <= b;
      return fits ? [0, NEVER] : [NEVER, 0];
    }
    const off = port < data.points ? data.digits : Math.max(data.digits, data.badContact);
    const volts = Math.abs(reading.value);
    const stray = port < data.points ? Math.max(off, data.stray[port]) : off;
    let least = hi > 0 ? Math.max(volts - off, 0) / (1 + data.share) / Math.max(hi, HAIR) : NEVER;
    if (hi <= stray && volts <= stray) least = 0;
    return [least, lo > 0 ? (volts + off) / (1 - data.share) / Math.max(lo, HAIR) : NEVER];
  }

  function band(data, what, mode, port) {
    const [lo, hi] = fullAt(data, mode, port, data.volts[1], [1, 1]), none = nothing(data, port);
    return what === NONE ? [0, none] : what === SOME ? [none, lo] : what === FULL ? [lo, hi] : [hi, HIGHEST];
  }

  /**
   * Count the places with readings against each fault. All must fit one piece of it and one voltage of the
   * supply. What was read at one place counts as one: a slip of the leads there makes all of it wrong together.
   */
  function weigh(data, taken) {
    const sorted = sortOut(data, taken);
    const against = data.faults.map(() => null), places = data.faults.map(() => Infinity);
    const at = [...new Set(sorted.counted.map((k) => taken[k].port))];
    const misses = data.pieces.map((piece) => {
      const fits = sorted.counted.map((k) => fitting(data, piece, taken[k]));
      const inside = (fit, share) => fit[0] <= share + HAIR && fit[1] >= share - HAIR;
      const whole = at.map((port) => {
        const own = fits.filter((_, j) => taken[sorted.counted[j]].port === port);
        return [Math.max(...own.map((fit) => fit[0])), Math.min(...own.map((fit) => fit[1]))];
      });
      const clip = (share) => Math.min(Math.max(share, piece[1]), piece[2]);
      let least = Infinity, chosen = piece[1];
      for (const tried of [piece[1], ...whole.map((fit) => clip(fit[0]))]) {
        const out = whole.filter((fit) => !inside(fit, tried)).length;
        if (out < least) [least, chosen] = [out, tried];
      }
      if (least < places[piece[0]]) {
        places[piece[0]] = least;
        against[piece[0]] = sorted.counted.filter((_, j) => !inside(fits[j], chosen));
      }
      return least;
    });
    const kept = data.pieces.map((piece, k) => misses[k] === places[piece[0]]);
    return { sorted, against, places, kept };
  }

  /** @returns {number} What an interval at the nominal supply can be called, as bits. */
  function spoken(data, lo, hi, mode, port) {
    const none = nothing(data, port), [from, to] = fullAt(data, mode, port, data.volts[1], [1, 1]);
    return (lo <= none ? NONE : 0) | (hi > none && lo < from ? SOME : 0) | (hi >= from && lo <= to ? FULL : 0)
      | (hi > to ? OVER : 0);
  }

  /** Volts lost along the string, from each point read to the next one. */
  function drops(data, taken) {
    const last = new Map();
    for (const r of taken) if (number(r.value) && modeOf(data, r.mode).own) last.set(r.port + " " + r.mode, Math.abs(r.value));
    const found = [];
    let upper = null;
    for (const mark of data.falling) {
      const mode = last.has(mark + " low_z") ? "low_z" : "high_z";
      if (!last.has(mark + " " + mode)) continue;
      const volts = last.get(mark + " " + mode), port = portOf(data, mark);
      if (volts <= data.noneTo) break;
      if (upper) {
        const share = held(data.shares[solved(data, upper.mode)][portOf(data, upper.mark)], data.shares[solved(data, mode)][port]);
        const between = upper.mode === mode ? 0 : 2 * data.share * volts;
        const lost = tenths(upper.volts * share - volts - between);
        if (lost >= data.loss) found.push({ from: upper.mark, to: mark, volts: lost });
      }
      upper = { mark, mode, volts };
    }
    return found;
  }

  const alike = (one, other) => one.every((share, k) => Math.abs(share - other[k]) < ALIKE);

  /** @returns {number} The least share of the volts at one point that a made string holds at a later one. */
  const held = (upper, lower) => (alike(upper, lower)
    ? Math.min(1, lower[0] / Math.max(upper[0], 1e-9)) : lower[0] / Math.max(upper[1], 1e-9));

  /** @returns {string[]} The contacts not read across between two read points with a resistor between them. */
  function behindResistors(data, taken) {
    const read = (port) => taken.some((r) => r.port === port);
    const marks = data.falling.filter(read), share = (mark) => data.shares[0][portOf(data, mark)];
    return marks.slice(1).flatMap((to, k) => (alike(share(marks[k]), share(to)) ? [] : between(data, { from: marks[k], to })))
      .filter((label) => !read(label));
  }

  /** @returns {string[]} The contacts between the two ends of a drop. */
  function between(data, drop) {
    const inside = data.falling.slice(data.falling.indexOf(drop.from), data.falling.indexOf(drop.to));
    return data.ports.slice(data.points).filter((label) => inside.includes(data.before[label]));
  }

  /** @returns {{from: string, to: string} | null} The last point that reads full, and the next behind it that reads none. */
  function endsBetween(data, taken, sorted) {
    const row = data.falling;
    const called = (what) => sorted.counted.filter((k) => sorted.words[k] === what)
      .map((k) => row.indexOf(taken[k].port)).filter((place) => place >= 0);
    const full = Math.max(...called(FULL), -1), behind = called(NONE).filter((place) => place > full);
    return full >= 0 && behind.length ? { from: row[full], to: row[Math.min(...behind)] } : null;
  }

  /** @returns {{port: string, volts: number | string, why: string} | null} The first reading no fault explains. */
  function foreign(data, taken, sorted) {
    for (let k = 0; k < taken.length; k++) {
      const { port, value, mode } = taken[k];
      const found = (why) => ({ port, volts: value, why });
      if (!modeOf(data, mode).own) {
        if (sorted.words[k] !== NONE) return found("other-current");
        continue;
      }
      if (number(value) && data.direct && value < -data.noneTo) return found("polarity");
      if (number(value) && Math.abs(value) > data.supplyBand[1]) return found("over");
      if (sorted.words[k] === OVER && (aboveItsFeed(data, taken, sorted, k) || !explained(data, taken, sorted, k))) return found("above");
    }
    return null;
  }

  /** Whether a point reads more than what feeds it, by more than the meter may be off at both. */
  function aboveItsFeed(data, taken, sorted, k) {
    if (!sorted.supply || !number(taken[k].value)) return false;
    const upper = data.falling.indexOf(taken[sorted.supply.at].port), lower = data.falling.indexOf(taken[k].port);
    return upper >= 0 && upper < lower
      && Math.abs(taken[k].value) * (1 - data.share) - data.digits > sorted.volts * (1 + data.share) + data.digits;
  }

  /** Whether a piece of a fault gives a reading together with the supply as read. */
  function fits(data, taken, sorted, k, piece) {
    const together = sorted.supply ? [...new Set([k, sorted.supply.at])] : [k];
    let lo = piece[1], hi = piece[2];
    for (const each of together) {
      const [least, most] = fitting(data, piece, taken[each]);
      lo = Math.max(lo, least);
      hi = Math.min(hi, most);
    }
    return lo <= hi + 1e-9;
  }

  const explained = (data, taken, sorted, k) => data.pieces
    .some((piece) => data.faults[piece[0]].kind !== "foreign" && fits(data, taken, sorted, k, piece));

  window.kbEvidence = {
    NONE, SOME, FULL, OVER, weigh, said, sortOut, full, spoken, drops, between, behindResistors, endsBetween, foreign, fits, isDevice, portOf, solved,
    ghosts, usual, interval, modeOf, supplyOf, nothing, allowance, lastOf,
  };
})();
