// Whether a query speaks of danger, and of which: the twin of kbgen/search/danger.py, given the same table.
(function () {
  "use strict";

  const HALF_TYPED = 5, LEAST_MISSPELT = 3, SHORT = 5, LONG = 9, FAR = 99, LINE = 12, LEAST = -1, WIDTH = 20;
  const sorted = (/** @type {string} */ word) => [...word].sort().join("");

  /** A word's number: the first bits of its hash. */
  function mark(/** @type {string} */ word) {
    let found = 0x811c9dc5;
    for (let at = 0; at < word.length; at++) found = Math.imul(found ^ word.charCodeAt(at), 0x01000193);
    return found >>> 32 - WIDTH;
  }

  /**
   * @param {{small: string, names: Object<string, string>, rows: string[], weights: {base: number, values: number[], marks: string}}} table
   * @param {{stem: function(string): string, known: function(string): boolean, cost: function(string, string, number): number, reader: function(string): any}} words
   */
  function open(table, { stem, known, cost, reader }) {
    const small = new Set(table.small.split(" ")), byFirst = Object.create(null), phrases = new Map(), stems = new Set(), names = new Set(["NO"]);
    const split = (/** @type {string} */ text) => text.split(" ").filter(Boolean);
    const said = (/** @type {string} */ element) => element.split("/").flatMap((each) => each in table.names ? split(table.names[each]) : each);
    const { base, values, marks } = table.weights, packed = reader(marks), weights = new Map();
    for (const value of values) {
      const count = packed.gamma();
      for (const each of packed.between([], 0, count, 0, (1 << WIDTH) - 1)) weights.set(each, value);
    }
    const plain = (/** @type {string} */ element) => element.replace(/\?$/, "");

    const rows = table.rows.map((row) => {
      const [kind, pattern, within, unless] = row.split("|"), elements = split(pattern).filter((each) => each !== "&"), bars = split(unless);
      for (const each of [...elements, ...bars]) names.add(plain(each));
      for (const phrase of elements.flatMap((each) => said(plain(each)))) {
        for (const word of phrase.replace("=", "").split("_")) {
          if (word.length < LEAST_MISSPELT) continue;
          (byFirst[word[0]] ??= new Set()).add(word);
          stems.add(stem(word));
        }
      }
      return { kind, within, bars, elements, needed: elements.filter((each) => !each.endsWith("?")), orders: pattern.includes("&") ? [elements, [...elements].reverse()] : [elements] };
    });
    for (const element of names) {
      for (const phrase of said(element)) {
        const exact = phrase[0] === "=", words = phrase.replace("=", "").split("_").filter((word) => !small.has(word));
        if (!words.length) continue;
        const first = stem(words[0]);
        if (!phrases.has(first)) phrases.set(first, []);
        phrases.get(first).push([element, words.map((word) => exact ? word : stem(word)), exact]);
      }
    }

    /** The word of the table that was meant: whoever errs has the first letter right. */
    function meant(/** @type {string} */ typed, /** @type {boolean} */ last) {
      let best = FAR, found = typed;
      for (const word of byFirst[typed[0]] || []) {
        if (last && typed.length >= HALF_TYPED && word.startsWith(typed)) return word;
        if (word.length < SHORT && sorted(word) !== sorted(typed)) continue;
        const price = cost(typed, word, word.length < LONG ? 1 : 2);
        if (price < best) [best, found] = [price, word];
      }
      return found;
    }
    const spelt = (/** @type {string} */ word, /** @type {number} */ at, all) => word.length < LEAST_MISSPELT || word[0] <= "9" || small.has(word) || stems.has(stem(word)) || known(word)
      ? word : meant(word, at + 1 === all.length);

    /** What kind of danger the words of a query speak of; "" for none. */
    return function kindOf(/** @type {string[]} */ query) {
      const words = query.map(spelt), kind = byLine(words.filter((word) => !small.has(word)));
      if (!weights.size || kind === "shop") return kind;
      const forms = words.map((word, at) => weights.has(mark(stem(query[at]))) ? stem(query[at]) : stem(word));
      const said = new Set([...forms, ...[...forms, ""].map((form, at) => (forms[at - 1] ?? "") + "_" + form)]);
      let weight = base + (kind ? LINE : 0);
      for (const each of said) weight += weights.get(mark(each)) || 0;
      return weight > LEAST ? kind || "other" : "";
    };

    /** The kind of the first line that matches. */
    function byLine(/** @type {string[]} */ words) {
      const forms = words.map(stem), taken = words.map(() => false), spans = Object.create(null);
      forms.forEach((form, start) => {
        for (const [element, phrase, exact] of phrases.get(form) || []) {
          if (phrase.every((part, i) => part === (exact ? words : forms)[start + i])) (spans[element] ??= []).push([start, start + phrase.length]);
        }
      });
      const isFree = ([start, end]) => !taken.slice(start, end).includes(true);
      const free = (/** @type {string} */ element) => (spans[element] || []).filter(isFree);

      function match({ kind, within, elements, orders }) {
        if (within === "alone") {
          const found = free(elements[0]);
          return found.length && words.every((_, at) => found.some(([start, end]) => start <= at && at < end)) ? found : null;
        }
        if (within === "any") {
          const found = elements.map((each) => free(each)[0]);
          return found.every(Boolean) ? found : null;
        }
        const denied = kind === "harmless" ? [] : free("NO");
        const rest = (order, /** @type {number} */ at, /** @type {number} */ after) => {
          if (at === order.length) return [];
          for (const [start, end] of free(plain(order[at]))) {
            if (start < after || start - after > +within || denied.some(([from, to]) => from < start && to > after)) continue;
            const found = rest(order, at + 1, end);
            if (found) return [[start, end], ...found];
          }
          return order[at].endsWith("?") ? rest(order, at + 1, after) : null;
        };
        for (const order of orders) {
          for (const span of free(order[0])) {
            const found = rest(order, 1, span[1]);
            if (found) return [span, ...found];
          }
        }
        return null;
      }

      for (const row of rows) {
        if (!row.needed.every((each) => spans[each]) || row.bars.some((each) => free(each).length)) continue;
        for (let found = match(row); found; found = match(row)) {
          if (row.kind !== "harmless") return row.kind;
          for (const [start, end] of found) taken.fill(true, start, end);
        }
      }
      return "";
    }
  }

  window.kbgenDanger = { open };
})();
