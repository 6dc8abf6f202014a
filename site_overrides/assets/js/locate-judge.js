/* Judges readings of a circuit as `kbgen locate` does. */
(function () {
  "use strict";

  const E = window.kbEvidence;
  const { NONE, SOME, FULL } = E;
  /** The same figures as in the program; see inference.py and doubt.py. */
  const MISTAKEN = 0.05, MOST_AGAINST = 1, EXPLAINS = 0.05;
  const WARNINGS = ["jumps", "dead", "off", "turns", "fed", "seal", "low"];

  const sum = (values) => values.reduce((total, value) => total + value, 0);

  /** @returns {number[]} Readings of which one must be wrong: less upstream than what is full downstream of it. */
  function outOfOrder(data, taken, sorted) {
    const read = [...sorted.counted, ...sorted.notCounted.filter(({ why }) => why === "ghost").map(({ at }) => at)];
    const along = read.filter((k) => data.falling.includes(taken[k].port));
    const found = new Set();
    for (const a of along) {
      for (const b of along) {
        const upstream = data.falling.indexOf(taken[a].port) <= data.falling.indexOf(taken[b].port);
        const weaker = E.modeOf(data, taken[a].mode).ghost || !E.modeOf(data, taken[b].mode).ghost;
        const fed = sorted.words[b] === FULL && upstream && weaker;
        if (fed && less(data, taken[a], taken[b], sorted.words[a])) found.add(a).add(b);
      }
    }
    return [...found].sort((a, b) => a - b);
  }

  function less(data, upper, lower, word) {
    if (word !== SOME || typeof upper.value !== "number" || typeof lower.value !== "number") return word <= SOME;
    const volts = Math.abs(lower.value);
    return Math.abs(upper.value) < volts - 2 * E.allowance(data.volts[1], volts);
  }

  function mostWorthRepeating(data, taken, evidence, wrong) {
    let gains = new Map(evidence.sorted.counted.map((k) => [k, 0]));
    evidence.against.forEach((against, row) => {
      if (evidence.places[row] === 1) gains.set(against[0], gains.get(against[0]) + data.faults[row].weight);
    });
    if (wrong.length) gains = new Map(wrong.map((k) => [k, gains.get(k) || 0]));
    const k = [...gains.keys()].reduce((a, b) => (gains.get(b) > gains.get(a) || (gains.get(b) === gains.get(a) && b > a) ? b : a));
    if (gains.get(k) > 0 || wrong.length) return taken[k];
    return taken.find((r) => r.port === data.supply) || taken[taken.length - 1];
  }

  /** @returns {string[][]} Faults that every reachable reading can only call by the same words. */
  function inseparable(data, rows) {
    const points = data.reachable.map((mark) => data.ports.indexOf(mark));
    const found = new Map();
    for (const row of rows) {
      const high = data.words[0][row], low = data.words[1][row];
      const key = points.map((port) => high[port] + low[port]).join("") + high.slice(data.points);
      found.set(key, [...(found.get(key) || []), row]);
    }
    return [...found.values()].filter((group) => group.length > 1);
  }

  function farEnd(data, taken, sorted) {
    const far = data.row[data.row.length - 1];
    const full = (port) => sorted.counted.some((k) => taken[k].port === port && sorted.words[k] === FULL);
    return Boolean(far) && far !== data.supply && (sorted.supply !== null || full(data.supply)) && full(far);
  }

  /** @returns {number[]} Readings that are not counted and that nothing which is left explains; see doubt.py. */
  function unexplained(data, taken, { sorted, kept }, standing) {
    const weight = (rows) => sum(rows.map((row) => data.faults[row].weight));
    return sorted.notCounted.filter(({ at: k, why }) => {
      const { port, mode } = taken[k];
      if (why === "again") return sorted.words[k] !== sorted.words[E.lastOf(taken, k)];
      if (why === "anew") return true;
      if (!E.modeOf(data, mode).own || !taken.slice(k + 1).some((r) => r.port === port)) return false;
      const shows = new Set(data.pieces.filter((piece, j) => kept[j] && E.fits(data, taken, sorted, k, piece)).map((piece) => piece[0]));
      return weight(standing.filter((row) => shows.has(row))) < EXPLAINS * weight(standing);
    }).map(({ at: k }) => k);
  }

  /**
   * Judge readings.
   *
   * @param {object} data One variant of the circuit's data.
   * @param {{port: string, value: number | string, mode: string, anew?: boolean}[]} taken In the order in which they were taken.
   */
  function judge(data, taken) {
    const evidence = E.weigh(data, taken);
    const { sorted, against, places } = evidence;
    const fault = (row) => data.faults[row];
    const rowsWith = (count) => data.faults.map((_, row) => row).filter((row) => places[row] === count);
    const shown = (rows) => rows.filter((row) => !fault(row).hidden);
    const singles = (rows) => rows.filter((row) => fault(row).kind !== "open-pair");
    const rivals = singles(shown(rowsWith(1)));
    const spots = taken.map((r) => r.port + " " + r.mode);
    const twice = rivals.every((row) => {
      const r = taken[against[row][0]];
      return spots.filter((spot) => spot === r.port + " " + r.mode).length > 1;
    });
    let standing = singles(shown(rowsWith(0)));
    if (!standing.length && twice) standing = shown(rowsWith(0));
    const drops = E.drops(data, taken);
    const wrong = outOfOrder(data, taken, sorted);
    const asker = window.kbNext(data, taken, evidence, drops);
    let foreign = E.foreign(data, taken, sorted);
    let verdict = "unclear", repeat = null, next = null, doubtful = "";
    if (foreign || (standing.length && standing.every((row) => fault(row).kind === "foreign"))) {
      verdict = "foreign";
      const last = taken[sorted.counted[sorted.counted.length - 1]];
      foreign = foreign || { port: last.port, volts: last.value, why: "above" };
    } else if (sorted.counted.length && (!standing.length || wrong.length)) {
      verdict = "contradiction";
      repeat = mostWorthRepeating(data, taken, evidence, wrong);
      next = asker.repeat(repeat) || asker.settle(rivals) || asker.disputed(rivals) || asker.anew(repeat.port);
    } else {
      next = asker.search(standing) || asker.confirm(standing, rivals);
      if (!next && !asker.unconfirmed(standing, rivals).length) verdict = concluded();
      if (verdict === "found" || verdict === "made") doubtful = asker.hangsOn(standing, rivals);
      if (doubtful) [verdict, next] = ["unclear", asker.anew(doubtful)];
    }
    const alone = verdict === "unclear" && !next && !doubtful && standing.includes(0);

    function concluded() {
      const counted = new Set(sorted.counted.map((k) => taken[k].port));
      const unclear = sorted.notCounted.some(({ at, why }) => why !== "again" && why !== "other-current" && !counted.has(taken[at].port));
      if (unclear || !sorted.counted.length || !standing.length) return "unclear";
      if (!standing.includes(0)) return "found";
      const last = new Map(taken.map((r) => [r.port + " " + r.mode, r]));
      const bad = [...last.values()].some((r) => E.isDevice(data, r.port) && typeof r.value === "number" && Math.abs(r.value) > data.badContact);
      return farEnd(data, taken, sorted) && !drops.length && !bad && !E.behindResistors(data, taken).length ? "made" : "unclear";
    }

    // Beside the supply of another circuit no reading tells of this circuit's own faults.
    const strange = verdict === "foreign";
    const listed = data.faults.map((_, row) => row)
      .filter((row) => (strange ? fault(row).kind === "foreign" : places[row] <= MOST_AGAINST));
    const weights = new Map(listed.map((row) => [row, fault(row).weight * MISTAKEN ** places[row]]));
    const total = sum([...weights.values()]);
    const late = (row) => (row === 0) !== (verdict === "made");
    const remaining = listed
      .map((row) => ({ row, share: total ? weights.get(row) / total : 0, against: strange ? [] : against[row] }))
      .sort((a, b) => places[a.row] - places[b.row] || Number(late(a.row)) - Number(late(b.row)) || b.share - a.share || a.row - b.row);
    const zeros = rowsWith(0);
    const kinds = new Set(standing.map((row) => fault(row).kind));
    const warns = {
      jumps: taken.some((r) => r.mode === "low_z" && E.isDevice(data, r.port)),
      dead: taken.some((r, k) => r.port === data.supply && sorted.words[k] === NONE),
      turns: sorted.turned.size > 0,
      fed: wrong.length > 0,
      seal: kinds.has("seal-in") && !standing.includes(0),
      low: taken.some((r, k) => r.port === data.supply && sorted.words[k] === SOME),
    };
    const opens = new Set(zeros.filter((row) => fault(row).kind === "open" && !fault(row).hidden).map((row) => fault(row).device));
    const sure = verdict !== "contradiction" && verdict !== "foreign" && against[0].length > 0;
    const same = verdict === "made" ? zeros.filter((row) => row && fault(row).kind !== "ground")
      : verdict === "found" && zeros.length > 1 ? shown(zeros) : [];
    return {
      verdict, remaining, standing, next, repeat, drops, foreign,
      groups: inseparable(data, standing),
      cannotTell: same,
      notCounted: sorted.notCounted,
      supply: sorted.volts,
      ends: verdict === "foreign" || verdict === "contradiction" ? null : E.endsBetween(data, taken, sorted),
      hangsOn: doubtful,
      unexplained: unexplained(data, taken, evidence, standing),
      asMeant: alone && data.opens && sorted.counted.length > 0,
      eitherWay: alone && !data.opens && data.eitherWay !== "",
      device: sure && opens.size === 1 ? [...opens][0] : "",
      warned: WARNINGS.filter((name) => warns[name]),
    };
  }

  window.kbJudge = { judge, isDevice: E.isDevice, full: E.full, supplyOf: E.supplyOf };
})();
