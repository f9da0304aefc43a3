// Finds notes in the page, from files that script tags load: no server, no network.
// Says letter for letter what kbgen/search says at the bench; tests hold the two together.
"use strict";
(function () {

// ---------------------------------------------------------------- stems (Snowball English)

const WHOLE = new Map(Object.entries({
  skis: "ski", skies: "sky", idly: "idl", gently: "gentl", ugly: "ugli", early: "earli",
  only: "onli", singly: "singl", andes: "andes", atlas: "atlas", bias: "bias",
  cosmos: "cosmos", howe: "howe", news: "news", sky: "sky",
}));
const HEADS = /^(?:arsen|commun|emerg|gener|inter|later|organ|past|univers)/;
const STEP2 = [
  ["ational", "ate"], ["ization", "ize"], ["fulness", "ful"], ["ousness", "ous"],
  ["iveness", "ive"], ["biliti", "ble"], ["lessli", "less"], ["tional", "tion"],
  ["ation", "ate"], ["alism", "al"], ["aliti", "al"], ["iviti", "ive"], ["ousli", "ous"],
  ["entli", "ent"], ["fulli", "ful"], ["ogist", "og"], ["enci", "ence"], ["anci", "ance"],
  ["abli", "able"], ["izer", "ize"], ["ator", "ate"], ["alli", "al"], ["bli", "ble"],
  ["ogi", "og"], ["li", ""],
];
const STEP3 = [
  ["ational", "ate"], ["tional", "tion"], ["alize", "al"], ["icate", "ic"], ["iciti", "ic"],
  ["ative", ""], ["ical", "ic"], ["ness", ""], ["ful", ""],
];
const STEP4 = [
  "ement", "ance", "ence", "able", "ible", "ment", "ant", "ent", "ism", "ate", "iti", "ous",
  "ive", "ize", "ion", "al", "er", "ic",
];

function regionAfter(word, from) {
  const found = /[aeiouy][^aeiouy]/.exec(word.slice(from));
  return found ? from + found.index + 2 : word.length;
}

function endsShort(word) {
  return /[^aeiouy][aeiouy][^aeiouywxY]$/.test(word) || /^[aeiouy][^aeiouy]$/.test(word)
    || word.endsWith("past");
}

function step1b(word, p1) {
  const found = /(?:eedly|ingly|edly|eed|ing|ed)$/.exec(word);
  if (!found) return word;
  const suffix = found[0];
  let head = word.slice(0, found.index);
  if (suffix === "eed" || suffix === "eedly") {
    return found.index >= p1 && !/^(?:succ|proc|exc)$/.test(head) ? head + "ee" : word;
  }
  if (suffix === "ing") {
    if (/^[^aeiouy]y$/.test(head)) return head[0] + "ie";
    if (/^(?:even|cann|inn|earr|herr|out)$/.test(head)) return word;
  }
  if (!/[aeiouy]/.test(head)) return word;
  if (/(?:at|bl|iz)$/.test(head)) return head + "e";
  if (/(?:bb|dd|ff|gg|mm|nn|pp|rr|tt)$/.test(head)) {
    return /^[aeo]..$/.test(head) ? head : head.slice(0, -1);
  }
  return head.length === p1 && endsShort(head) ? head + "e" : head;
}

const stems = new Map();
function stem(word) {
  if (!stems.has(word)) stems.set(word, stemmed(word));
  return stems.get(word);
}

function stemmed(said) {
  if (WHOLE.has(said)) return WHOLE.get(said);
  if (said.length < 3) return said;
  let word = said.replace(/^y/, "Y").replace(/([aeiouy])y/g, "$1Y");
  const head = HEADS.exec(word);
  const p1 = head ? head[0].length : regionAfter(word, 0);
  const p2 = regionAfter(word, p1);
  // 1a
  if (word.endsWith("sses")) word = word.slice(0, -2);
  else if (/(?:ied|ies)$/.test(word)) word = word.slice(0, word.length > 4 ? -2 : -1);
  else if (!/(?:us|ss)$/.test(word) && /[aeiouy].+s$/.test(word)) word = word.slice(0, -1);
  word = step1b(word, p1);
  // 1c
  if (/.[^aeiouy][yY]$/.test(word)) word = word.slice(0, -1) + "i";
  // 2
  for (const [suffix, instead] of STEP2) {
    if (!word.endsWith(suffix)) continue;
    const at = word.length - suffix.length;
    if (at >= p1 && !(suffix === "ogi" && word[at - 1] !== "l")
        && !(suffix === "li" && !/[cdeghkmnrt]/.test(word[at - 1] || ""))) {
      word = word.slice(0, at) + instead;
    }
    break;
  }
  // 3
  for (const [suffix, instead] of STEP3) {
    if (!word.endsWith(suffix)) continue;
    const at = word.length - suffix.length;
    if (at >= p1 && (suffix !== "ative" || at >= p2)) word = word.slice(0, at) + instead;
    break;
  }
  // 4
  for (const suffix of STEP4) {
    if (!word.endsWith(suffix)) continue;
    const at = word.length - suffix.length;
    if (at >= p2 && (suffix !== "ion" || /[st]/.test(word[at - 1] || ""))) {
      word = word.slice(0, at);
    }
    break;
  }
  // 5
  const last = word.length - 1;
  if (word[last] === "e") {
    if (last >= p2 || (last >= p1 && !endsShort(word.slice(0, -1)))) word = word.slice(0, -1);
  } else if (word[last] === "l" && last >= p2 && word[last - 1] === "l") {
    word = word.slice(0, -1);
  }
  return word.replace(/Y/g, "y");
}

// ---------------------------------------------------------------- packed numbers and words

const ALPHABET = Array.from({ length: 95 }, (_, code) => String.fromCharCode(code + 32))
  .filter((sign) => sign !== '"' && sign !== "\\");
const LAST = 60;
const CARRY = ALPHABET.length - LAST;
const DIGIT = new Int32Array(128);
ALPHABET.forEach((sign, digit) => { DIGIT[sign.charCodeAt(0)] = digit; });

function reader(text, from = 0) {
  let at = from;
  return {
    next() {
      let carried = 0;
      for (;;) {
        const digit = DIGIT[text.charCodeAt(at++)];
        if (digit < LAST) return carried * LAST + digit;
        carried = carried * CARRY + digit - LAST + 1;
      }
    },
    more: () => at < text.length,
  };
}

function unpacked(text) {
  const numbers = [];
  const from = reader(text);
  while (from.more()) numbers.push(from.next());
  return numbers;
}

// ---------------------------------------------------------------- files by script tag

const waiting = new Map();
const arrived = new Map();

function receive(name, data) { arrived.set(name, data); }
window.kbgenFind = receive;

function load(name) {
  if (arrived.has(name)) return Promise.resolve(arrived.get(name));
  if (!waiting.has(name)) {
    waiting.set(name, new Promise((resolve, reject) => {
      const script = document.createElement("script");
      const gone = (why) => { waiting.delete(name); script.remove(); return why; };
      script.src = "find/" + name + ".js";
      script.onload = () => {
        gone();
        if (arrived.has(name)) resolve(arrived.get(name));
        else reject(new Error("find/" + name + ".js holds something else"));
      };
      script.onerror = () => reject(gone(new Error("find/" + name + ".js is missing")));
      document.head.append(script);
    }));
  }
  return waiting.get(name);
}

// A reader who types gets all pieces of a small collection, one bundle after the other, so
// that no key stroke waits for a file. One question alone loads only what it needs.
let warming = null;
async function warm() {
  const base = await open();
  if (navigator.connection && navigator.connection.saveData) return;
  for (const name of base.bundles) {
    await new Promise((done) => {
      const script = document.createElement("script");
      script.src = "find/" + name + ".js";
      script.onload = script.onerror = () => { script.remove(); done(); };
      document.head.append(script);
    });
  }
}
const warmOnce = () => { warming = warming || warm(); return warming; };

// ---------------------------------------------------------------- words, threads, torques

const VULGAR = /[\u00bc-\u00be\u2150-\u215e\u2189]/g;
const LETTERS = /^[a-z]+$/;

function makeGrammar(data) {
  const stop = new Set(data.stop.split(" "));
  const wordPattern = new RegExp(data.word, "g");
  const initials = new RegExp(data.initials, "g");
  const atomPattern = new RegExp(data.atom, "g");
  const spelled = new Map(Object.entries(data.spelled));
  const endings = new Set(data.endings);
  const denominators = new Set(data.denominators);
  const pairs = new Set(data.pairs);
  const own = (table, key) => Object.prototype.hasOwnProperty.call(table, key);
  const patterns = data.patterns.map((source) => new RegExp(source, "g"));
  const readers = [torque, metric, ba, pipe, inch, sized];

  function fold(text) {
    if (/^[\x00-\x7f]*$/.test(text)) return text.toLowerCase();
    const spell = (whole) => Array.from(whole, (sign) => spelled.get(sign) ?? sign).join("");
    return spell(spell(text.replace(VULGAR, " $&")).normalize("NFKD"))
      .replace(/[\u0300-\u036f]/g, "").replace(/[^\x00-\x7f]/gu, " ").toLowerCase();
  }
  const words = (text) => (fold(text).match(wordPattern) || [])
    .map((word) => word.replace(initials, ""));
  const atomsOf = (folded) => folded.match(atomPattern) || [];
  const plainTerms = (text) => words(text).filter((word) => !stop.has(word)).map(stem);

  function numberWord(atoms, at) {
    const word = atoms[at];
    if (own(data.numbers, word)) return [data.numbers[word], 1];
    if (!own(data.tens, word)) return [0, 0];
    if (own(data.tensParts, word + " " + atoms[at + 1])
        || own(data.tensParts, word + " " + atoms[at + 2])) return [0, 0];
    const step = atoms[at + 1] === "-" ? 2 : 1;
    const unit = own(data.numbers, atoms[at + step]) ? data.numbers[atoms[at + step]] : 10;
    return unit < 10 ? [data.tens[word] + unit, step + 1] : [data.tens[word], 1];
  }
  function partWord(atoms, at) {
    const skip = atoms[at] === "-" ? 1 : 0;
    const [a, b, c] = atoms.slice(at + skip, at + skip + 3);
    if (a === undefined) return [0, 0];
    if (own(data.parts, a)) return [data.parts[a], skip + 1];
    if (denominators.has(a) && endings.has(b)) return [Number(a), skip + 2];
    if (own(data.tensParts, a + " " + b)) return [data.tensParts[a + " " + b], skip + 2];
    if (b === "-" && own(data.tensParts, a + " " + c)) {
      return [data.tensParts[a + " " + c], skip + 3];
    }
    return [0, 0];
  }
  function spokenAtoms(text) {
    const said = atomsOf(fold(text));
    const out = [];
    const source = [];
    let at = 0;
    while (at < said.length) {
      const [number, taken] = numberWord(said, at);
      const whole = taken ? String(number) : said[at];
      const counted = taken || (/^[0-9]+$/.test(said[at]) ? 1 : 0);
      let [part, more] = partWord(said, at + counted);
      if (more && !counted && out[out.length - 1] === "/") more = 0;
      if (more) {
        out.push(counted ? whole : "1", "/", String(part));
        source.push(said.slice(at, at + counted + more), [], []);
        at += counted + more;
      } else {
        out.push(whole);
        source.push(said.slice(at, at + Math.max(1, taken)));
        at += Math.max(1, taken);
      }
    }
    return [out, source];
  }

  function plainNumber(text) {
    let number = text.replace(",", ".").replace(". ", "0.");
    if (number.includes(".")) number = number.replace(/0+$/, "").replace(/\.$/, "");
    const bare = number.replace(/^0+/, "");
    return !number.startsWith("0.") && bare ? bare : number;
  }
  const joined = (spaced) => spaced.replaceAll(" / ", "/");
  function metric(m) {
    const size = plainNumber(m[1]);
    const pitch = m[2] || m[3];
    if (!(Number(size) > 0 && Number(size) <= 100)) return [];
    if (pitch === undefined) return ["=m" + size];
    const plain = plainNumber(pitch);
    return Number(plain) > 0 && Number(plain) <= 8 ? ["=m" + size + "x" + plain, "=m" + size] : [];
  }
  function ba(m) { return ["=" + Number(m[1] || m[2] || m[3]) + "ba"]; }
  function pipe(m) { return ["=g" + joined(m[1])]; }
  function inch(m) {
    const [, before, fraction, sign, whole, , between, tpi, unit, after] = m;
    const pitch = tpi.includes(" ") ? tpi.replaceAll(" ", "").replace("1/2", ".5")
      : String(Number(tpi));
    const series = own(data.series, before || after || "") ? data.series[before || after] : "";
    if (!(Number(pitch) >= 4 && Number(pitch) <= 99)) return [];
    let size;
    if (fraction === undefined) {
      size = String(Number(whole));
      if (!(sign || unit || series || between) && !pairs.has(size + "-" + pitch)) return [];
    } else {
      size = joined(fraction);
    }
    const pair = "=" + size + "-" + pitch;
    return series ? [pair, pair + " " + series] : [pair];
  }
  function sized(m) {
    const word = m[1] || m[4] || "";
    if (!own(data.series, word)) return [];
    const key = (m[2] ? joined(m[2]) : String(Number(m[3]))) + " " + data.series[word];
    if (!own(data.pitches, key)) return [];
    const pair = "=" + key.replace(/ [a-z]+$/, "") + "-" + data.pitches[key];
    return [pair, pair + " " + data.series[word]];
  }
  function twoFigures(stated) {
    let value = stated;
    let exponent = 0;
    while (value >= 100) { value /= 10; exponent += 1; }
    while (value < 10) { value *= 10; exponent -= 1; }
    const figures = Math.floor(value + 0.5);
    return figures < 100 ? figures + "e" + exponent : "10e" + (exponent + 1);
  }
  function torque(m) {
    const factor = m[7] ? data.newtonMetres[m[7]]
      : data.forces[m[3] || m[6]] * data.levers[m[4] || m[5]];
    return [m[1], m[2]].filter(Boolean).map((text) => Number(text.replace(",", ".")))
      .filter((value) => value > 0).map((value) => "=" + twoFigures(value * factor) + "nm");
  }
  function readQuantities(text) {
    const [atoms, said] = spokenAtoms(text);
    const spaced = atoms.join(" ");
    const count = (piece) => piece.split(" ").length - 1;
    const found = [];
    patterns.forEach((pattern, kind) => {
      for (const match of spaced.matchAll(pattern)) {
        const start = match.index;
        const end = start + match[0].length;
        if (found.some((other) => start < other.end && other.start < end)) continue;
        const terms = readers[kind](match);
        if (!terms.length) continue;
        const first = count(spaced.slice(0, start));
        const last = first + count(match[0]) + 1;
        found.push({ start, end, terms, spoken: said.slice(first, last).flat(),
          pair: kind === 0 ? null : terms[0] });
      }
    });
    return found.sort((a, b) => a.start - b.start);
  }
  const stopsThatSlip = [...stop].filter((word) => word.length >= data.shortest).sort();
  return { ...data, stopsThatSlip, fold, words, atomsOf, plainTerms, readQuantities, stop };
}

// ---------------------------------------------------------------- the index

const decoded = new Map();
const ready = new Map();
function once(name, make) {
  if (ready.has(name)) return ready.get(name);
  if (!decoded.has(name)) {
    decoded.set(name, load(name).then((data) => {
      const made = make(data);
      ready.set(name, made);
      return made;
    }));
  }
  return decoded.get(name);
}

function risen(from, count) {
  const numbers = [];
  let last = -1;
  for (let i = 0; i < count; i += 1) numbers.push(last += from.next() + 1);
  return numbers;
}

function risenAll(text) {
  const numbers = [];
  const from = reader(text);
  let last = -1;
  while (from.more()) numbers.push(last += from.next() + 1);
  return numbers;
}

function uncoded(coded) {
  if (coded === "") return [];
  let before = "";
  return coded.split("~").map((entry) => {
    before = before.slice(0, DIGIT[entry.charCodeAt(0)]) + entry.slice(1);
    return before;
  });
}

// Lengths by note number: how many numbers are passed over, how many follow, theirs. A
// length has three binary figures, and stands for its place among all such numbers.
function lengthsOf(text) {
  const lengths = [];
  const from = reader(text);
  while (from.more()) {
    const begin = lengths.length + from.next();
    while (lengths.length < begin) lengths.push(0);
    for (let left = from.next(); left > 0; left -= 1) {
      const place = from.next();
      lengths.push(place < 8 ? place : ((place & 3) | 4) << ((place >> 2) - 1));
    }
  }
  return lengths;
}

const open = () => once("base", (data) => ({
  ...data, lengths: lengthsOf(data.lengths), rarities: unpacked(data.rarities),
  words: uncoded(data.words), tails: uncoded(data.tails), alone: new Set(uncoded(data.alone)),
}));
const grammar = () => once("grammar", makeGrammar);

function lastNotAfter(firsts, key) {
  let low = 0;
  let high = firsts.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (firsts[middle] <= key) low = middle + 1; else high = middle;
  }
  return low - 1;
}

// A file is called by the first word in it, the very first file by none.
const fileOf = (kind, first) => kind + "-"
  + first.replace(/[^a-z0-9]/g, (sign) => "-" + sign.charCodeAt(0).toString(16).padStart(2, "0"));

const wordsIn = (kind) => (first) => once(fileOf(kind, first), ([coded, common]) => (
  { words: uncoded(coded), common: unpacked(common) }));
const wordShard = wordsIn("w");
const tailShard = wordsIn("t");

// Rows of sorted shards that begin with `start`, each with how common it is.
async function rowsFrom(firsts, shardOf, start) {
  const found = [];
  for (let shard = Math.max(0, lastNotAfter(firsts, start)); shard < firsts.length; shard += 1) {
    const loaded = shardOf(firsts[shard]);
    const table = loaded instanceof Promise ? await loaded : loaded;
    let at = lastNotAfter(table.words, start);
    if (at < 0 || table.words[at] < start) at += 1;
    for (; at < table.words.length; at += 1) {
      if (!table.words[at].startsWith(start)) return found;
      found.push([table.words[at], table.common[at]]);
    }
  }
  return found;
}

function checksum(term) {
  let sum = -1;
  for (let at = 0; at < term.length; at += 1) {
    sum ^= term.charCodeAt(at);
    for (let bit = 0; bit < 8; bit += 1) sum = (sum >>> 1) ^ (sum & 1 ? 0xedb88320 : 0);
  }
  return ~sum >>> 0;
}

const postingShard = (rules, name) => once(name, ([terms, text]) => {
  const from = reader(text);
  return new Map(uncoded(terms).map((term) => {
    const size = from.next();
    const places = new Int32Array(size);
    const counts = new Int32Array(size);
    let place = -1;
    for (let i = 0; i < size; i += 1) {
      const step = from.next();
      places[i] = place += (step >> 1) + 1;
      counts[i] = step & 1;
    }
    for (let i = 0; i < size; i += 1) counts[i] = counts[i] ? from.next() : rules.once;
    const titled = risen(from, from.next());
    const where = titled.map(() => {
      const packed = from.next();
      return packed < rules.titlePlaces ? 1 << packed : packed - rules.titlePlaces;
    });
    return [term, { places, counts, titled, where }];
  }));
});

// Where a term stands, undefined where no note holds it.
async function postingsOf(term) {
  const [base, rules] = await Promise.all([open(), grammar()]);
  const name = base.alone.has(term) ? fileOf("q", term) : "p" + checksum(term) % base.buckets;
  return (await postingShard(rules, name)).get(term);
}

// ---------------------------------------------------------------- questions

function near(one, other) {
  if (one === other || Math.abs(one.length - other.length) > 1) return false;
  let at = 0;
  while (at < one.length && at < other.length && one[at] === other[at]) at += 1;
  const a = one.slice(at);
  const b = other.slice(at);
  if (a.length === b.length) {
    return a.slice(1) === b.slice(1)
      || (a[0] === b[1] && a[1] === b[0] && a.slice(2) === b.slice(2));
  }
  return a.length > b.length ? a.slice(1) === b : b.slice(1) === a;
}

// The likeliest terms first, each with a word of the notes that it is the stem of.
function likeliest(found, limit) {
  const best = new Map();
  for (const [word, common] of found.sort((a, b) => (a[0] < b[0] ? -1 : 1))) {
    const term = stem(word);
    if (!best.has(term)) best.set(term, { term, word, common });
  }
  return [...best.values()]
    .sort((a, b) => b.common - a.common || (a.term < b.term ? -1 : 1)).slice(0, limit);
}

const beginning = async (base, word) => (await rowsFrom(base.words, wordShard, word))
  .filter(([found]) => LETTERS.test(found));

async function nearby(base, rules, word) {
  const h = rules.head;
  const keys = new Set([word.slice(h), word.slice(h - 1), word.slice(h + 1),
    word.slice(h - 1, h) + word.slice(h + 1)]);
  const [begun, ...tailed] = await Promise.all([beginning(base, word.slice(0, h)),
    ...[...keys].map((key) => rowsFrom(base.tails, tailShard, key + "!"))]);
  const found = begun.filter(([other]) => near(word, other));
  for (const [row, common] of tailed.flat()) {
    const [tail, head] = row.split("!");
    if (near(word, head + tail)) found.push([head + tail, common]);
  }
  return found;
}

async function guess(base, rules, word, last) {
  if (!LETTERS.test(word)) return [];
  if (last && word.length >= rules.head) {
    const begun = likeliest(await beginning(base, word), rules.begun);
    if (begun.length) return begun;
  }
  if (word.length >= rules.shortest) {
    let found = await nearby(base, rules, word);
    const letters = [...word].sort().join("");
    const swapped = found.filter(([other]) => [...other].sort().join("") === letters);
    if (!swapped.length && rules.stopsThatSlip.some((other) => near(word, other))) return [];
    if (!found.length && stem(word).length >= rules.shortest) {
      found = await nearby(base, rules, stem(word));
    }
    const slipped = likeliest(swapped.length ? swapped : found, rules.slipped);
    if (slipped.length) return slipped;
  }
  for (let at = rules.part; at <= word.length - rules.part; at += 1) {
    const parts = [word.slice(0, at), word.slice(at)].map((part) => ({ word: part, term: stem(part) }));
    const held = await Promise.all(parts.map(({ term }) => postingsOf(term)));
    if (held.every(Boolean)) {
      return parts[0].term === parts[1].term ? parts.slice(1) : parts;
    }
  }
  return [];
}

function holdsPhrase(order, phrase) {
  if (!phrase.length) return false;
  for (let at = 0; at + phrase.length <= order.length; at += 1) {
    if (phrase.every((term, i) => order[at + i] === term)) return true;
  }
  return false;
}

// Lay words lead to all trade words; a trade word leads to the others that mean the same.
function widening([lay, trade], order) {
  for (const said of [lay, trade]) {
    for (const [phrase, terms] of said) {
      const others = trade.filter(([other]) => other !== phrase);
      if (others.length && holdsPhrase(order, terms)) {
        return { said: phrase, also: others.map(([text]) => text).join(" / "),
          terms: others.flatMap(([, added]) => added) };
      }
    }
  }
  return null;
}

function tally(items) {
  const counts = new Map();
  for (const item of items) counts.set(item, (counts.get(item) || 0) + 1);
  return counts;
}

async function readQuestion(text) {
  const [base, rules] = await Promise.all([open(), grammar()]);
  const weight = (times) => rules.weights[Math.min(times, rules.weights.length) - 1];
  const lists = new Map();
  const listOf = async (term) => {
    if (!lists.has(term)) lists.set(term, await postingsOf(term));
    return lists.get(term);
  };
  const readings = [];
  const paged = new Set(base.threads.flatMap(([terms]) => terms));
  for (const reading of rules.readQuantities(text)) {
    const known = await Promise.all(reading.terms.map(listOf));
    if (reading.terms.some((term, i) => known[i] || paged.has(term))) readings.push(reading);
  }
  const spoken = new Set(readings.flatMap((reading) => reading.spoken));
  const all = rules.words(text);
  const said = all.filter((word) => !rules.stop.has(word)
    && !(spoken.size && rules.atomsOf(word).every((atom) => spoken.has(atom))));
  await Promise.all(said.map((word) => listOf(stem(word))));
  const weights = new Map();
  const terms = [...said.map(stem), ...readings.flatMap((reading) => reading.terms)];
  for (const [term, times] of tally(terms)) weights.set(term, weight(times));

  const alone = new Set();
  for (let at = 0; at + 1 < all.length; at += 1) {
    const both = all[at] + all[at + 1];
    if (both.length <= rules.shortest || !LETTERS.test(both)) continue;
    const whole = stem(both);
    if (weights.has(whole) || !(await listOf(whole))) continue;
    const unknown = [];
    for (const word of [all[at], all[at + 1]]) {
      if (rules.stop.has(word) || !(await listOf(stem(word)))) unknown.push(word);
    }
    unknown.forEach((word) => alone.add(word));
    weights.set(whole, unknown.length ? rules.guessed : rules.joined);
  }

  // Lay words are no slips, even where no note holds them.
  base.lay ??= new Set(base.widenings.flatMap(([lay]) => lay.flatMap(([, added]) => added)));
  const openEnd = /[a-z0-9]$/.test(rules.fold(text));
  const widened = [];
  const meant = new Map();
  const alternatives = new Map();
  const order = [];
  for (let place = 0; place < said.length; place += 1) {
    const word = said[place];
    const term = stem(word);
    if (!meant.has(word) && !alone.has(word) && !base.lay.has(term) && !(await listOf(term))) {
      const guesses = await guess(base, rules, word, openEnd && place === said.length - 1);
      meant.set(word, guesses);
      if (guesses.length) {
        const share = guesses.length === 1 ? rules.full : rules.guessed;
        const least = Math.floor((weights.get(term) ?? rules.full) * share / rules.full);
        weights.delete(term);
        for (const other of guesses) {
          alternatives.set(other.term, share < rules.full ? guesses.length : 1);
          weights.set(other.term, Math.max(weights.get(other.term) || 0, least));
        }
        widened.push({ said: word, also: guesses.map((other) => other.word).join(" / ") });
      }
    }
    order.push(meant.has(word) && meant.get(word).length ? meant.get(word)[0].term : term);
  }
  for (const pair of base.widenings) {
    const found = widening(pair, order);
    if (!found) continue;
    widened.push({ said: found.said, also: found.also });
    for (const term of found.terms) if (!weights.has(term)) weights.set(term, rules.widened);
  }
  const pairs = [];
  for (let at = 0; at + 1 < order.length; at += 1) {
    if (order[at] !== order[at + 1]) pairs.push(order[at] + " " + order[at + 1]);
  }
  const neighbours = [...tally(pairs)].map(([pair, times]) => [...pair.split(" "), weight(times)]);
  await Promise.all([...weights.keys()].map(listOf));
  return { text, weights, lists, neighbours, widened, alternatives,
    threads: readings.map((reading) => reading.pair).filter(Boolean) };
}

// ---------------------------------------------------------------- ranking

function raritySteps(notes, holders) {
  return 32 - Math.clz32(Math.floor((notes * notes) / (holders * holders)));
}

// How rare a term is that so many notes hold: one less for every bound that is passed.
function rarity(base, rules, holders) {
  return rules.rarest - lastNotAfter(base.rarities, holders - 1) - 1;
}

// What a term adds to a note: its share of the note, worked out with the same steps as at
// the bench, times its rarity.
function impactsOf(base, rules, list) {
  const rare = rarity(base, rules, list.places.length);
  const typical = base.length / base.notes;
  const { saturation, lengthShare, shares } = rules;
  const impacts = new Int32Array(list.places.length);
  for (let at = 0; at < impacts.length; at += 1) {
    const count = list.counts[at];
    const norm = 2 * saturation
      * (1 - lengthShare + lengthShare * base.lengths[list.places[at]] / typical);
    impacts[at] = Math.max(1, Math.floor(shares * count / (count + norm) + 0.5)) * rare;
  }
  return impacts;
}

async function rank(question, limit, kept) {
  const [base, rules] = await Promise.all([open(), grammar()]);
  const lists = new Map();
  for (const term of question.weights.keys()) {
    const list = question.lists.get(term);
    if (list) lists.set(term, { ...list, impacts: impactsOf(base, rules, list) });
  }
  const scores = new Float64Array(base.lengths.length);
  const held = new Int32Array(base.lengths.length);
  let asked = 0;
  for (const [term, weight] of question.weights) {
    const list = lists.get(term);
    const size = list ? list.places.length : 0;
    const mass = Math.floor(weight * raritySteps(base.notes, Math.max(1, size))
      / (question.alternatives.get(term) || 1));
    asked += size ? mass : mass * rules.unknownTimes;
    for (let at = 0; at < size; at += 1) {
      scores[list.places[at]] += weight * list.impacts[at];
      held[list.places[at]] += mass;
    }
  }
  for (const [first, second, weight] of question.neighbours) {
    const one = lists.get(first);
    const other = lists.get(second);
    if (!one || !other || !one.titled.length || !other.titled.length) continue;
    const there = new Map(other.titled.map((at, i) => [other.places[at], i]));
    one.titled.forEach((at, i) => {
      const place = one.places[at];
      const j = there.get(place);
      if (j === undefined || !((one.where[i] << 1) & other.where[j])) return;
      const both = one.impacts[at] + other.impacts[other.titled[j]];
      scores[place] += Math.floor(weight * both * rules.neighbours / 8);
    });
  }
  const best = [];
  const found = [];
  const most = Math.max(limit, rules.tenth);
  for (let place = 0; place < scores.length; place += 1) {
    const score = scores[place];
    if (score === 0 || (kept && !kept.has(place))) continue;
    found.push(place);
    if (best.length === most && score <= best[most - 1].score) continue;
    let at = best.length;
    while (at > 0 && best[at - 1].score < score) at -= 1;
    best.splice(at, 0, { note: place, score });
    if (best.length > most) best.pop();
  }
  const tenth = best.length >= rules.tenth ? best[rules.tenth - 1].score : null;
  for (const hit of best) {
    hit.weak = held[hit.note] * 100 < rules.weakShare * asked
      && (tenth === null || hit.score * 10 < rules.standsOut * tenth);
  }
  for (const hit of best) hit.score = Math.floor(hit.score / rules.unit);
  return { best: best.slice(0, limit), found };
}

async function find(text, limit = 10, kept = null) {
  const question = await readQuestion(text);
  const { best, found } = await rank(question, limit, kept);
  return { question, hits: best, found };
}

async function shown({ note }) {
  const base = await open();
  const block = await load("n" + Math.floor(note / base.block));
  const [title, fix, caution, families, ...lines] = block[note % base.block];
  return { title, fix, caution, lines, address: "n/" + String(note).padStart(4, "0") + ".html",
    families: families ? families.split(" ").map((id) => base.families[id]) : [] };
}

async function threadPages(question) {
  const base = await open();
  return base.threads.filter(([terms]) => terms.some((term) => question.threads.includes(term)))
    .map(([, thread, address]) => ({ thread, address }));
}

receive.find = find;
receive.shown = shown;
receive.stem = stem;
receive.grammar = grammar;
receive.impactsOf = impactsOf;

// ---------------------------------------------------------------- facets

const facet = (kind) => once("f" + kind, (data) => {
  const values = new Map();
  for (const [id, [name, places]] of Object.entries(data)) {
    values.set(id, { id, name, places: risenAll(places) });
  }
  return values;
});

// The places of the notes that every chosen value holds; null where none is chosen.
async function narrowed(chosen) {
  let kept = null;
  for (const [kind, id] of chosen) {
    const value = (await facet(kind)).get(id);
    const places = new Set(value ? value.places : []);
    kept = kept === null ? places : new Set([...kept].filter((place) => places.has(place)));
  }
  return kept;
}

// The values of a facet among the places found, with their numbers of notes, by name.
async function counted(kind, found) {
  const here = new Set(found);
  const rows = [];
  for (const { id, name, places } of (await facet(kind)).values()) {
    const count = places.reduce((sum, place) => sum + (here.has(place) ? 1 : 0), 0);
    if (count) rows.push({ id, name, count });
  }
  return rows.sort((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : 0));
}

receive.narrowed = narrowed;
receive.counted = counted;

// ---------------------------------------------------------------- the page

const FACET_NAMES = {
  family: "Family", symptom: "Symptom", part: "Part", thread: "Thread", hazard: "Caution",
};

function element(name, text, className) {
  const made = document.createElement(name);
  if (text) made.textContent = text;
  if (className) made.className = className;
  return made;
}

function linkTo(address, text) {
  const link = element("a", text);
  link.href = address;
  return link;
}

const lineTerms = new Map();
function bestLine(rules, question, lines) {
  let best = "";
  let most = 0;
  for (const line of lines) {
    let sum = 0;
    if (!lineTerms.has(line)) lineTerms.set(line, [...new Set(rules.plainTerms(line))]);
    for (const term of lineTerms.get(line)) sum += question.weights.get(term) || 0;
    if (sum > most) { most = sum; best = line; }
  }
  return best || lines[0] || "";
}

// The sentence with the words of the question marked.
function marked(rules, question, sentence) {
  const made = element("p");
  for (const piece of sentence.split(/([A-Za-z0-9]+)/)) {
    const term = /^[A-Za-z0-9]/.test(piece) ? stem(piece.toLowerCase()) : "";
    made.append(question.weights.has(term) && !rules.stop.has(piece.toLowerCase())
      ? element("mark", piece) : piece);
  }
  return made;
}

async function resultItem(rules, question, hit) {
  const note = await shown(hit);
  const item = element("li");
  item.append(linkTo(note.address, note.title));
  const line = bestLine(rules, question, note.lines);
  if (line) item.append(marked(rules, question, line));
  if (note.fix) item.append(element("p", note.fix));
  const facts = element("p", "", "see");
  const said = [note.families.join(" · "), hit.weak ? "holds little of what you asked" : ""];
  if (note.caution) facts.append(element("strong", note.caution.toUpperCase()));
  for (const text of said.filter(Boolean)) {
    if (facts.childNodes.length) facts.append(" · ");
    facts.append(text);
  }
  if (facts.childNodes.length) item.append(facts);
  return item;
}

function start() {
  const form = document.getElementById("find-form");
  const field = document.getElementById("find-query");
  const status = document.getElementById("find-status");
  const list = document.getElementById("find-results");
  if (!form || !field || !status || !list) return;
  const choices = makeChoices(form, field, () => changed());
  const filters = makeFilters(status, () => keepNow(false), () => { keepNow(true); ask(); });
  const nearest = element("p", "", "see");
  nearest.id = "find-lists";
  list.after(nearest);
  let turn = 0;
  let later = 0;
  let under = Promise.resolve();
  receive.settled = () => under;

  async function answer(text, chosen) {
    const mine = turn += 1;
    if (!text.trim()) {
      list.replaceChildren();
      nearest.replaceChildren();
      choices.offer([]);
      filters.show(null);
      status.textContent = "";
      return;
    }
    const [rules, kept] = await Promise.all([grammar(), narrowed(chosen)]);
    const { question, hits, found } = await find(text, 10, kept);
    const pages = await threadPages(question);
    const items = await Promise.all(hits.map((hit) => resultItem(rules, question, hit)));
    if (mine !== turn) return;
    const leads = pages.map(({ thread, address }) => {
      const item = element("li");
      item.append(linkTo(address, thread),
        element("p", "The thread’s own page: where it is used, its sizes, what it is mixed up with."));
      return item;
    });
    list.replaceChildren(...leads, ...items);
    const says = saying(question, hits, found, chosen, pages);
    if (status.textContent !== says) status.textContent = says;
    filters.show(found);
    const [lists, words] = await Promise.all([
      nearestLists(hits), completions(text, rules.head)]);
    if (mine !== turn) return;
    nearest.replaceChildren(...(pages.length || (hits.length && !hits[0].weak) ? [] : lists));
    choices.offer(document.activeElement === field ? words : []);
  }
  const broken = (problem) => {
    status.textContent = "Search cannot run here: " + problem.message + ".";
  };
  function ask() { under = answer(field.value, filters.chosen()).catch(broken); }
  function changed() {
    warmOnce();
    clearTimeout(later);
    later = setTimeout(keepNow, 400);
    ask();
  }
  function keepNow(anew) {
    clearTimeout(later);
    const address = new URL(location.href);
    address.search = "";
    if (field.value.trim()) address.searchParams.set("q", field.value);
    for (const [kind, id] of filters.chosen()) address.searchParams.set(kind, id);
    if (address.href === location.href) return;
    try {
      history[anew === true ? "pushState" : "replaceState"](null, "", address);
    } catch { /* some browsers forbid it for files: the answer is there all the same */ }
  }
  function restore() {
    const given = new URLSearchParams(location.search);
    field.value = given.get("q") || "";
    filters.choose(given);
    ask();
  }

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    choices.offer([]);
    keepNow(true);
    ask();
  });
  field.addEventListener("focus", warmOnce, { once: true });
  field.addEventListener("input", changed);
  window.addEventListener("popstate", restore);
  if (location.search) restore();
}

