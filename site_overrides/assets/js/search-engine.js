// The symptom search in the browser: no DOM, no requests. It mirrors kbgen/search/ step by step and ranks to
// the same whole numbers; the tests hold the two together.
(function () {
  "use strict";

  const CODE = /^[a-z]{1,3}\d+[a-z]?$/;
  const ZERO_AS_O = /^([a-z]{1,2}?)(?=[o\d]*\d)([o\d]+)$/;
  const TOGETHER = 20, DISPLAY = 18, WHOLE = 16, SPLIT = 14, SYNONYM = 13, STEM = 12, BEGINNING = 12, ONE_EDIT = 11,
    BEGINNING_INSIDE = 9, BEGINNING_OF_KNOWN = 8, TWO_EDITS = 8, PART = 4, FAMILY = 3;
  const ASKED_FOR = 24, LOOKED_AT = 24, WITHIN = 1e6, ON_TOP = 2e6, NORMAL = 5e5, LONGEST = 32, FAR = 99;

  const isDigit = (/** @type {string} */ word) => word[0] <= "9";
  /** A decimal point, no leading zeros; other words stay. @param {string} digits */
  const number = (digits) => digits.replace(/,/g, ".").replace(/^0+(?=\d+$)/, "");

  const without_o = (/** @type {string} */ term) => {
    const code = ZERO_AS_O.exec(term);
    return code ? code[1] + number(code[2].replace(/o/g, "0")) : term;
  };

  /** 16 times the binary logarithm, rounded down. @param {number} n */
  const log2 = (n) => Math.floor(16 * Math.log2(n) + 1e-9);

  /** A bit for each letter of a word, other alphabets' sharing them; -1 for what is no plain word. @param {string} word */
  function mask(word) {
    let bits = 0;
    for (let at = 0; at < word.length; at++) {
      if (word.charCodeAt(at) < 97) return -1;
      bits |= 1 << word.charCodeAt(at);
    }
    return bits;
  }
  /** Whether more than n bits are set. @param {number} bits @param {number} n */
  const more = (bits, n) => {
    for (; bits && n; n--) bits &= bits - 1;
    return bits !== 0;
  };

  /** For each letter the keys around it, as bits: one row is eleven places before the next. */
  const KEYS = "qwertyuiop asdfghjkl  zxcvbnm", AROUND = new Int32Array(123);
  [...KEYS].forEach((key, at) => {
    for (const apart of [-12, -11, -10, -1, 1, 10, 11, 12]) AROUND[key.charCodeAt(0)] |= 1 << KEYS.charCodeAt(at + apart);
  });

  /** What it costs to mistype `word` as `typed`: 4 an edit, 3 a likely one. */
  function cost(/** @type {string} */ typed, /** @type {string} */ word, /** @type {number} */ most) {
    let before = [], above = [];
    for (let i = 0; i <= typed.length; i++) {
      const letter = typed.charCodeAt(i - 1), last = typed.charCodeAt(i - 2), around = AROUND[letter], row = [4 * i];
      let least = row[0];
      for (let j = 1; j <= word.length; j++) {
        const meant = word.charCodeAt(j - 1), prior = word.charCodeAt(j - 2);
        row[j] = i ? Math.min(above[j - 1] + (letter === meant ? 0 : meant < 123 && around >> meant & 1 ? 3 : 4),
          above[j] + (last === letter ? 3 : 4), row[j - 1] + (prior === meant ? 3 : 4),
          letter === prior && last === meant ? before[j - 2] + 3 : FAR) : 4 * j;
        least = Math.min(least, row[j]);
      }
      // The row before was at most 4 cheaper: not even a transposition comes back from here.
      if (least > 4 * most + 3) return FAR;
      before = above;
      above = row;
    }
    return above[word.length] > 4 * most ? FAR : above[word.length];
  }

  const sum = (/** @type {number[]} */ values) => values.reduce((a, b) => a + b, 0);

  /** The place of something in a sorted list, or of what comes after it. */
  function placeOf(sorted, wanted) {
    let low = 0, high = sorted.length;
    while (low < high) {
      const middle = low + high >> 1;
      if (sorted[middle] < wanted) low = middle + 1; else high = middle;
    }
    return low;
  }

  /** Put something among the few that are worth most; of equals the earlier comes first. */
  function rank(/** @type {number[]} */ top, /** @type {number} */ each, /** @type {number} */ most, worth) {
    let at = top.length;
    if (at === most && worth[each] <= worth[top[--at]]) return;
    for (; at > 0 && worth[each] > worth[top[at - 1]]; at--) top[at] = top[at - 1];
    top[at] = each;
  }

  /** Reads bits of base64, from one byte up to another, most significant first. */
  function reader(/** @type {string} */ text, start = 0, end = text.length) {
    const raw = atob(text.slice(Math.floor(start / 3) * 4, Math.ceil(end / 3) * 4)), view = new DataView(new ArrayBuffer(raw.length + 4));
    for (let i = 0; i < raw.length; i++) view.setUint8(i, raw.charCodeAt(i));
    let at = start % 3 * 8;
    /** The next 25 bits, left in a word. */
    const ahead = () => view.getUint32(at >> 3) << (at & 7);
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
    const { language, gains } = data, size = data.grouped.length;
    const { numbers, flashes, misheard, letters, units, denials } = language, whole = new Set(language.whole), faint = new Set(language.faint);

    /** Lower case without accents and apostrophes; of ASCII only ' and ` are among the signs. @param {string} text */
    const fold = (text) => text.replace(/[^\0-&(-_a-\x7f]/g, (sign) => language.signs[sign] ?? sign).normalize("NFKD").replace(/[\u0300-\u036f]/g, "").toLowerCase();

    /** Runs of letters and numbers; whether each touches the one before. @param {string} text */
    function atoms(text) {
      let end = -1;
      return Array.from(fold(text).matchAll(/[-‐–−_.:]?(\d+(?:[.,]\d+)*|[\p{L}\p{Nl}\p{No}]+)/gu), (match) => {
        const touches = match.index === end;
        end = match.index + match[0].length;
        return { text: number(match[1]), touches };
      });
    }
    const wordsOf = (/** @type {string} */ text) => atoms(text).map((atom) => atom.text);
    const keyOf = (/** @type {string} */ text) => wordsOf(text).join("");

    const stems = new Map();
    function stem(/** @type {string} */ word) {
      if (whole.has(word)) return word;
      let form = stems.get(word);
      if (form) return form;
      form = word;
      for (const rules of language.rounds) {
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
    const decoded = (/** @type {string} */ coded, before = "") => coded ? coded.split("\n").map((line) => before = before.slice(0, line.charCodeAt(0) - 48) + line.slice(1)) : [];
    const terms = decoded(data.terms), right = new Set(decoded(data.right));
    const frequency = new Uint32Array(terms.length), starts = [0], heads = reader(data.heads);
    for (let at = 0; at < terms.length; at++) {
      if (at % data.group === 0) starts.push(starts.at(-1) + heads.gamma() - 1);
      frequency[at] = heads.gamma();
    }

    const find = (/** @type {string} */ term) => {
      const at = placeOf(terms, term);
      return terms[at] === term ? at : -1;
    };
    /** The terms that begin so. */
    const starting = (/** @type {string} */ beginning) => {
      const found = [];
      for (let at = placeOf(terms, beginning); at < terms.length && terms[at].startsWith(beginning); at++) found.push(at);
      return found;
    };

    const logSize = log2(size);
    const weightOf = (options) => options.length && logSize + 8 - log2(Math.min(size, sum(options.map((each) => each.entries.length))));
    const faintly = (/** @type {number} */ value, /** @type {string} */ word) => faint.has(word) && value ? Math.max(1, value >> 2) : value;

    // ---- Postings: the entries of a term and what it gains each, unpacked a group at a time.
    const unpacked = [];
    function postings(/** @type {number} */ term) {
      if (!unpacked[term]) {
        const from = term - term % data.group, group = from / data.group, bits = reader(data.postings, starts[group], starts[group + 1]);
        frequency.slice(from, from + data.group).forEach((n, at) => {
          const entries = bits.between(new Uint32Array(n), 0, n, 0, size - 1), row = new Uint8Array(n).fill(gains[0]), others = bits.below(n + 1);
          for (const i of bits.between(new Uint32Array(others), 0, others, 0, n - 1)) row[i] = gains[bits.level() + 1];
          unpacked[from + at] = { entries, row };
        });
      }
      return unpacked[term];
    }
    /** What it gains an entry to have a term: 0 when it has not. */
    const gain = ({ entries, row }, /** @type {number} */ entry) => {
      const at = placeOf(entries, entry);
      return entries[at] === entry ? row[at] : 0;
    };

    // ---- One way to understand a stretch: the entries that have it, what it counts in sixteenths, and why.
    const option = (/** @type {number} */ term, /** @type {number} */ factor, why = "") => ({ ...postings(term), factor, why });
    /** A term as the only option, when any entry has it. */
    const known = (/** @type {string} */ term, factor = WHOLE, why = "") => {
      const at = find(term);
      return at < 0 ? [] : [option(at, factor, why)];
    };

    // ---- What is shown.
    const ofGroup = Uint16Array.from(data.grouped, (sign) => sign.charCodeAt(0) - 48);
    const groups = data.groups.map(([at, ...plants]) => {
      const [kind, , folder, prior] = data.kinds[at];
      return { kind, folder, prior, plants: plants.map((each) => data.equipment[each]) };
    });
    const groupOf = (/** @type {number} */ entry) => groups[ofGroup[entry]];
    const lines = {};
    const line = (/** @type {string} */ name, /** @type {number} */ at) => (lines[name] ??= data[name].split("\n"))[at] || "";
    function entry(/** @type {number} */ at) {
      const { kind, folder, plants } = groupOf(at), title = line("titles", at), id = line("ids", at) || title.toLowerCase().replace(/[^a-z\d]+/g, "-");
      return { kind, id, title, address: line("addresses", at) || folder + "/" + id + ".html",
        equipment: plants, summary: line("summaries", at), note: line("notes", at), draft: data.drafts.includes(at) };
    }

    // ---- Words that mean something only together: kbgen/search/compounds.py
    const value = (/** @type {string} */ word) => numbers[word] ?? (/^\d\d?$/.test(word) ? +word : null);

    /** Short flashes are counted first, however it is said: "1 long 3 short" is "3 short 1 long". */
    function flashCount(words, query, /** @type {number} */ start) {
      const values = [], before = words[start - 1] || "";
      let seen = before.length > 1 && before in flashes, touching = true, lengths = "", end = start;
      for (let at = start; at < words.length; at++) {
        const word = words[at], n = value(word) ?? (words[at + 1] in flashes ? misheard[word] : null);
        if (n != null) {
          if (n >= 20 || values.length === 4) break;
          touching &&= at === start || query[at].touches;
          values.push(n);
          end = at + 1;
        } else if (word in flashes && (word.length > 1 || query[at].touches)) {
          lengths += flashes[word];
          seen ||= word.length > 1 || new Set(lengths).size > 1;
          end = at + 1;
        } else if (!language.between.includes(word)) break;
      }
      const plain = touching || language.codes.includes(before) || (start === 0 && end === words.length), one = values.length < 2;
      if (!values.length || !(seen || (plain && !one)) || (one && words[start] in misheard)) return null;
      if (lengths === "ls" && values.length === 2) values.reverse();
      return [start, end, values.join("_") + (one ? "_" : "")];
    }

    function compounds(words, query) {
      let counted = 0;
      return words.flatMap((word, at) => {
        const following = words[at + 1], flash = at >= counted && (isDigit(word) || word in numbers || word in misheard) && flashCount(words, query, at);
        if (flash) counted = flash[1];
        return [flash, isDigit(word) && following in units && [at, at + 2, word + units[following]],
          denials.includes(word) && following && [at, at + 2, "!" + stem(following)]].filter(Boolean);
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
        const last = at + 1 === words.length, filler = language.fillers.includes(word);
        if (spelt || (said && (last || !filler))) {
          for (const term of [word, letters[word] ?? (last || spelt ? language.last_letters[word] : "")]) if (term) found.push([at, at + 1, term]);
        }
        spelt = language.spells.includes(word);
        said = spelt || language.codes.includes(word) || (said && filler);
      });
      return found;
    }

    const spoken = (words) => words.flatMap((word, start) => {
      const spelt = letters[word] ?? word;
      let end = start + 1, digits = "", tens = false;
      if (spelt.length > 2 || isDigit(spelt)) return [];
      for (; end < words.length && digits.length < 4; end++) {
        const n = value(words[end]);
        if (n === null) {
          if (digits || !language.dashes.includes(words[end])) break;
          continue;
        }
        digits = tens && n > 0 && n < 10 ? String(+digits + n) : digits + n;
        tens = words[end] in numbers && n >= 20;
      }
      return digits ? [[start, end, spelt + number(digits)]] : [];
    });

    // ---- What a word may stand for: kbgen/search/expand.py
    const inflections = (/** @type {string} */ word) => {
      const base = stem(word);
      return starting(base.slice(0, Math.max(2, base.length - 1))).filter((at) => terms[at] !== word && stem(terms[at]) === base);
    };
    /** The most frequent terms that begin so. */
    const beginnings = (/** @type {string} */ word, /** @type {number} */ factor, reason = why("starts", word)) => {
      const top = [];
      for (const at of starting(word)) if (terms[at] !== word) rank(top, at, 48, frequency);
      return top.map((at) => option(at, factor, reason));
    };

    // The other names of a thing under each of its names, the last word as its stem.
    const stemmed = (/** @type {string} */ joined, /** @type {string} */ last) => joined.slice(0, joined.length - last.length) + stem(last);
    const synonyms = Object.create(null);
    const alsoCalled = (names, others = names) => names.forEach((typed) => {
      const own = keyOf(typed), known = synonyms[stemmed(own, wordsOf(typed).pop())] ??= new Map();
      for (const other of others) if (keyOf(other) !== own) known.set(keyOf(other), [typed, other]);
    });
    for (const [typed, other] of language.heard) alsoCalled([typed], [other]);
    for (const group of data.synonyms) alsoCalled(group);
    const namesOf = (/** @type {string} */ joined, /** @type {string} */ last) => [...synonyms[stemmed(joined, last)] || []];

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
      const shortest = (words) => Math.min(...words.map((part) => part.length));
      const [best = []] = splits(word, 3).sort((a, b) => shortest(b) - shortest(a));
      const [one, ...others] = best.flatMap((part) => known(part, SPLIT, why("same", word, best.join(" "))));
      return one ? [{ ...one, row: one.row.map((gained, i) => Math.min(gained, ...others.map((each) => gain(each, one.entries[i])))) }] : [];
    }

    /** Plain words by length, and the letters of each; made for the first word that is in no entry. */
    let byLength = null;
    const masks = new Int32Array(terms.length);
    function misspelt(/** @type {string} */ word) {
      if (!byLength) {
        byLength = [];
        terms.forEach((term, at) => {
          masks[at] = term.length > 2 ? mask(term) : -1;
          if (masks[at] !== -1) (byLength[term.length] ??= []).push(at);
        });
      }
      const own = mask(word);
      for (const [edits, factor] of [[1, ONE_EDIT], [2, TWO_EDITS]]) {
        const near = [];
        for (let length = word.length - edits; length <= word.length + edits && word.length > 2 * edits; length++) {
          for (const at of byLength[length] || []) {
            const price = more(own & ~masks[at], edits) || more(masks[at] & ~own, edits) ? FAR : cost(word, terms[at], edits);
            if (price < FAR) near.push([price, -frequency[at], at]);
          }
        }
        if (!near.length) continue;
        near.sort((a, b) => a[0] - b[0] || a[1] - b[1] || a[2] - b[2]);
        return [near.slice(0, 5).flatMap(([, , at]) => {
          const reason = why("near", word, terms[at]);
          return [option(at, factor, reason), ...inflections(terms[at]).map((form) => option(form, factor - FAMILY, reason))];
        }), terms[near[0][2]]];
      }
      return [[], word];
    }

    // ---- The plant a query names: kbgen/search/plant.py
    const named = Object.create(null);
    for (const [plant, calls] of data.plants) {
      for (const call of calls) {
        const forms = wordsOf(call).map(stem);
        if (forms.length && !(named[forms[0]] ??= []).some(([other]) => other.join() === forms.join())) named[forms[0]].push([forms, plant]);
      }
    }
    for (const first in named) named[first].sort((a, b) => b[0].length - a[0].length);
    /** The only plant that is named, and the places of the words that name it. */
    function naming(/** @type {string[]} */ words) {
      const forms = words.map(stem), found = Object.create(null);
      for (let at = 0; at < words.length; at++) {
        const name = (named[forms[at]] || []).find(([call]) => call.every((form, i) => forms[at + i] === form) && !language.places.includes(words[at + call.length]));
        if (!name) continue;
        const spots = found[name[1]] ??= new Set();
        for (const end = at + name[0].length; at < end; at++) spots.add(at);
        at--;
      }
      const plants = Object.keys(found);
      return plants.length === 1 ? [plants[0], found[plants[0]]] : ["", new Set()];
    }
    const inside = ({ start, end }, places) => {
      for (let at = start; at < end; at++) if (!places.has(at)) return false;
      return true;
    };

    /** Understand a query: kbgen/search/reading.py */
    function read(query, naming) {
      const seen = new Set();
      if (query.length > LONGEST) query = query.filter(({ text }) => !seen.has(text) && seen.add(text));
      const words = query.map((atom) => atom.text), n = words.length, short = n <= LONGEST, all = words.join("");
      const edges = [], displays = new Set(), codes = new Set(), askedFor = new Set(), unknown = new Set(), suggestion = [...words];
      /** Words of a code: settled when it was found, so that they mean nothing alone; else part of what is no code. */
      const settled = words.map(() => false), partOf = words.map(() => "");
      const weights = words.map((word) => faintly(weightOf(known(word)), word));

      const add = (start, end, options, counts = weightOf(options)) => {
        const weight = Math.max(counts, sum(weights.slice(start, end)));
        for (const each of options) edges.push({ ...each, start, end, weight });
        return options.length > 0;
      };
      const together = (start, end, term, reason) => add(start, end, known(term, TOGETHER, reason));
      const code = (start, end, term) => {
        if (find("=" + term) < 0) return;
        (end - start === n ? displays : codes).add(term);
        if (term.length === 1 || term.includes("_") || CODE.test(term)) askedFor.add(term);
      };
      const rename = (start, end, joined) => {
        const own = known(joined), options = namesOf(joined, words[end - 1]).flatMap(([term, pair]) => term === joined ? [] : known(term, SYNONYM, why("same", ...pair)));
        add(start, end, options, faintly(weightOf(own.length ? own : options), joined));
      };

      for (let start = 0; start < n; start++) {
        for (let joined = "", end = start; end < Math.min(start + 5, n);) {
          joined += words[end++];
          if (short) rename(start, end, joined);
          if (end === start + 1) continue;
          const term = without_o(joined);
          let found = together(start, end, joined);
          if (!CODE.test(term)) continue;
          found ||= term !== joined && together(start, end, term);
          if (!found && joined.endsWith("0")) together(start, end, joined.slice(0, -1) + "o");
          code(start, end, term);
          found ||= end === n && short && add(start, n, beginnings(joined, BEGINNING));
          if (found) settled.fill(true, start, end);
          else if (query.slice(start + 1, end).every((atom) => atom.touches)) {
            partOf.fill(joined, start, end);
            askedFor.add(term);
          }
        }
      }
      for (const [start, end, term] of shown(words)) code(start, end, term);
      for (const [start, end, term] of compounds(words, query)) {
        together(start, end, term);
        if (!term.includes("_")) continue;
        code(start, end, term);
        if (words.some((word) => word.length > 1 && word in language.flashes)) askedFor.add(term);
      }
      for (const [start, end, term] of spoken(words)) {
        const typed = words.slice(start, end);
        if (typed.join("") === term) continue;
        const found = together(start, end, term, why("same", typed.join(" "), term.toUpperCase())), alone = end - start === n;
        if (found || alone) settled.fill(true, start, end);
        if (alone && !found) {
          unknown.add(term);
          askedFor.add(term);
        }
        code(start, end, term);
      }

      const stretches = [...edges];
      words.forEach((word, at) => {
        if (settled[at]) return;
        if (!short) return add(at, at + 1, known(word), 0);
        const plain = !isDigit(word), part = partOf[at], filling = faint.has(word) || denials.includes(word);
        if (part) {
          unknown.add(part);
          return plain || add(at, at + 1, known(word, PART, why("part", part, word)));
        }
        const covered = stretches.some((edge) => edge.start <= at && at < edge.end);
        let options = single(word, at, n, covered);
        if (!options.length && !covered && plain && !(word in numbers) && !filling) {
          // A right word is offered as another, and not taken for one.
          const [near, meant] = misspelt(word);
          suggestion[at] = meant;
          if (!right.has(stem(word))) options = near;
        }
        if (!add(at, at + 1, options, faintly(weightOf(options), word)) && !covered && !filling) unknown.add(word);
      });
      if (!short) edges.sort((a, b) => b.weight - a.weight).splice(48);
      else if (all && n <= 12) {
        for (const term of [all, without_o(all)]) code(0, n, term);
        if (all.length > 2) add(0, n, beginnings("=" + all, DISPLAY, ""));
      }
      const said = suggestion.join(" ");
      const named = short ? naming : new Set(), left = edges.filter((edge) => !inside(edge, named));
      return { n, edges: left, displays, codes, asked: [...askedFor], unknown: [...unknown], ...asking(suggestion, left, named),
        suggestion: said === words.join(" ") ? null : said };
    }

    /** What it asks for: kbgen/search/asking.py. If to jump something, what it names counts and the asking little. */
    function asking(/** @type {string[]} */ words, edges, named) {
      const forms = words.map(stem), telling = words.map((word) => !faint.has(word)), all = new Set(forms.filter((_, at) => telling[at]));
      const foundJumper = bypasses.some((way) => way.every((form) => forms.includes(form))) && words.some((word) => language.findings.includes(word));
      const ways = foundJumper ? [] : bypasses.filter((way) => way.length < all.size && way.every((form) => all.has(form))).flat();
      const told = new Set(forms.filter((_, at) => telling[at] && !named.has(at)));
      for (const edge of edges) {
        if (forms.slice(edge.start, edge.end).every((form) => ways.includes(form))) edge.weight = Math.max(1, edge.weight >> 2);
      }
      const text = " " + words.join(" ") + " ", naming = words.filter((_, at) => telling[at] && !named.has(at) && !ways.includes(forms[at]));
      const meant = new Set([words, naming].flatMap((said) => [said.join(""), ...namesOf(said.join(""), said.at(-1) || "").map(([term]) => term)]));
      const begins = (beginnings) => beginnings.some((beginning) => text.includes(" " + beginning + " "));
      return { told, meant, foundJumper, jumps: ways.length > 0, how: begins(language.tasks), what: begins(language.meanings) };
    }

    /** The word itself, its inflections, what it begins, what it is made of. */
    function single(/** @type {string} */ word, /** @type {number} */ at, /** @type {number} */ n, /** @type {boolean} */ covered) {
      const plain = !isDigit(word), options = known(word);
      if (plain) for (const form of inflections(word)) options.push(option(form, STEM, why("form", word, terms[form])));
      const alone = !options.length && !covered, last = at + 1 === n;
      if (covered && word in units) return options;
      if ((last && (plain || at === 0)) || (alone && plain && word.length > 2)) {
        const taken = options.map((each) => each.row);
        options.push(...beginnings(word, !last ? BEGINNING_INSIDE : taken.length ? BEGINNING_OF_KNOWN : BEGINNING)
          .filter((each) => !taken.includes(each.row)));
      }
      return alone && plain ? [...options, ...parts(word)] : options;
    }

    const dangerOf = kbgenDanger.open(data.danger, { stem, cost, reader, known: (word) => find(word) >= 0 || inflections(word).length > 0 });

    /** Add up the scores, note those of each group and return the best of the wanted entries. */
    function bestOf(/** @type {Int32Array} */ found, /** @type {Int32Array} */ scores, ofGroups, /** @type {number} */ page, /** @type {number} */ most) {
      const top = [];
      let best = 0;
      for (let at = 0; at < size; at++) {
        const group = ofGroups[ofGroup[at]];
        scores[at] += found[at] * group.prior >> 4;
        if (group.fits && scores[at] > best) best = scores[at];
      }
      if (page >= 0) scores[page] = best + 1;
      for (let at = 0; at < size; at++) {
        const group = ofGroups[ofGroup[at]];
        if (!scores[at]) continue;
        group.scores.push(scores[at]);
        if (group.ofKind && group.fits) rank(top, at, most, scores);
      }
      return top;
    }
    /** How many answer: with at least two fifths of the best score. */
    const answering = (ofGroups) => {
      const scores = ofGroups.flatMap((each) => each.scores);
      let best = 0, many = 0;
      for (const score of scores) if (score > best) best = score;
      for (const score of scores) if (score * 5 >= best * 2) many++;
      return many;
    };

    /** What is added for a title: of a device to be jumped, of what was named or is shown, or saying all. */
    function ofTitle(/** @type {number} */ at, /** @type {number} */ score, { told, jumps, meant, displays, codes }) {
      const title = atoms(line("titles", at)), words = title.map((atom) => atom.text), joined = words.join("");
      if (jumps && groupOf(at).kind === "device" && words.every((word) => told.has(stem(word)))) return score;
      if (meant.has(joined)) return score - (score >> 2);
      if ([...displays, ...codes].some((term) => runs(title).includes(term))) return score >> 2;
      const asked = [...told].filter((form) => form.length > 2);
      return asked.length > 1 && asked.every((form) => joined.includes(form)) ? score >> 2 : 0;
    }

    /** Raise the scores of the entries an edge leads to. */
    function raise(/** @type {Int32Array} */ from, /** @type {Int32Array} */ here, edge) {
      const { entries, row } = edge;
      for (let i = 0; i < entries.length; i++) {
        const at = entries[i], score = from[at] + worth(edge, row[i]);
        if (score > here[at]) here[at] = score;
      }
    }
    const worth = (edge, /** @type {number} */ gained) => edge.weight * gained * edge.factor >> 4;

    /** Walk an entry's best way back and name the steps that were not the typed words. */
    function reasons(edges, best, /** @type {number} */ entry) {
      const found = [];
      for (let end = best.length - 1; end;) {
        const score = best[end][entry], step = score !== best[end - 1][entry] && edges.find((edge) =>
          edge.end === end && best[edge.start][entry] + worth(edge, gain(edge, entry)) === score);
        if (step && step.why && !found.includes(step.why)) found.unshift(step.why);
        end = step ? step.start : end - 1;
      }
      return found.join("; ");
    }

    /** The displays, of one plant or of all, that share most pairs of letters with a query. */
    function nearest(/** @type {string} */ typed, /** @type {string} */ plant) {
      const pairs = (/** @type {string} */ letters) => new Set([...letters].map((letter, at) => (letters[at - 1] || " ") + letter)), asked = pairs(typed);
      return data.displays.filter(([, at]) => !plant || data.equipment[at] === plant).map(([shows, at, address]) => {
        const shown = pairs(keyOf(shows)), shared = [...shown].filter((pair) => asked.has(pair)).length;
        return { shows, equipment: data.equipment[at], address, alike: Math.floor(200 * shared / (asked.size + shown.size)) };
      }).filter(({ alike }) => alike >= 20).sort((a, b) => b.alike - a.alike).slice(0, 4);
    }

    /** The place of a plant's own entry, or -1. */
    function pageOf(/** @type {string} */ plant) {
      for (let at = 0; at < size; at++) if (groupOf(at).kind === "equipment" && entry(at).id === plant) return at;
      return -1;
    }
    /** What a plant's row says when its panel does not show what was typed. */
    function showsInstead(/** @type {string} */ plant, /** @type {string[]} */ absent) {
      const own = data.displays.filter(([, at]) => data.equipment[at] === plant).map(([shows]) => shows);
      const codes = own.filter((shows) => shows.length === 1 || /[0-9]/.test(shows));
      return why("absent", absent.join(", "), (codes.length ? codes : own).join(", "));
    }

    /**
     * Rank the entries for whatever was typed; nothing in it is an operator.
     * @param {string} text
     * @param {{kind?: string, equipment?: string, limit?: number}} [filter]
     */
    function query(text, { kind = "", equipment: given = "", limit = 20, sure = false } = {}) {
      const asked = atoms(text), words = asked.map((atom) => atom.text);
      let [plant, places] = naming(words);
      if (sure && plant !== given) [plant, places] = ["", new Set()];
      const remembered = plant ? "" : given, only = words.every((word, at) => faint.has(word) || places.has(at));
      const reading = read(asked, only ? new Set() : places), { n, edges } = reading;
      plant ||= given;
      const best = [new Int32Array(size)];
      for (let end = 1; end <= n; end++) {
        const here = best[end] = best[end - 1].slice();
        for (const edge of edges) if (edge.end === end) raise(best[edge.start], here, edge);
      }

      const danger = dangerOf(words), about = (plants, /** @type {string} */ id) => !id || !plants.length || plants.includes(id);
      const asks = { device: reading.jumps, procedure: reading.how, term: reading.what, caution: reading.foundJumper || reading.jumps || danger && danger !== "stop", symptom: danger === "stop" };
      const ofGroups = groups.map((each) => ({ ...each, prior: asks[each.kind] ? ASKED_FOR : each.prior, scores: [],
        ofKind: !kind || each.kind === kind, fits: about(each.plants, plant) }));
      const scores = new Int32Array(size), said = [...reading.codes, ...reading.displays];
      for (const [shown, bonus] of [[reading.codes, WITHIN], [reading.displays, ON_TOP]]) {
        for (const at of new Set([...shown].flatMap((term) => [...postings(find("=" + term)).entries]))) {
          scores[at] += bonus + (groupOf(at).kind === "equipment" ? NORMAL : 0);
        }
      }
      const shows = (/** @type {string} */ term) => [...postings(find("=" + term)).entries].some((at) => !plant || groupOf(at).plants.includes(plant));
      /** Codes and flash counts that this plant does not show; its own page then says what it shows and stands first. */
      const absent = reading.asked.some((term) => find("=" + term) >= 0 && shows(term)) ? [] : reading.asked.map((term) => term.replace(/_$/, "").replace(/_/g, "-").toUpperCase());
      const page = absent.length ? pageOf(plant) : -1;
      const top = bestOf(best[n], scores, ofGroups, page, Math.max(limit, LOOKED_AT));
      const total = ofGroups.some((each) => each.ofKind && each.fits && each.scores.length);
      const answers = answering(ofGroups.filter((each) => each.ofKind && each.fits)), bestHere = top.length ? scores[top[0]] : 0;
      for (const at of top) scores[at] += ofTitle(at, scores[at] % WITHIN, reading);
      if (top.includes(page)) scores[page] = 1 + Math.max(...top.map((at) => scores[at]));
      top.sort((a, b) => scores[b] - scores[a]).splice(limit);

      const ofKinds = {}, ofPlants = Object.create(null), better = Object.create(null);
      for (const { kind: each, plants, ofKind, fits, scores: found } of ofGroups) {
        if (!found.length) continue;
        if (fits) ofKinds[each] ??= answering(ofGroups.filter((other) => other.kind === each && other.fits));
        if (!ofKind) continue;
        const above = remembered ? found.filter((score) => score > bestHere).length : 0;
        for (const id of plants) {
          ofPlants[id] ??= answering(ofGroups.filter((other) => other.ofKind && about(other.plants, id)));
          if (above) better[id] = (better[id] || 0) + above;
        }
      }
      /** What a display of normal running means, when it was typed and the entry is its plant. */
      const normal = ({ kind: each, id }) => each === "equipment" ? data.displays.filter(([shows, at, , means]) =>
        means && data.equipment[at] === id && runs(atoms(shows)).some((term) => said.includes(term))).map(([shows, , , means]) => shows + ": " + means + ".").join(" ") : "";
      return { results: top.map((at) => {
        const each = entry(at);
        return { ...each, note: at === page ? showsInstead(each.id, absent) : normal(each) || each.note, score: scores[at], why: reasons(edges, best, at) };
      }), answers, plant, better, absent, exact: reading.displays.size > 0 && !absent.length, didYouMean: reading.suggestion,
        danger, notUnderstood: reading.unknown, nearest: total && !absent.length ? [] : nearest(absent.length ? keyOf(absent[0]) : words.join(""), plant),
        kinds: ofKinds, equipment: ofPlants };
    }

    return { data, size, fold, atoms, stem, faint, groupOf, entry, query };
  }

  window.kbgenSearch = { version: 5, open, cost };
})();
