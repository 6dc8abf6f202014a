// The symptom search in the browser: no DOM, no requests. It mirrors kbgen/search/ step by step (same
// names) and ranks to the same whole numbers; the tests hold the two together.
(function () {
  "use strict";

  const SIGNS = { "°": " ", "º": " ", "µ": "u", "μ": "u", "Ω": "ohm", "Ω": "ohm", "ß": "ss", "æ": "ae", "Æ": "ae",
    "œ": "oe", "Œ": "oe", "ø": "o", "Ø": "o", "ł": "l", "Ł": "l" };
  const CODE = /^[a-z]{1,3}[0-9]+[a-z]?$/;
  const ZERO_AS_O = /^([a-z]{1,2}?)(?=[o0-9]*[0-9])([o0-9]+)$/;
  const ROWS = ["qwertyuiop", "asdfghjkl", "zxcvbnm"];
  const TOGETHER = 20, DISPLAY = 18, WHOLE = 16, SPLIT = 14, SYNONYM = 13, STEM = 12, BEGINNING = 12, ONE_EDIT = 11,
    BEGINNING_INSIDE = 9, BEGINNING_OF_KNOWN = 8, MAY_I_JUMP = 24, TWO_EDITS = 8, PART = 4, FAMILY = 3;
  const LONGEST = 32, FAR = 99;

  const isDigit = (/** @type {string} */ word) => word[0] <= "9";

  /** Lower case without accents and apostrophes. @param {string} text */
  function fold(text) {
    return text.replace(/['’‘ʼ`´′]/g, "").replace(/[°ºµμΩΩßæÆœŒøØłŁ]/g, (sign) => SIGNS[sign])
      .normalize("NFKD").replace(/[\u0300-\u036f]/g, "").toLowerCase();
  }

  /** @param {string} digits */
  function number(digits) {
    digits = digits.replace(/,/g, ".");
    return digits.includes(".") ? digits : digits.replace(/^0+(?=.)/, "");
  }

  /** Runs of letters and numbers; whether each touches the one before. @param {string} text */
  function atoms(text) {
    const found = [], pattern = /([-‐–−_.:]?)([0-9]+(?:[.,][0-9]+)*|[\p{L}\p{Nl}\p{No}]+)/gu;
    let end = -1;
    for (const match of fold(text).matchAll(pattern)) {
      found.push({ text: isDigit(match[2]) ? number(match[2]) : match[2], touches: match.index === end });
      end = match.index + match[0].length;
    }
    return found;
  }

  const without_o = (/** @type {string} */ term) => {
    const code = ZERO_AS_O.exec(term);
    return code ? code[1] + number(code[2].replace(/o/g, "0")) : term;
  };

  /** 16 times the binary logarithm, rounded down, in whole numbers. @param {number} n */
  function log2(n) {
    const whole = 31 - Math.clz32(n);
    let fraction = 0, square = Math.floor(n * 32768 / 2 ** whole);
    for (let i = 0; i < 4; i++) {
      square = Math.floor(square * square / 32768);
      fraction *= 2;
      if (square >= 65536) { square >>= 1; fraction++; }
    }
    return 16 * whole + fraction;
  }

  const mask = (/** @type {string} */ word) => {
    let bits = 0;
    for (const letter of word) if (letter >= "a" && letter <= "z") bits |= 1 << (letter.charCodeAt(0) - 97);
    return bits;
  };
  const count = (/** @type {number} */ bits) => {
    let n = 0;
    for (; bits; bits &= bits - 1) n++;
    return n;
  };

  /** @type {Set<string>} */
  const NEIGHBOURS = new Set();
  ROWS.forEach((row, i) => [...row].forEach((letter, at) => ROWS.slice(Math.max(0, i - 1), i + 2).forEach((beside) => {
    for (const other of beside.slice(Math.max(0, at - 1), at + 2)) NEIGHBOURS.add(letter + other);
  })));

  let ROW = [0, 0, 0].map(() => new Int32Array(40));

  /** What it costs to mistype `word` as `typed`: 4 an edit, 3 a likely one. */
  function cost(/** @type {string} */ typed, /** @type {string} */ word, /** @type {number} */ most) {
    if (Math.abs(typed.length - word.length) > most) return FAR;
    const width = word.length + 1;
    if (ROW[0].length < width) ROW = [0, 0, 0].map(() => new Int32Array(width));
    let [before, above, row] = ROW, least = 0, leastAbove = 0;
    for (let j = 0; j < width; j++) above[j] = 4 * j;
    for (let i = 1; i <= typed.length; i++, leastAbove = least) {
      const letter = typed[i - 1];
      row.fill(FAR, 0, width);
      least = row[0] = 4 * i;
      for (let j = Math.max(1, i - most); j <= Math.min(word.length, i + most); j++) {
        const meant = word[j - 1];
        let best = Math.min(above[j - 1] + (letter === meant ? 0 : NEIGHBOURS.has(letter + meant) ? 3 : 4),
          above[j] + (i > 1 && typed[i - 2] === letter ? 3 : 4), row[j - 1] + (j > 1 && word[j - 2] === meant ? 3 : 4));
        if (i > 1 && j > 1 && letter === word[j - 2] && typed[i - 2] === meant) best = Math.min(best, before[j - 2] + 3);
        row[j] = best;
        if (best < least) least = best;
      }
      if (least > 4 * most && leastAbove > 4 * most) return FAR;
      [before, above, row] = [above, row, before];
    }
    return above[word.length] <= 4 * most ? above[word.length] : FAR;
  }

  const fill = (/** @type {string} */ text, ...values) => text.replace(/\{(\d)\}/g, (_, at) => values[at]);
  const sum = (/** @type {number[]} */ values) => values.reduce((a, b) => a + b, 0);
  const bytes = (/** @type {string} */ text) => {
    const raw = atob(text), data = new Uint8Array(raw.length);
    for (let at = 0; at < raw.length; at++) data[at] = raw.charCodeAt(at);
    return data;
  };

  /** Reads bits, most significant first. */
  class Bits {
    constructor(data, at = 0) { this.data = data; this.at = at; }
    bits(n) {
      let value = 0;
      for (; n > 0; n--, this.at++) value = value * 2 + (this.data[this.at >> 3] >> (7 - (this.at & 7)) & 1);
      return value;
    }
    unary(bit) {
      let n = 0;
      while (this.bits(1) === bit) n++;
      return n;
    }
    gamma() {
      const zeros = this.unary(0);
      return 2 ** zeros + this.bits(zeros);
    }
    below(size) {
      if (size < 2) return 0;
      const width = 32 - Math.clz32(size - 1), spare = 2 ** width - size, value = this.bits(width - 1);
      return value < spare ? value : value * 2 + this.bits(1) - spare;
    }
    between(into, from, to, low, high) {
      if (from >= to) return;
      const middle = from + (to - from >> 1), least = low + middle - from;
      const value = into[middle] = least + this.below(high - (to - 1 - middle) - least + 1);
      this.between(into, from, middle, low, value - 1);
      this.between(into, middle + 1, to, value + 1, high);
    }
  }

  class Index {
    constructor(data) {
      this.data = data;
      const language = this.language = data.language;
      for (const name of ["whole", "denials", "faint", "flashes", "between"]) language[name] = new Set(language[name]);
      this.stems = new Map();
      let before = "";
      this.terms = data.terms ? data.terms.split("\n").map((line) =>
        before = before.slice(0, line.charCodeAt(0) - 48) + line.slice(1)) : [];
      const heads = new Bits(bytes(data.heads));
      this.packed = bytes(data.postings);
      this.frequency = new Uint32Array(this.terms.length);
      this.groups = [];
      this.unpacked = new Map();
      for (let at = 0, start = 0; at < this.terms.length;) {
        for (let i = 0; i < data.group && at < this.terms.length; i++) this.frequency[at++] = heads.gamma();
        this.groups.push(start);
        start += heads.gamma() - 1;
      }
      this.size = sum(data.kinds.map((kind) => kind[1]));
      this.kind = data.kinds.flatMap(([, n], at) => new Array(n).fill(at));
      this.plant = lines(data.plant, this.size).map((text) => text ? text.split(" ").map(Number) : []);
      this.bypasses = language.bypasses.map((way) => way.split(" ").map((word) => this.stem(word)));
      this.lines = {};
      this.logSize = log2(Math.max(1, this.size));
      this.letters = null;
      this.synonyms = this.synonymTable(data.synonyms);
      this.dangers = data.emergency.phrases.map((phrase) => [false, true].map((barred) => phrase.split(/\s+/)
        .filter((part) => part.startsWith("-") === barred).flatMap((part) => atoms(part).map((atom) => atom.text)).filter((word) => barred || !language.faint.has(word))));
    }

    /** One text of an entry. */
    text(name, at) { return (this.lines[name] = this.lines[name] || lines(this.data[name], this.size))[at]; }

    /** What is shown of an entry. */
    entry(at) {
      const text = (name) => this.text(name, at);
      const [kind, , folder] = this.data.kinds[this.kind[at]], title = text("titles");
      const id = text("ids") || atoms(title).map((atom) => atom.text).join("-");
      return { kind, id, title, address: text("addresses") || folder + "/" + id + ".html", equipment: this.plant[at].map((each) => this.data.equipment[each]),
        summary: text("summaries"), note: text("notes"), draft: this.data.drafts.includes(at) };
    }

    place(term) {
      let low = 0, high = this.terms.length;
      while (low < high) {
        const middle = low + high >> 1;
        if (this.terms[middle] < term) low = middle + 1; else high = middle;
      }
      return low;
    }
    find(term) {
      const at = this.place(term);
      return this.terms[at] === term ? at : -1;
    }
    starting(beginning) {
      const found = [];
      for (let at = this.place(beginning); at < this.terms.length && this.terms[at].startsWith(beginning); at++) found.push(at);
      return found;
    }

    /** Entries of a term and its levels there. */
    postings(term) {
      const { group, levels } = this.data, first = term - term % group;
      if (!this.unpacked.has(term)) {
        const bits = new Bits(this.packed, this.groups[term / group | 0] * 8);
        for (let at = first; at < Math.min(first + group, this.terms.length); at++) {
          const n = this.frequency[at], entries = new Uint32Array(n), row = new Uint8Array(n);
          bits.between(entries, 0, n, 0, this.size - 1);
          const differ = n > 1 && bits.bits(1);
          if (differ) for (let i = 0; i < n; i++) row[i] = levels[bits.unary(1)];
          else row.fill(levels[bits.unary(1)]);
          this.unpacked.set(at, { entries, levels: row });
        }
      }
      return this.unpacked.get(term);
    }

    stem(word) {
      const { whole, rounds } = this.language;
      if (whole.has(word)) return word;
      let form = this.stems.get(word);
      if (form) return form;
      form = word;
      for (const rules of rounds) {
        for (const [ending, replacement, remain, needsVowel] of rules) {
          const rest = form.slice(0, form.length - ending.length);
          if (!form.endsWith(ending) || rest.length < remain || (needsVowel && !/[aeiouy]/.test(rest))) continue;
          if (!whole.has(rest + replacement)) form = rest + replacement;
          break;
        }
      }
      this.stems.set(word, form);
      return form;
    }

    synonymTable(groups) {
      const table = new Map();
      for (const group of groups) {
        const split = group.map((name) => atoms(name).map((atom) => atom.text)), terms = split.map((words) => words.join(""));
        group.forEach((name, i) => {
          const others = group.map((other, j) => ({ typed: name, other, term: terms[j] })).filter((o) => o.term !== terms[i]);
          const stemmed = split[i].slice(0, -1).join("") + this.stem(split[i][split[i].length - 1]);
          for (const spelling of new Set([terms[i], stemmed])) table.set(spelling, (table.get(spelling) || []).concat(others));
        });
      }
      return table;
    }

    value(word) {
      const { numbers } = this.language;
      return Object.hasOwn(numbers, word) ? numbers[word] : /^[0-9]{1,2}$/.test(word) ? +word : null;
    }

    flashCount(query, start) {
      const { flashes, between } = this.language, values = [];
      let seen = start > 0 && flashes.has(query[start - 1].text), touching = true, end = start;
      for (let at = start; at < query.length; at++) {
        const word = query[at].text, value = this.value(word);
        if (value !== null) {
          if (value >= 20 || values.length === 4) break;
          touching = touching && (at === start || query[at].touches);
          values.push(value);
          end = at + 1;
        } else if (flashes.has(word)) {
          seen = true;
          end = at + 1;
        } else if (!between.has(word)) break;
      }
      if (!values.length || !(seen || (touching && values.length > 1))) return null;
      return [start, end, values.join("_") + (values.length === 1 ? "_" : "")];
    }

    compounds(query) {
      const { numbers, units, denials } = this.language, found = [];
      query.forEach((atom, at) => {
        const word = atom.text, following = at + 1 < query.length ? query[at + 1].text : "";
        const flash = (isDigit(word) || Object.hasOwn(numbers, word)) && this.flashCount(query, at);
        if (flash) found.push(flash);
        if (!following) return;
        if (isDigit(word)) {
          if (Object.hasOwn(units, following)) found.push([at, at + 2, word + units[following]]);
        } else if (denials.has(word)) found.push([at, at + 2, "!" + this.stem(following)]);
      });
      return found;
    }

    spoken(query) {
      const found = [];
      query.forEach((letters, start) => {
        if (letters.text.length > 2 || isDigit(letters.text)) return;
        let end = start + 1, digits = "", tens = false;
        for (; end < query.length && digits.length < 4; end++) {
          const word = query[end].text, value = this.value(word);
          if (value === null && (digits || !["dash", "hyphen", "guion"].includes(word))) break;
          if (value !== null) {
            digits = tens && value > 0 && value < 10 ? String(+digits + value) : digits + value;
            tens = Object.hasOwn(this.language.numbers, word) && value >= 20;
          }
        }
        if (digits) found.push([start, end, letters.text + number(digits)]);
      });
      return found;
    }

    weight(frequency) { return this.logSize - log2(Math.min(Math.max(1, frequency), Math.max(1, this.size))) + 8; }
    weightOf(options) { return this.weight(sum(options.map((option) => this.frequency[option.terms[0]]))); }
    faint(weight, word) { return this.language.faint.has(word) ? Math.max(1, weight >> 2) : weight; }

    inflections(word) {
      const base = this.stem(word);
      return this.starting(base.slice(0, Math.max(2, base.length - 1)))
        .filter((at) => this.terms[at] !== word && this.stem(this.terms[at]) === base);
    }
    beginnings(word) {
      return this.starting(word).filter((at) => this.terms[at] !== word)
        .sort((a, b) => this.frequency[b] - this.frequency[a] || a - b).slice(0, 48);
    }
    isPart(word) { return (word.length > 2 || this.language.whole.has(word)) && this.find(word) >= 0; }
    splits(word, most) {
      const found = [];
      for (let cut = 2; cut < word.length - 1; cut++) {
        const left = word.slice(0, cut), right = word.slice(cut);
        if (!this.isPart(left)) continue;
        if (this.isPart(right)) found.push([left, right]);
        if (most > 2) for (const rest of this.splits(right, most - 1)) found.push([left, ...rest]);
      }
      return found;
    }
    split(word) {
      let best = null, longest = 0;
      for (const parts of this.splits(word, 3)) {
        const shortest = Math.min(...parts.map((part) => part.length));
        if (shortest > longest) { best = parts; longest = shortest; }
      }
      return best ? [option(best.map((part) => this.find(part)), SPLIT, this.why("same", word, best.join(" ")))] : [];
    }
    misspelt(word) {
      this.letters = this.letters || this.terms.map((term, at) => ({ at, term, mask: mask(term) }))
        .filter(({ term }) => term.length > 2 && term[0] > "=" && !/[\0-9_]/.test(term));
      const own = mask(word);
      for (const [edits, factor] of [[1, ONE_EDIT], [2, TWO_EDITS]]) {
        if (word.length < 2 * edits + 1) break;
        const near = [];
        for (const { at, term, mask: letters } of this.letters) {
          if (Math.abs(term.length - word.length) > edits || count(own & ~letters) > edits || count(letters & ~own) > edits) continue;
          const price = cost(word, term, edits);
          if (price <= 4 * edits) near.push([price, -this.frequency[at], at]);
        }
        if (!near.length) continue;
        near.sort((a, b) => a[0] - b[0] || a[1] - b[1] || a[2] - b[2]);
        const options = [];
        for (const [, , at] of near.slice(0, 5)) {
          const why = this.why("near", word, this.terms[at]);
          options.push(option([at], factor, why));
          for (const form of this.inflections(this.terms[at])) options.push(option([form], factor - FAMILY, why));
        }
        return [options, this.terms[near[0][2]]];
      }
      return [[], null];
    }
    why(name, ...values) { return fill(this.language.messages[name], ...values); }

    /** Understand a query: see kbgen/search/reading.py. */
    read(query) {
      if (query.length > LONGEST) query = [...new Map([...query].reverse().map((atom) => [atom.text, atom])).values()].reverse();
      const words = query.map((atom) => atom.text), size = words.length, short = size <= LONGEST;
      const reading = { words, edges: [], displays: [], codes: [], unknown: [], suggestion: null };
      const covered = new Set(), settled = new Set(), partial = new Map();
      const weights = words.map((word) => {
        const at = this.find(word);
        return at < 0 ? 0 : this.faint(this.weight(this.frequency[at]), word);
      });
      const mark = (set, start, end) => { for (let at = start; at < end; at++) set.add(at); };
      const add = (start, end, weight, options) => reading.edges.push({ start, end, weight, options });
      const span = (start, end) => sum(weights.slice(start, end));
      const together = (start, end, term, why) => {
        const at = this.find(term);
        if (at < 0) return false;
        add(start, end, Math.max(this.weight(this.frequency[at]), span(start, end)), [option([at], TOGETHER, why)]);
        mark(covered, start, end);
        return true;
      };
      const code = (start, end, term) => {
        const at = this.find("=" + term);
        if (at >= 0) (end - start === size ? reading.displays : reading.codes).push(at);
      };
      const begin = (start, joined) => {
        const why = this.why("starts", joined), options = this.beginnings(joined).map((at) => option([at], BEGINNING, why));
        if (options.length) add(start, size, this.weightOf(options), options);
        return options.length > 0;
      };
      const rename = (start, end, joined) => {
        const last = words[end - 1];
        const names = this.synonyms.get(joined) || this.synonyms.get(joined.slice(0, joined.length - last.length) + this.stem(last)) || [];
        const options = names.map(({ typed, other, term }) => option([this.find(term)], SYNONYM, this.why("same", typed, other)))
          .filter(({ terms }) => terms[0] >= 0);
        if (!options.length) return;
        const own = this.find(joined);
        const weight = own < 0 ? this.weightOf(options) : this.weight(this.frequency[own]);
        add(start, end, Math.max(weight, span(start, end)), options);
        mark(covered, start, end);
      };

      for (let start = 0; start < size; start++) {
        let joined = "";
        for (let end = start + 1; end <= Math.min(start + 5, size); end++) {
          joined += words[end - 1];
          if (short) rename(start, end, joined);
          if (end === start + 1) continue;
          const plain = without_o(joined);
          let found = together(start, end, joined);
          if (!CODE.test(plain)) continue;
          if (!found && plain !== joined) found = together(start, end, plain);
          if (!found && joined.endsWith("0")) together(start, end, joined.slice(0, -1) + "o");
          code(start, end, plain);
          if (!found && end === size && short) found = begin(start, joined);
          if (found) mark(settled, start, end);
          else if (query.slice(start + 1, end).every((atom) => atom.touches)) for (let at = start; at < end; at++) partial.set(at, joined);
        }
      }
      for (const [start, end, term] of this.compounds(query)) {
        together(start, end, term);
        if (term.includes("_")) code(start, end, term);
      }
      for (const [start, end, term] of this.spoken(query)) {
        const said = words.slice(start, end).join(" ");
        if (said.replace(/ /g, "") === term) continue;
        if (together(start, end, term, this.why("same", said, term.toUpperCase()))) mark(settled, start, end);
        code(start, end, term);
      }

      if (!short) {
        words.forEach((word, at) => {
          const place = this.find(word);
          if (place >= 0 && !settled.has(at)) add(at, at + 1, weights[at], [option([place], WHOLE)]);
        });
        reading.edges.sort((a, b) => b.weight - a.weight || a.start - b.start || a.end - b.end).splice(48);
      } else {
        const joined = words.join("");
        if (joined && size <= 12) {
          for (const term of new Set([joined, without_o(joined)])) {
            const at = this.find("=" + term);
            if (at >= 0 && !reading.displays.includes(at)) reading.displays.push(at);
          }
          const begun = joined.length > 2 ? this.beginnings("=" + joined).map((at) => option([at], DISPLAY)) : [];
          if (begun.length) add(0, size, Math.max(sum(weights), this.weightOf(begun)), begun);
        }
        const suggestion = [...words];
        words.forEach((word, at) => {
          if (settled.has(at)) return;
          if (partial.has(at)) {
            const typed = partial.get(at), place = this.find(word);
            if (!reading.unknown.includes(typed)) reading.unknown.push(typed);
            if (place >= 0 && isDigit(word)) add(at, at + 1, weights[at], [option([place], PART, this.why("part", typed, word))]);
            return;
          }
          let options = this.word(word, at, size, covered.has(at));
          if (!options.length && !covered.has(at) && !isDigit(word)) {
            const [near, readAs] = this.misspelt(word);
            options = near;
            suggestion[at] = readAs || word;
          }
          if (options.length) add(at, at + 1, weights[at] || this.faint(this.weightOf(options), word), options);
          else if (!covered.has(at)) reading.unknown.push(word);
        });
        const better = suggestion.join(" ");
        if (better !== words.join(" ")) reading.suggestion = better;
      }
      this.askToJump(reading);
      reading.edges.sort((a, b) => a.end - b.end || a.start - b.start);
      return reading;
    }

    /** Note that it asks to jump something; then what it names counts, and the asking little. */
    askToJump(reading) {
      const words = reading.suggestion ? reading.suggestion.split(" ") : reading.words, stems = words.map((word) => this.stem(word));
      const said = new Set(stems.filter((_, at) => !this.language.faint.has(words[at]))), asking = new Set();
      for (const way of this.bypasses) {
        if (way.length < said.size && way.every((form) => said.has(form))) stems.forEach((form, at) => way.includes(form) && asking.add(at));
      }
      for (const edge of asking.size ? reading.edges : []) {
        let at = edge.start;
        while (at < edge.end && asking.has(at)) at++;
        if (at === edge.end) edge.weight = Math.max(1, edge.weight >> 2);
      }
      reading.jumps = asking.size ? said : null;
    }

    /** The word itself, its inflections, what it begins, what it is made of. */
    word(word, at, size, covered) {
      const letters = !isDigit(word), exact = this.find(word), options = exact < 0 ? [] : [option([exact], WHOLE)];
      if (letters) for (const form of this.inflections(word)) options.push(option([form], STEM, this.why("form", word, this.terms[form])));
      const alone = !options.length && !covered, last = at + 1 === size;
      if ((last && (letters || at === 0)) || (alone && letters && word.length > 2)) {
        const factor = !last ? BEGINNING_INSIDE : options.length ? BEGINNING_OF_KNOWN : BEGINNING, why = this.why("starts", word);
        const taken = new Set(options.map((o) => o.terms[0]));
        for (const place of this.beginnings(word)) if (!taken.has(place)) options.push(option([place], factor, why));
      }
      return alone && letters ? options.concat(this.split(word)) : options;
    }

    /** The level of a term on an entry, 0 when it is not there. */
    level(term, entry) {
      const { entries, levels } = this.postings(term);
      let low = 0, high = entries.length;
      while (low < high) {
        const middle = low + high >> 1;
        if (entries[middle] < entry) low = middle + 1; else high = middle;
      }
      return entries[low] === entry ? levels[low] : 0;
    }
    /** What an option gains on an entry that has all its terms. */
    gain(option, entry) { return this.data.gains[Math.min(...option.terms.map((term) => this.level(term, entry)))]; }

    /** Raise the scores of the entries an option is found in. */
    raise(before, here, weight, option) {
      const { entries, levels } = this.postings(option.terms[0]), many = option.terms.length > 1;
      const worth = this.data.gains.map((gain) => weight * gain * option.factor >> 4);
      for (let i = 0; i < entries.length; i++) {
        const entry = entries[i];
        const more = many ? weight * this.gain(option, entry) * option.factor >> 4 : worth[levels[i]];
        if (more && before[entry] + more > here[entry]) here[entry] = before[entry] + more;
      }
    }

    isEmergency(words) {
      const known = words.map((word) => words.length > LONGEST || this.find(word) >= 0);
      const same = (typed, word, at) => typed === word || this.stem(typed) === this.stem(word)
        || (at + 1 === words.length && typed.length >= 4 && word.startsWith(typed))
        || (!known[at] && word.length > 2 && typed.length > 2 && !isDigit(typed)
          && cost(typed, word, word.length < 7 ? 1 : 2) <= (word.length < 4 ? 3 : 8));
      return this.dangers.some(([wanted, barred]) => wanted.length > 0
        && wanted.every((word) => words.some((typed, at) => same(typed, word, at))) && !barred.some((word) => words.includes(word)));
    }

    /**
     * Rank the entries for whatever was typed; nothing in it is an operator.
     * @param {string} text
     * @param {{kind?: string, equipment?: string, limit?: number}} [filter]
     */
    query(text, { kind = "", equipment = "", limit = 20 } = {}) {
      const query = atoms(text), reading = this.read(query), { kinds } = this.data, n = this.size;
      const best = [new Int32Array(n)];
      for (let end = 1, at = 0; end <= reading.words.length; end++) {
        let here = best[end - 1];
        if (at < reading.edges.length && reading.edges[at].end === end) here = here.slice();
        for (; at < reading.edges.length && reading.edges[at].end === end; at++) {
          const edge = reading.edges[at], before = best[edge.start];
          for (const option of edge.options) this.raise(before, here, edge.weight, option);
        }
        best.push(here);
      }
      const priors = this.data.priors.map((prior, at) => reading.jumps && kinds[at][0] === "device" ? MAY_I_JUMP : prior);
      const scores = best[best.length - 1].map((score, entry) => score * priors[this.kind[entry]] >> 4);
      scores.forEach((score, entry) => {
        if (!score || !reading.jumps || kinds[this.kind[entry]][0] !== "device") return;
        if (atoms(this.text("titles", entry)).every((atom) => reading.jumps.has(this.stem(atom.text)))) scores[entry] += score >> 1;
      });
      for (const [terms, bonus] of [[reading.codes, 1e6], [reading.displays, 2e6]]) {
        for (const entry of new Set(terms.flatMap((term) => [...this.postings(term).entries]))) scores[entry] += bonus;
      }
      const { equipment: plants } = this.data, ofKinds = new Uint32Array(kinds.length), ofPlants = new Uint32Array(plants.length);
      const kindAt = kind ? kinds.findIndex(([name]) => name === kind) : -1, plantAt = equipment ? plants.indexOf(equipment) : -1, top = [];
      let total = 0, general = 0;
      for (let entry = 0; entry < n; entry++) {
        const score = scores[entry];
        if (!score) continue;
        const own = this.plant[entry], ofKind = !kind || this.kind[entry] === kindAt, fits = !equipment || !own.length || own.includes(plantAt);
        if (fits) ofKinds[this.kind[entry]]++;
        if (ofKind) for (const at of own) ofPlants[at]++;
        if (ofKind && !own.length) general++;
        if (!ofKind || !fits) continue;
        total++;
        if (top.length === limit && score <= scores[top[limit - 1]]) continue;
        let at = Math.min(top.length, limit - 1);
        for (; at > 0 && score > scores[top[at - 1]]; at--) top[at] = top[at - 1];
        top[at] = entry;
      }
      // What belongs to no plant, such as a term, is about every plant.
      ofPlants.forEach((count, at) => { if (count) ofPlants[at] = count + general; });
      const counted = (names, counts) => Object.fromEntries(names.map((name, at) => [name, counts[at]]).filter(([, count]) => count));
      return { results: top.map((at) => ({ ...this.entry(at), score: scores[at], why: this.reasons(reading, best, at) })),
        total, didYouMean: reading.suggestion, emergency: this.isEmergency(query.map((atom) => atom.text)),
        notUnderstood: reading.unknown, nearest: total ? [] : this.nearest(query, plantAt, equipment), kinds: counted(kinds.map(([name]) => name), ofKinds), equipment: counted(plants, ofPlants) };
    }

    /** The displays, of one plant or of all, that share most pairs of letters with a query. */
    nearest(query, plant, one) {
      const pairs = (text) => {
        const letters = [" ", ...text.map((atom) => atom.text).join("")];
        return new Set(letters.slice(1).map((letter, at) => letters[at] + letter));
      };
      const typed = pairs(query);
      return this.data.displays.filter((display) => !one || display[1] === plant).map((display) => {
        const shown = pairs(atoms(display[0])), shared = [...shown].filter((pair) => typed.has(pair)).length;
        return { shows: display[0], equipment: this.data.equipment[display[1]], address: display[2],
          alike: Math.floor(200 * shared / Math.max(1, typed.size + shown.size)) };
      }).filter(({ alike }) => alike >= 20).sort((a, b) => b.alike - a.alike).slice(0, 4);
    }

    /** Walk an entry's best way back and name the steps that were not the typed words. */
    reasons(reading, best, entry) {
      const reasons = [];
      for (let end = reading.words.length; end;) {
        const score = best[end][entry];
        let step = null;
        for (const edge of score === best[end - 1][entry] ? [] : reading.edges) {
          if (edge.end !== end || step) continue;
          const option = edge.options.find((o) => {
            const more = edge.weight * this.gain(o, entry) * o.factor >> 4;
            return more && best[edge.start][entry] + more === score;
          });
          if (option) step = { start: edge.start, why: option.why };
        }
        if (step && step.why && !reasons.includes(step.why)) reasons.unshift(step.why);
        end = step ? step.start : end - 1;
      }
      return reasons.join("; ");
    }
  }

  const option = (/** @type {number[]} */ terms, /** @type {number} */ factor, why = "") => ({ terms, factor, why });
  const lines = (/** @type {string} */ text, /** @type {number} */ size) => text ? text.split("\n") : new Array(size).fill("");

  window.kbgenSearch = { open: (/** @type {object} */ data) => new Index(data), atoms, fold, cost };
})();