function saying(question, hits, found, chosen, pages) {
  const within = chosen.size ? " among what you narrowed it to" : "";
  const said = [];
  if (pages.length) said.push((pages.length === 1 ? "The thread’s own page" : "The threads’ own pages")
    + " first.");
  if (!hits.length && pages.length) said.push("No note" + within + ".");
  else if (!hits.length) said.push("Nothing found" + within + ". The lists below lead to every note.");
  else if (hits[0].weak) said.push("Nothing fits well" + within + "; these come nearest.");
  else if (found.length === 1) said.push("1 note" + within + ".");
  else if (found.length <= hits.length) said.push(found.length + " notes" + within + ".");
  else said.push("The best " + hits.length + " of " + found.length + " notes" + within + ".");
  for (const { said: lay, also } of question.widened) {
    said.push("Also looked for " + also + " (for “" + lay + "”).");
  }
  return said.join(" ");
}

// Links to the symptom lists that the nearest notes stand under, else to all lists.
async function nearestLists(hits) {
  const places = new Set(hits.map((hit) => hit.note));
  const rows = hits.length ? await counted("symptom", places) : [];
  rows.sort((a, b) => b.count - a.count);
  const links = rows.slice(0, 3).map(({ id, name }) => linkTo("s/" + id + ".html", name));
  links.push(linkTo("symptoms.html", "every symptom"), linkTo("families.html", "every machine"));
  const said = ["Lists nearby: "];
  links.forEach((link, i) => { if (i) said.push(", "); said.push(link); });
  return [...said, "."];
}

