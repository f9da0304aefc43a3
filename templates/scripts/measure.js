// Names a screw or a hole from caliper and gauge: every candidate, never the nearest.
// The same steps as kbgen/units/identify.py, on its tables; tests hold the two together.
"use strict";
(function () {

const bench = self.kbgenBench;
const { words, ...rules } = bench.measure;
const threads = rules.threads.map(
  ([canonical, major, pitch, leastMajor, least, greatest, form, memory], order) => {
    const wear = rules.wear + rules.wearShare * major;
    return {
      canonical, order, major, pitch: rules.pitches[pitch], fromMemory: memory === 1,
      angle: rules.forms[form][0], tapered: rules.forms[form][1],
      screw: [leastMajor - wear, major + rules.burr],
      bore: [least - rules.burr, greatest + wear],
    };
  });

function parting(known, other, within) {
  const apart = Math.abs(known.pitch - other.pitch);
  if (apart > 1e-6 && Math.ceil(rules.visible / apart - 1e-9) <= rules.mostTurns) {
    const turns = Math.ceil(rules.visible / apart - 1e-9);
    return bench.fill(words.gauge, { turns, word: turns === 1 ? "turn" : "turns" });
  }
  if (known.angle !== other.angle) {
    return bench.fill(words.angle,
      { own: bench.general(known.angle), other: bench.general(other.angle) });
  }
  if (known.tapered || other.tapered) return words.taper;
  const thicker = known.major - other.major;
  if (Math.abs(thicker) > within) {
    const word = thicker > 0 ? "thicker" : "thinner";
    return bench.fill(words.thickness, { by: bench.fixed(Math.abs(thicker), 2), word });
  }
  return words.nothing;
}
function settled(known, others, within) {
  if (!others.length) return null;
  const parts = new Map();
  for (const other of others) {
    const how = parting(known, other, within);
    parts.set(how, [...(parts.get(how) || []), other.canonical]);
  }
  return [...parts].map(([how, names]) => how + " " + names.join(" and ")).join("; ");
}
function identify(diameter, pitch, within, bore) {
  if (!(diameter > 0 && pitch > 0 && within >= 0)) return { wrong: words.below_zero };
  if (pitch >= diameter) {
    return { wrong: bench.fill(words.wider,
      { pitch: bench.general(pitch), diameter: bench.general(diameter) }) };
  }
  const apart = Math.max(rules.pitchShare * pitch, rules.pitchLeast);
  const side = bore ? "bore" : "screw";
  const rank = (known) => [bench.rounded(Math.abs(known.pitch - pitch), 4), Number(known.fromMemory),
    bench.rounded(Math.abs(known.major - diameter), 4), known.order];
  const found = threads.filter((known) => {
    const [least, greatest] = known[side];
    return least - within <= diameter && diameter <= greatest + within
      && Math.abs(known.pitch - pitch) <= apart + 1e-9;
  }).map((known) => [rank(known), known]).sort(([a], [b]) => {
    const at = a.findIndex((value, place) => value !== b[place]);
    return at < 0 ? 0 : a[at] - b[at];
  }).map(([, known]) => known);
  return {
    measured: {
      [bore ? "bore_mm" : "major_mm"]: diameter, pitch_mm: bench.rounded(pitch, 4),
      within_mm: within,
    },
    candidates: found.map((known) => ({
      canonical: known.canonical,
      expected_mm: known[side].map((limit) => bench.rounded(limit, 3)),
      pitch_difference_mm: bench.rounded(known.pitch - pitch, 4),
      settled_by: settled(known, found.filter((other) => other !== known), within),
      from_memory: known.fromMemory,
    })),
  };
}
// What the command prints as JSON for the same words, or what is wrong and in which field.
function answer({ diameter, pitch, within, part }) {
  const across = bench.parseDiameter(diameter);
  if (across.wrong) return { field: "diameter", ...across };
  const about = bench.parseOneLength(within);
  if (about.wrong) return { field: "within", ...about };
  const between = bench.parsePitch(pitch);
  if (between.wrong) return { field: "pitch", ...between };
  return identify(bench.toNumber(across.middle), bench.toNumber(between.middle),
    bench.toNumber(bench.add(about.middle, across.half)), part === "hole");
}
bench.measure.answer = answer;

// ---------------------------------------------------------------- the page

const form = document.getElementById("measure-form");
const status = document.getElementById("measure-status");
const list = document.getElementById("measure-results");

function label(found) {
  const item = bench.element("li", "", "label");
  const named = bench.element("p", "", "des");
  named.append(bench.named(found.canonical, rules.pages));
  const figures = bench.element("dl");
  const [least, greatest] = found.expected_mm.map((limit) => bench.fixed(limit, 3));
  const inches = found.expected_mm.map((limit) => bench.fixed(limit / rules.inch, 4));
  figures.append(bench.row("Reads", least + " to " + greatest + " mm, worn or new"),
    bench.row("or", inches.join(" to ") + " in"));
  const off = found.pitch_difference_mm;
  figures.append(bench.row("Pitch", off === 0 ? "as measured"
    : Math.abs(off) + " mm " + (off > 0 ? "coarser" : "finer") + " than measured"));
  item.append(named, figures);
  if (found.settled_by) item.append(bench.element("p", "Settled by: " + found.settled_by + ".", "remark"));
  if (found.from_memory) {
    item.append(bench.element("p", "Its figures are from memory: no document was seen.", "remark"));
  }
  return item;
}
function saying(given, result) {
  if (!given || !given.diameter.trim() || !given.pitch.trim()) {
    return ["A diameter and a pitch are needed.", []];
  }
  if (result.wrong) return [capital(result.wrong) + ".", []];
  const { candidates } = result;
  if (!candidates.length) {
    return ["None: no thread of any series fits these readings. Measure again before you guess.", []];
  }
  const count = candidates.length === 1 ? "One thread fits." : candidates.length + " may be meant.";
  return [count, candidates];
}
const capital = (text) => text[0].toUpperCase() + text.slice(1);

bench.makeTool(form, status, (given) => {
  const ready = given && given.diameter.trim() && given.pitch.trim();
  const [says, candidates] = given ? saying(given, ready ? answer(given) : {}) : ["", []];
  bench.say(status, says);
  list.replaceChildren(...candidates.map(label));
});
})();
