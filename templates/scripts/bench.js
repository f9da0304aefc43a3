// What the tools in the page share: exact fractions, figures as the bench prints them, and the
// reading of lengths, pitches and torques. Every pattern, table and sentence comes from the
// bench, in bench/reading.js; tests hold both sides to the same answers.
"use strict";
(function () {

const bench = (self.kbgenBench = self.kbgenBench || {});
const tables = bench.reading;

// ---------------------------------------------------------------- exact fractions

const gcd = (a, b) => { while (b) [a, b] = [b, a % b]; return a < 0n ? -a : a; };
function ratio(n, d = 1n) {
  if (!d) throw new RangeError("a fraction of nothing");
  const by = gcd(n, d) || 1n;
  return { n: n / by, d: d / by };
}
const add = (a, b) => ratio(a.n * b.d + b.n * a.d, a.d * b.d);
const less = (a, b) => ratio(a.n * b.d - b.n * a.d, a.d * b.d);
const times = (a, b) => ratio(a.n * b.n, a.d * b.d);
const over = (a, b) => ratio(a.n * b.d, a.d * b.n);
const compare = (a, b) => { const n = less(a, b).n; return n < 0n ? -1 : n > 0n ? 1 : 0; };
const same = (a, b) => (a === null || b === null ? a === b : compare(a, b) === 0);
const NOTHING = ratio(0n);
const ONE = ratio(1n);

function fromText(text) {
  const [whole, part = ""] = text.split(".");
  return ratio(BigInt((whole || "0") + part), 10n ** BigInt(part.length));
}
const exact = ([n, d]) => ratio(BigInt(n), BigInt(d));

// The nearest double, ties to even.
function toNumber({ n, d }) {
  if (!n) return 0;
  const long = (whole) => whole.toString(2).length;
  const by = long(n) - long(d) - 60;
  const [num, den] = by < 0 ? [n << BigInt(-by), d] : [n, d << BigInt(by)];
  const whole = num / den;
  return Number(whole | (num % den ? 1n : 0n)) * 2 ** by;
}

// ---------------------------------------------------------------- figures in words

const TAIL = 45;
// A double to so many figures, halves to even: its digits and its power of ten.
function digitsOf(value, figures) {
  const [long, power] = value.toExponential(figures - 1 + TAIL).split("e");
  const digits = long.replace(".", "");
  const head = digits.slice(0, figures);
  if (/^50*$/.test(digits.slice(figures)) && Number(head[figures - 1]) % 2 === 0) {
    return [head, Number(power)];
  }
  const [near, its] = value.toExponential(figures - 1).split("e");
  return [near.replace(".", ""), Number(its)];
}
function general(value, figures = 6) {
  if (!value) return "0";
  const [digits, power] = digitsOf(Math.abs(value), figures);
  const sign = value < 0 ? "-" : "";
  if (power < -4 || power >= figures) {
    const rest = digits.slice(1).replace(/0+$/, "");
    const by = String(Math.abs(power)).padStart(2, "0");
    return sign + digits[0] + (rest ? "." + rest : "") + (power < 0 ? "e-" : "e+") + by;
  }
  const all = power < 0 ? "0".repeat(-power) + digits : digits;
  const at = power < 0 ? 1 : power + 1;
  const part = all.slice(at).replace(/0+$/, "");
  return sign + all.slice(0, at) + (part ? "." + part : "");
}
function fixed(value, places) {
  const long = value.toFixed(places + TAIL);
  const [head, tail] = [long.slice(0, -TAIL), long.slice(-TAIL)];
  const last = head.replace(/\.$/, "").slice(-1);
  if (/^50*$/.test(tail) && Number(last) % 2 === 0) return head.replace(/\.$/, "");
  return value.toFixed(places);
}
const rounded = (value, places) => Number(fixed(value, places));
const percent = (share, places = 0) => fixed(share * 100, places) + "%";
const counted = (whole) => String(whole).replace(/\B(?=(\d{3})+$)/g, ",");

// An exact fraction to so many figures, halves up, without trailing zeros.
function significant(value, figures = 4) {
  let top = value.n < 0n ? -value.n : value.n;
  let below = value.d;
  if (!top) return "0";
  const ten = (power) => 10n ** BigInt(Math.max(0, power));
  let power = String(top).length - String(below).length;
  if (top * ten(-power) < below * ten(power)) power -= 1;
  const places = figures - 1 - power;
  top *= ten(places);
  below *= ten(-places);
  const whole = (2n * top + below) / (2n * below);
  const sign = value.n < 0n ? "-" : "";
  if (places <= 0) return sign + String(whole * ten(-places));
  const digits = String(whole).padStart(places + 1, "0");
  const text = digits.slice(0, -places) + "." + digits.slice(-places);
  return sign + text.replace(/0+$/, "").replace(/\.$/, "");
}

// A sentence of the bench with its places filled.
const fill = (sentence, parts) => sentence.replace(/\{(\w+)\}/g, (_, name) => parts[name]);

// ---------------------------------------------------------------- patterns

const compiled = new Map();
function pattern(source, flags) {
  const key = flags + source;
  if (!compiled.has(key)) compiled.set(key, new RegExp(source, "u" + flags));
  return compiled.get(key);
}
function matchAt(source, text, at) {
  const found = pattern(source, "y");
  found.lastIndex = at;
  return found.exec(text);
}
const search = (source, text) => pattern(source, "").exec(text);
const whole = (source, text) => search("^(?:" + source + ")$", text);
const after = (match) => match.index + match[0].length;
const strip = (text) => text.replace(/^\s+|\s+$/gu, "");

// ---------------------------------------------------------------- folding

const ONE_FOR_ONE = new Map(tables.fold.marks.flatMap(
  ([plain, marks]) => Array.from(marks, (mark) => [mark, plain])));
const VULGAR = new Map(Object.entries(tables.fold.vulgar));
const RAISED = new Map(Object.entries(tables.fold.raised));
const WORDS = new Map(Object.entries(tables.fold.words));

function plainFigures(text) {
  return text.replace(/[^\P{Nd}0-9]/gu, (sign) => {
    let code = sign.codePointAt(0);
    let worth = 0;
    while (/\p{Nd}/u.test(String.fromCodePoint(--code))) worth += 1;
    return String(worth % 10);
  });
}
function fold(text) {
  if (/^[\x00-\x7f]*$/.test(text)) return text;
  const plain = Array.from(text, (sign) => ONE_FOR_ONE.get(sign) ?? sign).join("");
  return plainFigures(plain.replace(pattern(tables.fold.pattern, "g"), (found, ...rest) => {
    const at = rest[rest.length - (typeof rest[rest.length - 1] === "object" ? 3 : 2)];
    const before = at ? plain[at - 1] : "";
    if (found.length > 1) {
      const ascii = found.charCodeAt(0) < 128;
      return (ascii ? found[0] + " " : "")
        + Array.from(found.slice(ascii ? 1 : 0), (sign) => RAISED.get(sign) ?? sign).join("");
    }
    if (VULGAR.has(found)) return (/[\p{Nd}\p{No}]/u.test(before) ? " " : "") + VULGAR.get(found);
    if (found === "H") return before && " 0123456789".includes(before) ? "N" : found;
    return WORDS.get(found) ?? "";
  }));
}

// ---------------------------------------------------------------- spoken numbers

const said = tables.spoken;
const own = (table, key) => (Object.hasOwn(table, key) ? table[key] : null);
const isFigures = (word) => /^\p{Nd}+$/u.test(word);

function belowHundred(words, at) {
  if (at >= words.length) return [null, at];
  const { word } = words[at];
  if (isFigures(word) && word.length <= 60) return [Number(word), at + 1];
  const next = at + 1 < words.length ? own(said.units, words[at + 1].word) : null;
  if (own(said.tens, word) !== null && next > 0) return [said.tens[word] + next, at + 2];
  const value = own(said.numbers, word);
  return [value, value === null ? at : at + 1];
}
function wholeNumber(words, at) {
  let [value, end] = belowHundred(words, at);
  if (value === null && at < words.length && words[at].word === "hundred") value = 1;
  if (value === null || end === words.length || words[end].word !== "hundred") return [value, end];
  end += 1;
  const [rest, stop] = belowHundred(
    words, end < words.length && words[end].word === "and" ? end + 1 : end);
  return rest === null ? [100 * value, end] : [100 * value + rest, stop];
}
function denominator(word) {
  if (isFigures(word[0])) {
    const bare = word.replace(/[thnds]+$/, "");
    return bare === word ? null : Number(bare);
  }
  if (word.startsWith("thirty") && word.includes("second")) return 32;
  if (word.startsWith("sixty") && word.includes("fourth")) return 64;
  return own(said.parts, word);
}
function part(words, at, count, low) {
  if (at >= words.length) return [null, at];
  const { start, end, word } = words[at];
  const of = denominator(word);
  if (of === null) return [null, at];
  if (count === null) {
    const before = " " + low.slice(Math.max(0, start - 4), start);
    const ofATurn = matchAt(said.ofATurn, low, end) !== null;
    const ofOne = ofATurn || [" a ", " an ", " an-", " a-"].some((a) => before.endsWith(a));
    const alone = (of === 2 || of === 4) && !word.startsWith("fourth");
    const one = alone || ofATurn || (ofOne && [3, 8, 16].includes(of));
    return one ? [[1, of], at + 1] : [null, at];
  }
  if (!(count > 0 && count < of) || gcd(BigInt(count), BigInt(of)) !== 1n) return [null, at];
  return [[count, of], at + 1];
}
function joinedPart(words, at, low) {
  if (at >= words.length || !words[at].word.startsWith("and")) return [null, at];
  if (words[at].word !== "and") {
    const of = at + 1 < words.length ? denominator(words[at + 1].word) : null;
    return of === null ? [null, at] : [[1, of], at + 2];
  }
  const [count, next] = belowHundred(words, at + 1);
  return count === null ? [null, at] : part(words, next, count, low);
}
function decimals(words, at) {
  if (at >= words.length || words[at].word !== "point") return ["", at];
  let digits = "";
  let end = at + 1;
  while (end < words.length && digits.length < 4) {
    const [value, next] = belowHundred(words, end);
    if (value === null) break;
    digits += String(value);
    end = next;
  }
  return [digits, end];
}
function* numbersOf(words, low) {
  let at = 0;
  while (at < words.length) {
    const [value, next] = wholeNumber(words, at);
    const { start } = words[at];
    let [found, end] = part(words, next, value, low);
    if (found !== null) {
      yield [start, words[end - 1].end, found.join("/")];
      at = end;
      continue;
    }
    let digits;
    [digits, end] = decimals(words, next);
    if (digits) {
      yield [start, words[end - 1].end, (value ?? 0) + "." + digits];
      at = end;
      continue;
    }
    if (value === null) { at += 1; continue; }
    [found, end] = joinedPart(words, next, low);
    if (found !== null) {
      yield [start, words[end - 1].end, value + " " + found.join("/")];
      at = end;
      continue;
    }
    if (words[at].word !== "oh" || next < words.length) {
      yield [start, words[next - 1].end, String(value)];
    }
    at = next;
  }
}
function matters(low, start, end, run) {
  if (matchAt(said.behind, low, end) !== null) return true;
  const before = " " + low.slice(Math.max(0, start - 8), start).replace(/[ \n\-/]+$/, "");
  return /\p{Nd}$/u.test(before) || "-/".includes(run[0])
    || said.ahead.some((word) => before.endsWith(word));
}
function inFigures(text, low) {
  const pieces = [];
  let done = 0;
  for (const run of (" " + low).matchAll(pattern(said.runs, "g"))) {
    const start = run.index;
    const end = after(run) - 1;
    if (own(said.numbers, run[0].slice(1)) !== null && !matters(low, start, end, run[0])) continue;
    const words = Array.from(low.slice(0, end).slice(start).matchAll(pattern(said.word, "g")),
      (word) => ({ start: start + word.index, end: start + after(word), word: word[0] }));
    for (const [from, to, figures] of numbersOf(words, low)) {
      pieces.push(text.slice(done, from), figures);
      done = to;
    }
  }
  return pieces.join("") + text.slice(done);
}
function prepare(text) {
  const folded = fold(text);
  const plain = inFigures(folded, folded.toLowerCase());
  return { plain, low: plain.toLowerCase() };
}

// ---------------------------------------------------------------- a number and its spread

const HALF_OF_A_64TH = ratio(1n, 128n);
// A number as written and half a unit of its last place; null for a fraction of nothing.
function figure(written) {
  if (written.includes("/")) {
    const all = written.split(/ and |[ -]/);
    const [top, below] = all.pop().split("/").map(BigInt);
    if (!below) return null;
    const wholes = all.reduce((sum, one) => sum + BigInt(one), 0n);
    return { value: add(ratio(top, below), ratio(wholes)), slack: HALF_OF_A_64TH };
  }
  let text = written;
  if (/^[1-9]\p{Nd}{0,2}(?:,\p{Nd}{3})+(?:\.\p{Nd}+)?$/u.test(text)) text = text.replaceAll(",", "");
  text = text.replaceAll(",", ".");
  const places = text.includes(".") ? text.length - text.indexOf(".") - 1 : 0;
  const value = fromText(text);
  const tens = !places && compare(value, ratio(100n)) >= 0 && text.endsWith("0");
  return { value, slack: tens ? ratio(5n) : ratio(1n, 2n * 10n ** BigInt(places)) };
}

function spreadAt(low, at) {
  const match = tables.spread.map((source) => matchAt(source, low, at)).find((one) => one);
  if (!match) return null;
  const { both, below, above, share, open } = match.groups;
  const [down, up] = [figure(both || below), figure(both || above)];
  if (!down || !up) return null;
  const worth = share ? ratio(1n, 100n) : ONE;
  const spread = {
    below: times(down.value, worth), above: times(up.value, worth),
    shares: Boolean(share), end: after(match),
    of(one) {
      const by = spread.shares ? one.value : ONE;
      const least = less(one.value, times(by, spread.below));
      return [
        { value: compare(least, NOTHING) < 0 ? NOTHING : least, slack: one.slack },
        { value: add(one.value, times(by, spread.above)), slack: one.slack },
      ];
    },
    closed: (end) => (open && low[end] === ")" ? end + 1 : end),
  };
  return spread;
}

// ---------------------------------------------------------------- lengths and pitches

const lengths = tables.length;
const refused = (sentence, text) => ({ wrong: fill(sentence, { text: strip(text) }) });

function lengthUnit(low, at) {
  const inParts = () => search(lengths.inParts, low.slice(Math.max(0, at - 6), at)) !== null;
  const match = matchAt(lengths.unit, low, at);
  if (match === null) {
    const anyway = matchAt(lengths.inchAnyway, low, at);
    return anyway !== null && inParts() ? ["in", after(anyway)] : null;
  }
  const name = Object.keys(match.groups).find((key) => match.groups[key] !== undefined);
  if ([" of", " a ", " an "].some((of) => low.startsWith(of, at)) && !inParts()) return null;
  return [name === "um" ? "µm" : name, after(match)];
}
function madeLength(end, first, second, unit) {
  const [least, most] = compare(first.value, second.value) <= 0 ? [first, second] : [second, first];
  if (!most.value.n) return null;
  const factor = exact(lengths.mm[unit]);
  return { end, low: times(least.value, factor), high: times(most.value, factor) };
}
// The length that begins at a place, where nothing stands before it but blanks.
function lengthAt(low, at) {
  const match = matchAt(tables.number, low, at);
  if (match === null) return null;
  let end = after(match);
  let unit = lengthUnit(low, end);
  let second = null;
  const first = figure(match[0]);
  if (unit === null) {
    const spread = spreadAt(low, end);
    const behind = spread && lengthUnit(low, spread.closed(spread.end));
    if (behind) return first && madeLength(behind[1], ...spread.of(first), behind[0]);
    const between = matchAt(lengths.range, low, end);
    const its = between && lengthUnit(low, after(between));
    if (its) [second, unit] = [figure(between.groups.second), its];
  }
  if (unit === null) return mixedAt(low, at);
  if (first === null) return null;
  const name = unit[0];
  end = unit[1];
  if (second === null) {
    const spread = spreadAt(low, end);
    if (spread) {
      const its = lengthUnit(low, spread.end);
      if (its === null || its[0] === name) {
        return madeLength(spread.closed(its ? its[1] : spread.end), ...spread.of(first), name);
      }
    }
    const between = matchAt(lengths.range, low, end);
    if (between && !between[0].includes(" and") && !between[0].includes(" or")) {
      const its = lengthUnit(low, after(between));
      const other = its && its[0] === name ? figure(between.groups.second) : null;
      if (other && compare(other.value, first.value) > 0) [second, end] = [other, its[1]];
    }
  }
  return madeLength(end, first, second || first, name);
}
function mixedAt(low, at) {
  const match = matchAt(lengths.mixed, low, at);
  if (match === null) return null;
  const [top, below] = match.groups.part.split("/").map(Number);
  if (top % 2 === 0 || top >= below) return null;
  const value = figure(match[0]);
  return madeLength(after(match), value, value, "in");
}
function parseLength(text) {
  const { low } = prepare(text);
  const first = search("[.,]?\\p{Nd}", low);
  const read = first && lengthAt(low, first.index);
  if (!read || strip(low.slice(0, first.index)) || /[^ .]/u.test(low.slice(read.end))) {
    return refused(lengths.wrong, text);
  }
  return { low: read.low, high: read.high };
}
// What a caliper reads: one length or a range, as its middle and half its width.
function parseDiameter(text) {
  const read = parseLength(text);
  if (read.wrong) return read;
  const { low, high } = read;
  if (compare(low, NOTHING) <= 0 || compare(high, exact(lengths.largest)) > 0) {
    return refused(lengths.wrongDiameter, text);
  }
  const half = ratio(1n, 2n);
  return { middle: times(add(low, high), half), half: times(less(high, low), half) };
}
function parseOneLength(text) {
  const read = parseDiameter(text);
  return read.wrong || !read.half.n ? read : refused(lengths.wrongOne, text);
}
function parsePitch(text) {
  const perInch = whole(lengths.perInch, strip(prepare(text).low));
  const count = perInch && figure(perInch.groups.tpi);
  if (count && count.value.n) return { middle: over(exact(lengths.mm.in), count.value) };
  const read = perInch ? { wrong: true } : parseOneLength(text);
  return read.wrong ? refused(lengths.wrongPitch, text) : read;
}

// ---------------------------------------------------------------- torques

const torques = tables.torque;
const worthOf = (unit) => exact(torques.units[unit]);

function unitAt(plain, low, at) {
  const named = (match) => Number(Object.entries(match.groups)
    .find(([, value]) => value !== undefined)[0].slice(1));
  let match = matchAt(torques.certain, low, at);
  if (match !== null) {
    const name = torques.spellings[named(match)];
    const end = after(match);
    const written = plain.slice(at, end).replace(/^[ -]+/, "");
    if (name === "lbf·in" || name === "ozf·in") {
      const place = low.slice(0, end).indexOf(" in", at);
      if (place > 0 && matchAt(torques.preposition, low, place) && match[0].endsWith(" in")) {
        return null;
      }
    }
    if (name === "mN·m" && /^(?:M|mn)/.test(written)) return null;
    return { unit: name, end };
  }
  match = matchAt(torques.doubtful, low, at);
  if (match !== null) return { unit: torques.doubtfulSpellings[named(match)], end: after(match) };
  match = matchAt(torques.forces, low, at);
  return match === null ? null : { unit: null, end: after(match) };
}
function angleAt(low, at) {
  let turned = NOTHING;
  let end = at;
  for (;;) {
    const match = matchAt(torques.angle, low, end);
    if (match === null) break;
    const by = figure(match.groups.by);
    if (by) turned = add(turned, match.groups.deg ? by.value : times(by.value, ratio(360n)));
    end = after(match);
  }
  return end > at ? [turned, end] : null;
}
function quantity(plain, low, at) {
  const first = matchAt(tables.number, low, at);
  if (first === null) return null;
  let end = after(first);
  const follows = (place) => unitAt(plain, low, place) !== null;
  let one = follows(end) ? figure(first[0]) : null;
  if (one) return [one, one, end];
  if (low.startsWith("..", end) && follows(end + 2)) {
    const least = figure(first[0]);
    return least && [least, null, end + 2];
  }
  const spread = spreadAt(low, end);
  if (spread) {
    end = spread.closed(spread.end);
    one = follows(end) ? figure(first[0]) : null;
    return one && [...spread.of(one), end];
  }
  const between = matchAt(torques.range, low, end);
  const second = between && matchAt(tables.number, low, after(between));
  if (!second || !follows(after(second))) return null;
  const other = figure(second[0]);
  one = figure(first[0]);
  return one && other && [one, other, after(second)];
}
function secondWithUnit(plain, low, end, unit) {
  const between = matchAt(torques.again, low, end);
  if (between === null) return null;
  if (between[0].includes(" and ") && !low.slice(Math.max(0, end - 40), end).includes("between")) {
    return null;
  }
  const second = matchAt(tables.number, low, after(between));
  const value = second && figure(second[0]);
  const read = value && unitAt(plain, low, after(second));
  return read && read.unit === unit ? [value, read.end] : null;
}
function limited(low, start, end, one) {
  const before = low.slice(Math.max(0, start - 60), start);
  const found = ["most", "least"].map((name) => [search(torques[name], before), name])
    .filter(([match]) => match).map(([match, name]) => [match.index, name])
    .sort((a, b) => a[0] - b[0] || (a[1] < b[1] ? -1 : 1));
  if (found.length) {
    const [at, name] = found[0];
    return [start - before.length + at, end, ...(name === "most" ? [null, one] : [one, null])];
  }
  const most = matchAt(torques.mostAfter, low, end);
  if (most) return [start, after(most), null, one];
  const least = matchAt(torques.leastAfter, low, end);
  return least ? [start, after(least), one, null] : [start, end, one, one];
}
const alike = (a, b) => (a === null || b === null ? a === b
  : same(a.value, b.value) && same(a.slack, b.slack));
function torqueAt({ plain, low }, at) {
  const read = quantity(plain, low, at);
  if (!read) return null;
  let [first, second, unitStart] = read;
  const unit = unitAt(plain, low, unitStart);
  let start = at;
  let { end } = unit;
  const spread = spreadAt(low, end);
  if (spread && alike(first, second) && first) {
    [first, second] = spread.of(first);
    end = spread.end;
    const again = unitAt(plain, low, end);
    if (again && again.unit === unit.unit && !spread.shares) end = again.end;
    end = spread.closed(end);
  }
  if (alike(first, second)) {
    const behind = secondWithUnit(plain, low, end, unit.unit);
    if (behind && first) {
      end = behind[1];
      if (compare(behind[0].value, first.value) >= 0) second = behind[0];
    } else {
      [start, end, first, second] = limited(low, start, end, first);
    }
  }
  if (first && second && compare(first.value, second.value) > 0) [first, second] = [second, first];
  const then = angleAt(low, end);
  if (then) end = then[1];
  return {
    start, end, first, second, unit: unit.unit, then: then ? then[0] : null, unitStart,
    unitEnd: unit.end,
  };
}

// Two torques are the same where what each was rounded by bridges the gap.
function meet(one, worth, two, other) {
  const [a, b] = [toNumber(worth), toNumber(other)];
  const apart = Math.abs(toNumber(one.value) * a - toNumber(two.value) * b);
  return apart <= (toNumber(one.slack) * a + toNumber(two.slack) * b) * (1 + torques.rounding);
}
function agreeAs(first, worth, second, other) {
  return [[first.first, second.first], [first.second, second.second]]
    .every(([a, b]) => !a || !b || meet(a, worth, b, other));
}
const once = (texts) => [...new Set(texts)].join("..");
function slipOf(first, second) {
  const sides = [first.first, first.second].filter((side) => side).map((side) => side.value);
  const shown = (read) => once([read.first, read.second].filter((side) => side)
    .map((side) => significant(side.value, 6)));
  const factor = over(worthOf(first.unit), worthOf(second.unit));
  const message = fill(torques.disagree, {
    first: shown(first), unit: first.unit, second: shown(second), other: second.unit,
    converted: once(sides.map((side) => significant(times(side, factor), 3))),
  });
  const [one, two] = [worthOf(first.unit), worthOf(second.unit)];
  for (const [stated, meant, words] of torques.slips) {
    if (stated === second.unit && agreeAs(first, one, second, worthOf(meant))) {
      return [message, fill(torques.wouldAgree, { figure: shown(second), meant, words })];
    }
    if (stated === first.unit && agreeAs(first, worthOf(meant), second, two)) {
      return [message, fill(torques.wouldAgree, { figure: shown(first), meant, words })];
    }
  }
  for (const [by, words] of torques.tens) {
    if (agreeAs(first, one, second, over(two, exact(by)))) {
      return [message, fill(torques.slipped, { words })];
    }
  }
  return [message, torques.lookAgain];
}
function dualAt(ready, first) {
  let found = null;
  let { end } = first;
  let opened = "";
  for (;;) {
    const match = matchAt(torques.between, ready.low, end);
    if (match === null) break;
    const second = torqueAt(ready, after(match));
    if (!second || second.unit === null || second.unit === first.unit) break;
    const agrees = agreeAs(first, worthOf(first.unit), second, worthOf(second.unit));
    const { mark } = match.groups;
    if ((mark === ", " || mark === " - ") && !agrees && !found) break;
    opened = opened || strip(mark);
    const closing = { "(": ")", "[": "]" }[opened[0]];
    end = closing && ready.low[second.end] === closing ? second.end + 1 : second.end;
    if (!found || (found.agrees && !agrees)) {
      found = { agrees, slip: agrees ? null : slipOf(first, second) };
    }
    found.end = end;
  }
  return found;
}

// The torque that the whole of a text states, with what stands against a second figure.
function parseTorque(text) {
  const ready = prepare(text);
  const { low } = ready;
  const open = whole(torques.canonical, low);
  if (open && (open.groups.low || open.groups.high)) {
    const [least, most] = [open.groups.low, open.groups.high].map((one) => (one ? fromText(one) : null));
    if (least === null || most === null || compare(least, most) <= 0) {
      return { low: least, high: most, unit: "N·m", then: null, objections: [] };
    }
  }
  const place = search(torques.place, low);
  const read = place && torqueAt(ready, place.index);
  if (!read || /[^ ~]/u.test(low.slice(0, read.start))) return refused(torques.wrong, text);
  const value = (then) => ({
    low: read.first && read.first.value, high: read.second && read.second.value,
    unit: read.unit, then, objections: [],
  });
  if (!/[^ .]/u.test(low.slice(read.end))) {
    return read.unit === null ? refused(torques.force, text) : value(read.then);
  }
  const dual = read.unit === null ? null : dualAt(ready, read);
  if (!dual) return refused(torques.wrong, text);
  let { end } = dual;
  let { then } = read;
  const later = then === null ? angleAt(low, end) : null;
  if (later) [then, end] = later;
  if (/[^ .]/u.test(low.slice(end))) return refused(torques.wrong, text);
  const stated = value(then);
  if (!dual.agrees) {
    const [message, hint] = dual.slip;
    stated.objections.push({ code: "torque-units-disagree", message, hint });
  }
  return stated;
}
function torqueInWords({ low, high, unit, then }) {
  const shown = (side) => (side === null ? "" : significant(times(side, worthOf(unit))));
  const [least, most] = [shown(low), shown(high)];
  const text = (least === most ? least : least + ".." + most) + " N·m";
  return then === null ? text : text + " + " + significant(then) + " deg";
}

// ---------------------------------------------------------------- pages

function element(name, text = "", kind = "") {
  const made = document.createElement(name);
  if (text) made.textContent = text;
  if (kind) made.className = kind;
  return made;
}
// A designation as it is stamped on every page: fractions set as fractions, the series small.
function stamped(canonical) {
  const made = element("b", "", "th");
  const [, figures, series, left] = /^(.*?)((?: (?:[A-Z]{2}[A-Za-z]*|house))?)((?: LH)?)$/.exec(canonical);
  let end = 0;
  for (const found of figures.matchAll(/(?<![\d/.])(\d{1,2})\/(\d{1,3})(?![\d/.])/g)) {
    const set = element("span", "", "fr");
    set.append(element("i", found[1]), "/", element("i", found[2]));
    made.append(figures.slice(end, found.index), set);
    end = found.index + found[0].length;
  }
  made.append(figures.slice(end));
  if (series) made.append(" ", element("small", series.trim()));
  if (left) made.append(" ", element("em", "LH"));
  return made;
}
// The same, leading to the thread's own page where the site has one.
function named(canonical, pages) {
  const address = own(pages, canonical.replace(/ LH$/, ""));
  if (address === null) return stamped(canonical);
  const link = element("a");
  link.href = address;
  link.append(stamped(canonical));
  return link;
}
// A term and its figure, as a label has them.
function row(term, figure) {
  const made = element("div");
  const shown = element("dd");
  shown.append(figure);
  made.append(element("dt", term), shown);
  return made;
}
// A form that answers as it is filled in and keeps what it holds in the address.
function makeTool(form, status, answer) {
  if (!form || !status) return;
  const fields = [...form.elements].filter((field) => field.name);
  let later = 0;
  const filled = () => fields.some((field) => field.type !== "radio" && field.tagName !== "SELECT"
    && field.value.trim());
  function show() {
    if (filled()) answer(Object.fromEntries(new FormData(form)));
    else answer(null);
  }
  function keep(anew) {
    clearTimeout(later);
    const address = new URL(location.href);
    address.search = filled() ? new URLSearchParams(new FormData(form)).toString() : "";
    if (address.href === location.href) return;
    try {
      history[anew === true ? "pushState" : "replaceState"](null, "", address);
    } catch { /* some browsers forbid it for files: the answer is there all the same */ }
  }
  function restore() {
    const given = new URLSearchParams(location.search);
    form.reset();
    for (const field of fields) {
      if (!given.has(field.name)) continue;
      if (field.type === "radio") field.checked = field.value === given.get(field.name);
      else field.value = given.get(field.name);
      if (field.selectedIndex === -1) field.selectedIndex = 0;
    }
    show();
  }
  form.addEventListener("submit", (event) => { event.preventDefault(); keep(true); show(); });
  form.addEventListener("input", () => {
    clearTimeout(later);
    later = setTimeout(keep, 400);
    show();
  });
  window.addEventListener("popstate", restore);
  if (location.search) restore();
  else show();
}
const say = (status, text) => { if (status.textContent !== text) status.textContent = text; };

Object.assign(bench, {
  ratio, add, less, times, over, compare, exact, toNumber, general, fixed, rounded, percent, counted,
  significant, fill, pattern, whole, strip, fold, prepare, figure, parseLength, parseDiameter,
  parseOneLength, parsePitch, parseTorque, torqueInWords, worthOf, element, stamped, named, row, makeTool, say,
});
})();