// What the last word, half typed, may become.
async function completions(text, head) {
  const last = /[a-z]+$/i.exec(text);
  if (!last || last[0].length < head) return [];
  const base = await open();
  const begun = likeliest(await beginning(base, last[0].toLowerCase()), 6);
  const typed = last[0].toLowerCase();
  return begun.map(({ word }) => word).filter((word) => word !== typed && word.startsWith(typed))
    .slice(0, 5).map((word) => ({ word, text: text.slice(0, last.index) + word }));
}

// The words on offer under the field: a combobox with a list of options in one line.
function makeChoices(form, field, taken) {
  const room = element("div", "", "choices");
  const box = element("ul");
  box.id = "find-words";
  box.hidden = true;
  box.setAttribute("role", "listbox");
  box.setAttribute("aria-label", "Words of the notes");
  room.append(box);
  form.append(room);
  field.type = "text";
  field.setAttribute("role", "combobox");
  field.setAttribute("aria-autocomplete", "list");
  field.setAttribute("aria-controls", box.id);
  field.setAttribute("aria-expanded", "false");
  let options = [];
  let at = -1;

  function mark(next) {
    at = next;
    options.forEach(({ item }, i) => item.setAttribute("aria-selected", String(i === at)));
    if (at < 0) field.removeAttribute("aria-activedescendant");
    else field.setAttribute("aria-activedescendant", options[at].item.id);
  }
  function take(text) {
    field.value = text + " ";
    offer([]);
    field.focus();
    taken();
  }
  function offer(words) {
    options = words.map(({ word, text }, i) => {
      const item = element("li", word);
      item.id = "find-word-" + i;
      item.setAttribute("role", "option");
      item.setAttribute("aria-selected", "false");
      item.addEventListener("pointerdown", (event) => { event.preventDefault(); take(text); });
      return { item, text };
    });
    box.replaceChildren(...options.map(({ item }) => item));
    box.hidden = !options.length;
    field.setAttribute("aria-expanded", String(options.length > 0));
    mark(-1);
  }
  field.addEventListener("keydown", (event) => {
    if (!options.length) return;
    if (event.key === "ArrowDown") mark((at + 1) % options.length);
    else if (event.key === "ArrowUp") mark(at <= 0 ? options.length - 1 : at - 1);
    else if (event.key === "Escape") offer([]);
    else if (event.key === "Enter" && at >= 0) take(options[at].text);
    else return;
    event.preventDefault();
  });
  field.addEventListener("blur", () => offer([]));
  return { offer };
}

