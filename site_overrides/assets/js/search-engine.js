// The symptom search in the browser: no DOM, no requests. It mirrors kbgen/search/ step by step (same
// names) and ranks to the same whole numbers; the tests hold the two together.
(function () {
  "use strict";

  const SIGNS = { "°": " ", "º": " ", "µ": "u", "μ": "u", "Ω": "ohm", "Ω": "ohm", "ß": "ss", "æ": "ae", "Æ": "ae",
    "œ": "oe", "Œ": "oe", "ø": "o", "Ø": "o", "ł": "l", "Ł": "l" };
  const CODE = /^[a-z]{1,3}[0-9]+[a-z]?$/;
  const ZERO_AS_O = /^([a-z]{1,2}?)(?=[o0-9]*[0-9])([o0-9]+)$/;
  const TOGETHER = 20, DISPLAY = 18, WHOLE = 16, SPLIT = 14, SYNONYM = 13, STEM = 12, BEGINNING = 12, ONE_EDIT = 11,
    BEGINNING_INSIDE = 9, BEGINNING_OF_KNOWN = 8, TWO_EDITS = 8, PART = 4, FAMILY = 3;
  const MAY_I_JUMP = 24, HOW = 20, DANGER = 24, LOOKED_AT = 24, WITHIN = 1e6, ON_TOP = 2e6, LONGEST = 32, FAR = 99;

  const isDigit = (/** @type {string} */ word) => word[0] <= "9";

  /** Lower case without accents and apostrophes. @param {string} text */
  function fold(text) {
    text = text.replace(/['’‘ʼ`´′]/g, "");
    if (/[^\0-\x7f]/.test(text)) {
      text = text.replace(/[°ºµμΩΩßæÆœŒøØłŁ]/g, (sign) => SIGNS[sign]).normalize("NFKD").replace(/[\u0300-\u036f]/g, "");
    }
    return text.toLowerCase();
  }

  /** @param {string} digits */
  const number = (digits) => /[.,]/.test(digits) ? digits.replace(/,/g, ".") : digits.replace(/^0+(?=.)/, "");

  const ATOM = /[-‐–−_.:]?([0-9]+(?:[.,][0-9]+)*|[\p{L}\p{Nl}\p{No}]+)/gu;
  /** Runs of letters and numbers; whether each touches the one before. @param {string} text */
  function atoms(text) {
    const found = [];
    let end = -1;
    text = fold(text);
    for (let match; (match = ATOM.exec(text)); end = ATOM.lastIndex) {
      found.push({ text: isDigit(match[1]) ? number(match[1]) : match[1], touches: match.index === end });
    }
    return found;
  }
  const wordsOf = (/** @type {string} */ text) => atoms(text).map((atom) => atom.text);

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

  /** One bit per letter of a word; -1 for what is no plain word. @param {string} word */
  function mask(word) {
    let bits = 0;
    for (let at = 0; at < word.length; at++) {
      const sign = word.charCodeAt(at);
      if (sign < 62 || sign === 95) return -1;
      if (sign > 96 && sign < 123) bits |= 1 << sign - 97;
    }
    return bits;
  }
  /** Whether more than n bits are set. @param {number} bits @param {number} n */
  const more = (bits, n) => {
    for (; bits && n; n--) bits &= bits - 1;
    return bits !== 0;
  };

  /** For each letter the keys around it, as bits. */
  const AROUND = new Int32Array(26);
  ["qwertyuiop", "asdfghjkl", "zxcvbnm"].forEach((row, i, rows) => [...row].forEach((letter, at) => {
    for (const beside of rows.slice(Math.max(0, i - 1), i + 2)) AROUND[letter.charCodeAt(0) - 97] |= mask(beside.slice(Math.max(0, at - 1), at + 2));
  }));

  let ROWS = [0, 0, 0].map(() => new Int32Array(40));

  /** What it costs to mistype `word` as `typed`: 4 an edit, 3 a likely one. */
  function cost(/** @type {string} */ typed, /** @type {string} */ word, /** @type {number} */ most) {
    if (Math.abs(typed.length - word.length) > most) return FAR;
    const width = word.length + 1;
    if (ROWS[0].length < width) ROWS = ROWS.map(() => new Int32Array(width));
    let [before, above, row] = ROWS, least = 0, leastAbove = 0;
    for (let j = 0; j < width; j++) above[j] = 4 * j;
    for (let i = 1, last = 0, letter = 0; i <= typed.length; i++, leastAbove = least, last = letter) {
      letter = typed.charCodeAt(i - 1);
      const around = AROUND[letter - 97] || 0, from = Math.max(1, i - most), to = Math.min(word.length, i + most), left = 4 - +(last === letter);
      row.fill(FAR, 0, width);
      least = row[0] = 4 * i;
      for (let j = from, meant = 0, prior = from > 1 ? word.charCodeAt(from - 2) : 0; j <= to; j++, prior = meant) {
        meant = word.charCodeAt(j - 1);
        let best = Math.min(above[j - 1] + (letter === meant ? 0 : meant > 96 && meant < 123 && around >> meant - 97 & 1 ? 3 : 4),
          above[j] + left, row[j - 1] + (prior === meant ? 3 : 4));
        if (letter === prior && last === meant) best = Math.min(best, before[j - 2] + 3);
        row[j] = best;
        if (best < least) least = best;
      }
      if (least > 4 * most && leastAbove > 4 * most) return FAR;
      [before, above, row] = [above, row, before];
    }
    return above[word.length] <= 4 * most ? above[word.length] : FAR;
  }

  const sum = (/** @type {number[]} */ values) => values.reduce((a, b) => a + b, 0);
  const option = (/** @type {number[]} */ terms, /** @type {number} */ factor, why = "") => ({ terms, factor, why });

  /** The first place, of so many, where something ascending is no longer less. */
  function first(/** @type {number} */ size, /** @type {(at: number) => boolean} */ less) {
    let low = 0, high = size;
    while (low < high) {
      const middle = low + high >> 1;
      if (less(middle)) low = middle + 1; else high = middle;
    }
    return low;
  }

  /** Put something among the few that are worth most; of equals the earlier comes first. */
  function rank(/** @type {number[]} */ top, /** @type {number} */ each, /** @type {number} */ most, worth) {
    let at = top.length;
    if (at === most && (at === 0 || worth[each] <= worth[top[--at]])) return;
    for (; at > 0 && worth[each] > worth[top[at - 1]]; at--) top[at] = top[at - 1];
    top[at] = each;
  }

  /** Reads bits of base64, from one byte up to another, most significant first. */
  function reader(/** @type {string} */ text, start = 0, end = text.length) {
    const raw = atob(text.slice(Math.floor(start / 3) * 4, Math.ceil(end / 3) * 4)), data = new Uint8Array(raw.length + 4);
    for (let i = 0; i < raw.length; i++) data[i] = raw.charCodeAt(i);
    let at = start % 3 * 8;
    /** The next 25 bits, left in a word. */
    const ahead = () => {
      const i = at >> 3;
      return (data[i] << 24 | data[i + 1] << 16 | data[i + 2] << 8 | data[i + 3]) << (at & 7);
    };
    const bits = (/** @type {number} */ n) => {
      const value = n && ahead() >>> 32 - n;
      at += n;
      return value;
    };
    const unary = (/** @type {number} */ flip) => {
      const n = Math.clz32(ahead() ^ flip);
      at += n + 1;
      return n;
    };
    const below = (/** @type {number} */ size, centred = false) => {
      if (size < 2) return 0;
      const width = 31 - Math.clz32(size - 1), spare = (2 << width) - size, value = bits(width);
      const at = value < spare ? value : value * 2 + bits(1) - spare;
      return centred ? (at + (size - spare >> 1)) % size : at;
    };
    const between = (into, /** @type {number} */ from, /** @type {number} */ to, /** @type {number} */ low, /** @type {number} */ high) => {
      if (from >= to) return into;
      const middle = from + (to - from >> 1), least = low + middle - from;
      const value = into[middle] = least + below(high - (to - 1 - middle) - least + 1, true);
      between(into, from, middle, low, value - 1);
      return between(into, middle + 1, to, value + 1, high);
    };
    return {
      gamma: () => {
        const zeros = unary(0);
        return 1 << zeros | bits(zeros);
      },
      level: () => unary(-1), below, between,
    };
  }

  function open(data) {
    const { language, kinds, equipment, levels, gains, groups } = data, { numbers, rounds, flashes } = language, size = data.grouped.length;
    const [whole, denials, faint, codewords, fillers, spells, inside] = ["whole", "denials", "faint", "codes", "fillers", "spells", "between"].map((name) => new Set(language[name]));

    const stems = new Map();
    function stem(/** @type {string} */ word) {
      if (whole.has(word)) return word;
      let form = stems.get(word);
      if (form) return form;
      form = word;
      for (const rules of rounds) {
        for (const [ending, replacement, remain, needsVowel] of rules) {
          if (!form.endsWith(ending) || form.length < remain + ending.length) continue;
          const rest = form.slice(0, form.length - ending.length);
          if (needsVowel && !/[aeiouy]/.test(rest)) continue;
          if (!whole.has(rest + replacement)) form = rest + replacement;
          break;
        }
      }
      stems.set(word, form);
      return form;
    }
    const bypasses = language.bypasses.map((way) => way.split(" ").map(stem));

    const why = (/** @type {string} */ name, ...values) => language.messages[name].replace(/\{(\d)\}/g, (_, at) => values[at]);

    // ---- The vocabulary, each term written as what it shares with the one before and the rest.
    let before = "";
    const terms = data.terms ? data.terms.split("\n").map((line) => before = before.slice(0, line.charCodeAt(0) - 48) + line.slice(1)) : [];
    const frequency = new Uint32Array(terms.length), starts = [0], heads = reader(data.heads);
    for (let at = 0; at < terms.length;) {
      for (const end = at + data.group; at < end && at < terms.length; at++) frequency[at] = heads.gamma();
      starts.push(starts[starts.length - 1] + heads.gamma() - 1);
    }

    const place = (/** @type {string} */ term) => first(terms.length, (at) => terms[at] < term);
    const find = (/** @type {string} */ term) => {
      const at = place(term);
      return terms[at] === term ? at : -1;
    };
    /** All terms that begin so, but the one that is no more than that. */
    const starting = (/** @type {string} */ beginning) => {
      const found = [];
      for (let at = place(beginning); at < terms.length && terms[at].startsWith(beginning); at++) found.push(at);
      return found;
    };

    const logSize = log2(Math.max(1, size));
    const weight = (/** @type {number} */ n) => logSize - log2(Math.min(Math.max(1, n), Math.max(1, size))) + 8;
    const weightOf = (options) => weight(sum(options.map((each) => frequency[each.terms[0]])));
    /** Right although no entry has it, and by itself it tells nothing. */
    const filling = (/** @type {string} */ word) => faint.has(word) || denials.has(word);
    const faintly = (/** @type {number} */ value, /** @type {string} */ word) => faint.has(word) ? Math.max(1, value >> 2) : value;

    // ---- Postings: the entries of a term and its levels there, unpacked a group at a time.
    const unpacked = [];
    function postings(/** @type {number} */ term) {
      if (!unpacked[term]) {
        const group = Math.floor(term / data.group), bits = reader(data.postings, starts[group], starts[group + 1]);
        for (let at = group * data.group, end = at + data.group; at < end && at < terms.length; at++) {
          const n = frequency[at], entries = bits.between(new Uint32Array(n), 0, n, 0, size - 1), row = new Uint8Array(n).fill(levels[0]);
          const others = bits.below(n + 1);
          for (const i of bits.between(new Uint32Array(others), 0, others, 0, n - 1)) row[i] = levels[bits.level() + 1];
          unpacked[at] = { entries, row };
        }
      }
      return unpacked[term];
    }
    const level = (/** @type {number} */ term, /** @type {number} */ entry) => {
      const { entries, row } = postings(term), at = first(entries.length, (i) => entries[i] < entry);
      return entries[at] === entry ? row[at] : 0;
    };
    /** What an option gains on an entry that has all its terms. */
    const gain = (each, /** @type {number} */ entry) => gains[Math.min(...each.terms.map((term) => level(term, entry)))];

    // ---- What is shown.
    const ofGroup = Uint16Array.from(data.grouped, (sign) => sign.charCodeAt(0) - 48);
    const kindOf = (/** @type {number} */ entry) => kinds[groups[ofGroup[entry]][0]];
    const lines = {};
    const line = (/** @type {string} */ name, /** @type {number} */ at) => (lines[name] = lines[name] || data[name].split("\n"))[at] || "";
    function entry(/** @type {number} */ at) {
      const [kind, , folder] = kindOf(at), title = line("titles", at), id = line("ids", at) || title.toLowerCase().replace(/[^a-z0-9]+/g, "-");
      return { kind, id, title, address: line("addresses", at) || folder + "/" + id + ".html",
        equipment: groups[ofGroup[at]].slice(1).map((each) => equipment[each]),
        summary: line("summaries", at), note: line("notes", at), draft: data.drafts.includes(at) };
    }

    // ---- Words that mean something only together: kbgen/search/compounds.py
    const has = Object.hasOwn;
    const value = (/** @type {string} */ word) => has(numbers, word) ? numbers[word] : /^[0-9]{1,2}$/.test(word) ? +word : null;

    /** Short flashes are counted first, however it is said: "1 long 3 short" is "3 short 1 long". */
    function flashCount(words, query, /** @type {number} */ start) {
      const values = [];
      let seen = start > 0 && words[start - 1].length > 1 && has(flashes, words[start - 1]), touching = true, lengths = "", end = start;
      for (let at = start; at < words.length; at++) {
        const word = words[at], n = value(word) ?? (has(flashes, words[at + 1]) && has(language.misheard, word) ? language.misheard[word] : null);
        if (n !== null) {
          if (n >= 20 || values.length === 4) break;
          touching = touching && (at === start || query[at].touches);
          values.push(n);
          end = at + 1;
        } else if (has(flashes, word) && (word.length > 1 || query[at].touches)) {
          lengths += flashes[word];
          seen = seen || word.length > 1 || new Set(lengths).size > 1;
          end = at + 1;
        } else if (!inside.has(word)) break;
      }
      const plain = touching || codewords.has(words[start - 1]) || (start === 0 && end === words.length);
      if (!values.length || !(seen || (plain && values.length > 1)) || (values.length === 1 && has(language.misheard, words[start]))) return null;
      if (lengths === "ls" && values.length === 2) values.reverse();
      return [start, end, values.join("_") + (values.length === 1 ? "_" : "")];
    }

    function compounds(words, query) {
      let counted = 0;
      return words.flatMap((word, at) => {
        const following = words[at + 1], found = [];
        const flash = at >= counted && (isDigit(word) || has(numbers, word) || has(language.misheard, word)) && flashCount(words, query, at);
        if (flash) {
          found.push(flash);
          counted = flash[1];
        }
        if (isDigit(word) && has(language.units, following)) found.push([at, at + 2, word + language.units[following]]);
        if (denials.has(word) && following) found.push([at, at + 2, "!" + stem(following)]);
        return found;
      });
    }

    const runs = (query) => {
      const words = query.map((atom) => atom.text), found = compounds(words, query).map(([, , term]) => term);
      for (let start = 0; start < words.length; start++) {
        for (let end = start + 1; end <= start + 4; end++) found.push(words.slice(start, end).join(""));
      }
      return found;
    };

    function shown(words) {
      const found = [];
      let said = false, spelt = false;
      words.forEach((word, at) => {
        const last = at + 1 === words.length, filler = fillers.has(word);
        if (spelt || (said && (last || !filler))) {
          for (const term of [word, has(language.letters, word) ? language.letters[word] : (last || spelt) && has(language.last_letters, word) && language.last_letters[word]]) {
            if (term) found.push([at, at + 1, term]);
          }
        }
        spelt = spells.has(word);
        said = spelt || codewords.has(word) || (said && filler);
      });
      return found;
    }

    const spoken = (words) => words.flatMap((word, start) => {
      const letters = has(language.letters, word) ? language.letters[word] : word;
      let end = start + 1, digits = "", tens = false;
      if (letters.length > 2 || isDigit(letters)) return [];
      for (; end < words.length && digits.length < 4; end++) {
        const n = value(words[end]);
        if (n === null && (digits || !["dash", "hyphen", "guion"].includes(words[end]))) break;
        if (n === null) continue;
        digits = tens && n > 0 && n < 10 ? String(+digits + n) : digits + n;
        tens = has(numbers, words[end]) && n >= 20;
      }
      return digits ? [[start, end, letters + number(digits)]] : [];
    });

    // ---- What a word may stand for: kbgen/search/expand.py
    const inflections = (/** @type {string} */ word) => {
      const base = stem(word);
      return starting(base.slice(0, Math.max(2, base.length - 1))).filter((at) => terms[at] !== word && stem(terms[at]) === base);
    };
    const beginnings = (/** @type {string} */ word) => {
      const top = [];
      for (const at of starting(word)) if (terms[at] !== word) rank(top, at, 48, frequency);
      return top;
    };

    const keyOf = (/** @type {string} */ text) => wordsOf(text).join("");
    const synonyms = new Map(language.heard.map(([typed, other]) => [keyOf(typed), [{ typed, other, term: keyOf(other) }]]));
    for (const group of data.synonyms) {
      const names = group.map((name) => ({ name, words: wordsOf(name), term: keyOf(name) }));
      for (const { name, words, term } of names) {
        const last = words[words.length - 1];
        const others = names.filter((each) => each.term !== term).map((each) => ({ typed: name, other: each.name, term: each.term }));
        for (const spelling of new Set([term, term.slice(0, term.length - last.length) + stem(last)])) {
          synonyms.set(spelling, [...synonyms.get(spelling) || [], ...others]);
        }
      }
    }

    const isPart = (/** @type {string} */ word) => (word.length > 2 || whole.has(word)) && find(word) >= 0;
    function splits(/** @type {string} */ word, /** @type {number} */ most) {
      const found = [];
      for (let cut = 2; cut < word.length - 1; cut++) {
        const left = word.slice(0, cut), right = word.slice(cut);
        if (!isPart(left)) continue;
        if (isPart(right)) found.push([left, right]);
        if (most > 2) found.push(...splits(right, most - 1).map((rest) => [left, ...rest]));
      }
      return found;
    }
    function parts(/** @type {string} */ word) {
      let best = [], longest = 0;
      for (const words of splits(word, 3)) {
        const shortest = Math.min(...words.map((part) => part.length));
        if (shortest > longest) { best = words; longest = shortest; }
      }
      return longest ? [option(best.map(find), SPLIT, why("same", word, best.join(" ")))] : [];
    }

    /** Plain words by length, and the letters of each; made for the first word that is in no entry. */
    let byLength = null;
    const letters = new Int32Array(terms.length);
    function misspelt(/** @type {string} */ word) {
      if (!byLength) {
        byLength = [];
        terms.forEach((term, at) => {
          letters[at] = term.length > 2 ? mask(term) : -1;
          if (letters[at] >= 0) (byLength[term.length] = byLength[term.length] || []).push(at);
        });
      }
      const own = mask(word);
      for (const [edits, factor] of [[1, ONE_EDIT], [2, TWO_EDITS]]) {
        const near = [];
        for (let length = word.length - edits; length <= word.length + edits && word.length > 2 * edits; length++) {
          for (const at of byLength[length] || []) {
            if (more(own & ~letters[at], edits) || more(letters[at] & ~own, edits)) continue;
            const price = cost(word, terms[at], edits);
            if (price < FAR) near.push([price, -frequency[at], at]);
          }
        }
        if (!near.length) continue;
        near.sort((a, b) => a[0] - b[0] || a[1] - b[1] || a[2] - b[2]);
        return { readAs: terms[near[0][2]], options: near.slice(0, 5).flatMap(([, , at]) => {
          const reason = why("near", word, terms[at]);
          return [option([at], factor, reason), ...inflections(terms[at]).map((form) => option([form], factor - FAMILY, reason))];
        }) };
      }
      return { readAs: word, options: [] };
    }

    /** Understand a query: kbgen/search/reading.py */
    function read(query) {
      if (query.length > LONGEST) query = [...new Map([...query].reverse().map((atom) => [atom.text, atom])).values()].reverse();
      const words = query.map((atom) => atom.text), n = words.length, short = n <= LONGEST;
      const edges = [], displays = [], codes = [], unknown = [], suggestion = [...words];
      const covered = new Set(), settled = new Set(), meant = new Set(), partial = new Map();
      const weights = words.map((word) => {
        const at = find(word);
        return at < 0 ? 0 : faintly(weight(frequency[at]), word);
      });
      const mark = (set, start, end) => { while (start < end) set.add(start++); };
      const add = (start, end, counts, options) => {
        if (options.length) edges.push({ start, end, weight: counts, options });
        return options.length > 0;
      };
      const span = (start, end) => sum(weights.slice(start, end));
      const together = (start, end, term, reason) => {
        const at = find(term);
        if (at < 0) return false;
        mark(covered, start, end);
        return add(start, end, Math.max(weight(frequency[at]), span(start, end)), [option([at], TOGETHER, reason)]);
      };
      const code = (start, end, term) => {
        const at = find("=" + term);
        if (at >= 0) (end - start === n ? displays : codes).push(at);
      };
      const begin = (start, joined) => {
        const reason = why("starts", joined), options = beginnings(joined).map((at) => option([at], BEGINNING, reason));
        return add(start, n, weightOf(options), options);
      };
      const rename = (start, end, joined) => {
        const last = words[end - 1];
        const names = synonyms.get(joined) || synonyms.get(joined.slice(0, joined.length - last.length) + stem(last)) || [];
        if (end - start === n) for (const term of [joined, ...names.map((name) => name.term)]) meant.add(term);
        const options = names.filter(({ term }) => find(term) >= 0)
          .map(({ typed, other, term }) => option([find(term)], SYNONYM, why("same", typed, other)));
        const own = find(joined);
        if (add(start, end, Math.max(faintly(own < 0 ? weightOf(options) : weight(frequency[own]), joined), span(start, end)), options)) mark(covered, start, end);
      };

      for (let start = 0; start < n; start++) {
        let joined = "";
        for (let end = start + 1; end <= Math.min(start + 5, n); end++) {
          joined += words[end - 1];
          if (short) rename(start, end, joined);
          if (end === start + 1) continue;
          const term = without_o(joined);
          let found = together(start, end, joined);
          if (!CODE.test(term)) continue;
          if (!found && term !== joined) found = together(start, end, term);
          if (!found && joined.endsWith("0")) together(start, end, joined.slice(0, -1) + "o");
          code(start, end, term);
          if (!found && end === n && short) found = begin(start, joined);
          if (found) mark(settled, start, end);
          else if (query.slice(start + 1, end).every((atom) => atom.touches)) for (let at = start; at < end; at++) partial.set(at, joined);
        }
      }
      for (const [start, end, term] of shown(words)) code(start, end, term);
      for (const [start, end, term] of compounds(words, query)) {
        together(start, end, term);
        if (term.includes("_")) code(start, end, term);
      }
      for (const [start, end, term] of spoken(words)) {
        const said = words.slice(start, end).join(" ");
        if (said.replace(/ /g, "") === term) continue;
        const found = together(start, end, term, why("same", said, term.toUpperCase())), all = end - start === n;
        if (found || all) mark(settled, start, end);
        if (all && !found) unknown.push(term);
        code(start, end, term);
      }

      if (!short) {
        words.forEach((word, at) => {
          if (weights[at] && !settled.has(at)) add(at, at + 1, weights[at], [option([find(word)], WHOLE)]);
        });
        edges.sort((a, b) => b.weight - a.weight || a.start - b.start || a.end - b.end).splice(48);
      } else {
        const joined = words.join("");
        if (joined && n <= 12) {
          for (const term of new Set([joined, without_o(joined)])) {
            const at = find("=" + term);
            if (at >= 0 && !displays.includes(at)) displays.push(at);
          }
          const begun = joined.length > 2 ? beginnings("=" + joined).map((at) => option([at], DISPLAY)) : [];
          add(0, n, Math.max(sum(weights), weightOf(begun)), begun);
        }
        words.forEach((word, at) => {
          if (settled.has(at)) return;
          if (partial.has(at)) {
            const typed = partial.get(at);
            if (!unknown.includes(typed)) unknown.push(typed);
            if (weights[at] && isDigit(word)) add(at, at + 1, weights[at], [option([find(word)], PART, why("part", typed, word))]);
            return;
          }
          let options = single(word, at, n, covered.has(at));
          if (!options.length && !covered.has(at) && !isDigit(word) && !has(numbers, word) && !filling(word)) ({ options, readAs: suggestion[at] } = misspelt(word));
          if (!add(at, at + 1, weights[at] || faintly(weightOf(options), word), options) && !covered.has(at) && !filling(word)) unknown.push(word);
        });
      }
      edges.sort((a, b) => a.end - b.end || a.start - b.start);
      const nothingButParts = n > 0 && partial.size === n && !displays.length && !codes.length;
      return { n, edges, displays, codes, unknown, meant, nothingButParts, ...asking(suggestion, edges),
        suggestion: suggestion.every((word, at) => word === words[at]) ? null : suggestion.join(" ") };
    }

    /** What it asks for: kbgen/search/asking.py. If to jump something, what it names counts and the asking little. */
    function asking(/** @type {string[]} */ words, edges) {
      const forms = words.map(stem), told = new Set(forms.filter((_, at) => !faint.has(words[at]))), places = new Set();
      for (const way of bypasses) {
        if (way.length < told.size && way.every((form) => told.has(form))) forms.forEach((form, at) => way.includes(form) && places.add(at));
      }
      for (const edge of edges) {
        let at = edge.start;
        while (at < edge.end && places.has(at)) at++;
        if (at === edge.end) edge.weight = Math.max(1, edge.weight >> 2);
      }
      const text = " " + words.join(" ") + " ";
      return { told, jumps: places.size > 0, how: language.tasks.some((beginning) => text.includes(" " + beginning + " ")) };
    }

    /** The word itself, its inflections, what it begins, what it is made of. */
    function single(/** @type {string} */ word, /** @type {number} */ at, /** @type {number} */ n, /** @type {boolean} */ covered) {
      const plain = !isDigit(word), exact = find(word), options = exact < 0 ? [] : [option([exact], WHOLE)];
      if (plain) for (const form of inflections(word)) options.push(option([form], STEM, why("form", word, terms[form])));
      const alone = !options.length && !covered, last = at + 1 === n;
      if ((last && (plain || at === 0)) || (alone && plain && word.length > 2)) {
        const factor = !last ? BEGINNING_INSIDE : options.length ? BEGINNING_OF_KNOWN : BEGINNING, reason = why("starts", word);
        const taken = new Set(options.map((each) => each.terms[0]));
        for (const begun of beginnings(word)) if (!taken.has(begun)) options.push(option([begun], factor, reason));
      }
      return alone && plain ? [...options, ...parts(word)] : options;
    }

    /** Whether a query speaks of danger: kbgen/search/emergency.py */
    function isEmergency(/** @type {string[]} */ words) {
      const known = words.map((word) => words.length > LONGEST || find(word) >= 0), last = words.length - 1;
      const same = (typed, word, at) => typed === word || stem(typed) === stem(word)
        || (at === last && typed.length >= 4 && word.startsWith(typed))
        || (!known[at] && word.length > 2 && typed.length > 2 && !isDigit(typed)
          && cost(typed, word, word.length < 7 ? 1 : 2) <= (word.length < 4 ? 3 : 8));
      const said = new Map();
      const isSaid = (/** @type {string} */ word) => {
        if (!said.has(word)) said.set(word, words.some((typed, at) => same(typed, word, at)));
        return said.get(word);
      };
      return data.emergency.phrases.some(([wanted, barred]) => wanted.length && wanted.every(isSaid) && !barred.some((word) => words.includes(word)));
    }

    /** Raise the scores of the entries an option is found in. */
    function raise(from, here, /** @type {number} */ counts, each) {
      const { entries, row } = postings(each.terms[0]), worth = gains.map((gained) => counts * gained * each.factor >> 4);
      for (let i = 0; i < entries.length; i++) {
        const at = entries[i], more = each.terms.length > 1 ? counts * gain(each, at) * each.factor >> 4 : worth[row[i]];
        if (more && from[at] + more > here[at]) here[at] = from[at] + more;
      }
    }

    /** Add up the scores, count the entries found of each group and return the best of the wanted groups. */
    function bestOf(/** @type {Int32Array} */ found, /** @type {Int32Array} */ scores, /** @type {Uint32Array} */ counts, wanted, priors, /** @type {number} */ most) {
      const top = [];
      for (let at = 0, least = 0; at < size; at++) {
        const group = ofGroup[at], score = scores[at] += found[at] * priors[group] >> 4;
        if (!score) continue;
        counts[group]++;
        if (score <= least || !wanted[group]) continue;
        rank(top, at, most, scores);
        if (top.length === most) least = scores[top[most - 1]];
      }
      return top;
    }

    /** What is added for a title: of a device to be jumped, of what was named or is shown, or saying all. */
    function ofTitle(/** @type {number} */ at, /** @type {number} */ score, { told, jumps, meant, displays, codes }) {
      const title = atoms(line("titles", at)), words = title.map((atom) => atom.text), joined = words.join(""), shows = [...displays, ...codes];
      if (jumps && kindOf(at)[0] === "device" && words.every((word) => told.has(stem(word)))) return score >> 1;
      if (meant.has(joined)) return score - (score >> 2);
      if (shows.some((term) => runs(title).includes(terms[term].slice(1)))) return score >> 2;
      const asked = [...told].filter((form) => form.length > 2);
      return asked.length > 1 && asked.every((form) => joined.includes(form)) ? score >> 2 : 0;
    }

    /** Walk an entry's best way back and name the steps that were not the typed words. */
    function reasons(edges, best, /** @type {number} */ entry) {
      const found = [];
      for (let end = best.length - 1; end;) {
        const score = best[end][entry];
        let step = null;
        for (const edge of score === best[end - 1][entry] ? [] : edges) {
          if (edge.end !== end || step) continue;
          const taken = edge.options.find((each) => {
            const more = edge.weight * gain(each, entry) * each.factor >> 4;
            return more && best[edge.start][entry] + more === score;
          });
          if (taken) step = { start: edge.start, why: taken.why };
        }
        if (step && step.why && !found.includes(step.why)) found.unshift(step.why);
        end = step ? step.start : end - 1;
      }
      return found.join("; ");
    }

    /** The displays, of one plant or of all, that share most pairs of letters with a query. */
    function nearest(/** @type {string} */ typed, /** @type {number | null} */ plant) {
      const pairs = (/** @type {string} */ letters) => new Set([...letters].map((letter, at) => (at ? letters[at - 1] : " ") + letter)), asked = pairs(typed);
      return data.displays.filter((display) => plant === null || display[1] === plant).map(([shows, at, address]) => {
        const shown = pairs(keyOf(shows)), shared = [...shown].filter((pair) => asked.has(pair)).length;
        return { shows, equipment: equipment[at], address, alike: Math.floor(200 * shared / Math.max(1, asked.size + shown.size)) };
      }).filter(({ alike }) => alike >= 20).sort((a, b) => b.alike - a.alike).slice(0, 4);
    }

    /**
     * Rank the entries for whatever was typed; nothing in it is an operator.
     * @param {string} text
     * @param {{kind?: string, equipment?: string, limit?: number}} [filter]
     */
    function query(text, { kind = "", equipment: plant = "", limit = 20 } = {}) {
      const asked = atoms(text), words = asked.map((atom) => atom.text);
      const reading = read(asked), { n, edges, displays, codes, unknown, suggestion, jumps, how, nothingButParts } = reading;
      const best = [new Int32Array(size)];
      for (let end = 1, at = 0; end <= n; end++) {
        let here = best[end - 1];
        if (at < edges.length && edges[at].end === end) here = here.slice();
        for (; at < edges.length && edges[at].end === end; at++) {
          for (const each of edges[at].options) raise(best[edges[at].start], here, edges[at].weight, each);
        }
        best.push(here);
      }

      const scores = new Int32Array(size), counts = new Uint32Array(groups.length), found = best[n];
      for (const [shown, bonus] of [[codes, WITHIN], [displays, ON_TOP]]) {
        for (const at of new Set(shown.flatMap((term) => [...postings(term).entries]))) scores[at] += bonus;
      }
      const emergency = isEmergency(words), plantAt = plant ? equipment.indexOf(plant) : null;
      const ofGroups = groups.map(([at, ...plants]) => ({ name: kinds[at][0], plants, ofKind: !kind || kinds[at][0] === kind,
        fits: !plant || !plants.length || plants.includes(plantAt) }));
      const wanted = ofGroups.map(({ ofKind, fits }) => ofKind && fits), priors = groups.map(([at]) =>
        jumps && kinds[at][0] === "device" ? MAY_I_JUMP : how && kinds[at][0] === "procedure" ? HOW
        : emergency && kinds[at][0] === "caution" ? DANGER : data.priors[at]);
      const top = bestOf(found, scores, counts, wanted, priors, Math.max(limit, LOOKED_AT));
      for (const at of top) scores[at] += ofTitle(at, scores[at] % WITHIN, reading);
      top.sort((a, b) => scores[b] - scores[a] || a - b).splice(limit);

      const ofKinds = {}, ofPlants = {};
      let total = 0, general = 0;
      ofGroups.forEach(({ name, plants, ofKind, fits }, at) => {
        const many = counts[at];
        if (!many) return;
        if (fits) ofKinds[name] = (ofKinds[name] || 0) + many;
        if (fits && ofKind) total += many;
        if (ofKind && !plants.length) general += many;
        if (ofKind) for (const each of plants) ofPlants[equipment[each]] = (ofPlants[equipment[each]] || 0) + many;
      });
      // What belongs to no plant, such as a term, is about every plant.
      for (const each of Object.keys(ofPlants)) ofPlants[each] += general;
      return { results: top.map((at) => ({ ...entry(at), score: scores[at], why: reasons(edges, best, at) })), total, didYouMean: suggestion,
        emergency, notUnderstood: unknown, nearest: total && !nothingButParts ? [] : nearest(words.join(""), plantAt),
        kinds: ofKinds, equipment: ofPlants };
    }

    return { data, size, kindOf, stem, faint, entry, query };
  }

  window.kbgenSearch = { version: 2, open, atoms, fold, cost };
})();