// Narrowing by family, symptom, part, thread and caution; open only when asked for.
function makeFilters(before, changing, changed) {
  const box = element("details", "", "narrow");
  box.append(element("summary", "Narrow it down"));
  box.hidden = true;
  before.before(box);
  const chosen = new Map();
  const selects = new Map();
  let found = null;

  function fieldOf(kind) {
    const row = element("div");
    const label = element("label", FACET_NAMES[kind]);
    const select = element("select");
    select.id = label.htmlFor = "narrow-" + kind;
    select.addEventListener("change", () => {
      changing();
      if (select.value) chosen.set(kind, select.value); else chosen.delete(kind);
      changed();
    });
    row.append(label, select);
    box.append(row);
    selects.set(kind, { row, select });
  }
  async function fill() {
    const mine = found;
    for (const [kind, { row, select }] of selects) {
      const rows = await counted(kind, mine);
      if (mine !== found) return;
      const value = chosen.get(kind) || "";
      if (value && !rows.some((row) => row.id === value)) {
        const known = (await facet(kind)).get(value);
        rows.push({ id: value, name: known ? known.name : value, count: 0 });
      }
      select.replaceChildren(new Option("any", ""), ...rows.map(
        ({ id, name, count }) => new Option(name + " (" + count + ")", id)));
      select.value = value;
      row.hidden = !rows.length;
    }
  }
  Object.keys(FACET_NAMES).forEach(fieldOf);
  box.addEventListener("toggle", () => { if (box.open && found) fill(); });
  return {
    chosen: () => new Map(chosen),
    choose(given) {
      chosen.clear();
      for (const kind of selects.keys()) if (given.get(kind)) chosen.set(kind, given.get(kind));
      if (chosen.size) box.open = true;
    },
    show(places) {
      found = places;
      box.hidden = places === null || (!places.length && !chosen.size);
      if (box.open && places) fill();
    },
  };
}
start();
})();
