// Converts a torque and holds it against the proof stress of a screw, assumptions and all.
// The same steps as kbgen/units/preload.py, on its tables; tests hold the two together.
"use strict";
(function () {

const bench = self.kbgenBench;
const rules = bench.torque;
const { words } = rules;
const units = bench.reading.torque;
const [ABOVE_PROOF, ABOVE_USUAL, TOO_LOW] = rules.codes;
const own = (table, key) => (Object.hasOwn(table, key) ? table[key] : null);

// ---------------------------------------------------------------- what was typed

const squeezed = (text) => bench.strip(bench.fold(text)).toLowerCase().replace(/\s+/gu, " ")
  .replace(/ ?([x-]) ?/g, "$1");
const NAMED = new Map();
for (const canonical of Object.keys(rules.threads)) NAMED.set(squeezed(canonical), canonical);
for (const [said, canonical] of Object.entries(rules.named)) NAMED.set(squeezed(said), canonical);

// A thread of the tables by its designation; what is not among them is told, never guessed.
function threadNamed(text) {
  const said = squeezed(text);
  const left = said.endsWith(" lh");
  const canonical = NAMED.get(left ? said.slice(0, -3) : said);
  // a small g before a figure is no pipe thread, at the bench neither
  if (canonical === undefined || (canonical[0] === "G" && !bench.strip(text).startsWith("G"))) {
    return { wrong: bench.fill(rules.noThread, { text: bench.strip(text) }) };
  }
  const [diameter, area, source, american] = rules.threads[canonical];
  return {
    canonical: canonical + (left ? " LH" : ""), diameter, area, source: rules.sources[source], american,
  };
}
function nutFactor(text) {
  const plain = bench.strip(text);
  if (!plain) return { factor: null };
  if (!bench.whole(bench.reading.length.nutFactor, plain)) {
    return { wrong: bench.fill(bench.reading.length.wrongNutFactor, { text: plain }) };
  }
  return { factor: Number(plain.replace(",", ".")) };
}
const saidOf = ([name, standard, proof, basis]) => bench.fill(rules.said,
  { standard, name, basis, proof: bench.fixed(proof, 0) });

// Every reading of a stated strength at a diameter, weakest first.
function strengths(stated, diameter) {
  const found = rules.strengths[stated].flatMap((rows) => {
    const fitting = rows.filter(([from]) => from < diameter - 1e-6 || from === 0);
    return fitting.reduce((a, b) => (b[0] > a[0] ? b : a))[1];
  });
  return found.sort((a, b) => a[2] - b[2]);
}

// ---------------------------------------------------------------- the judgement

function tightening(thread, low, high, stated, factor, unit) {
  if (thread.area === null) {
    return { verdict: rules.notJudged, preload: null, share: null, assumed: [words.hollow], findings: [] };
  }
  if (factor !== null && !(factor >= 0.01 && factor <= 1)) {
    return { field: "factor", wrong: bench.fill(words.no_factor, { found: bench.general(factor) }) };
  }
  if (stated && own(rules.strengths, stated) === null) {
    return { field: "strength",
      wrong: bench.fill(rules.unknown, { stated, known: rules.grades.join(", ") }) };
  }
  const factors = factor === null ? rules.unstated : [factor, factor];
  const assumed = [];
  let [weakest, strongest] = [null, null];
  if (stated) {
    const all = strengths(stated, thread.diameter);
    [weakest, strongest] = [all[0], all[all.length - 1]];
    assumed.push(saidOf(weakest) === saidOf(strongest) && weakest[2] === strongest[2]
      ? bench.fill(words.stated, { weakest: saidOf(weakest) })
      : bench.fill(words.several,
        { stated, weakest: saidOf(weakest), strongest: saidOf(strongest) }));
  } else {
    [weakest] = strengths(rules.weakest[thread.american], thread.diameter);
    strongest = strengths(rules.strongest[thread.american], thread.diameter).pop();
    assumed.push(bench.fill(words.weakest, { weakest: saidOf(weakest) }));
  }
  if (factor === null) {
    assumed.push(bench.fill(words.factor,
      { low: bench.fixed(factors[0], 2), high: bench.fixed(factors[1], 2) }));
  }
  assumed.push(bench.fill(words.area,
    { area: bench.general(thread.area, 3), source: thread.source }));
  const preload = (torque, by) => torque * 1000 / (by * thread.diameter);
  const share = (strength, torque, by) => preload(torque, by) / (strength[2] * thread.area);
  const least = low === null ? high : low;
  const most = high === null ? low : high;
  const judged = { weakest, strongest, factors, share, most, stated, unit, limitOnly: low === null };
  const findings = concerns(judged);
  return {
    verdict: findings.length ? rules.verdicts[findings[0].code] : rules.fits,
    preload: [preload(least, factors[1]), preload(most, factors[0])],
    share: [
      share(stated ? strongest : weakest, least, factors[1]), share(weakest, most, factors[0]),
    ],
    assumed, findings,
  };
}
const newtonMetres = (torque) => bench.fill(words.torque, { figure: bench.general(torque, 4) });

function concerns(judged) {
  const { weakest, strongest, factors, share, most, stated } = judged;
  const [least, greatest] = factors;
  const factor = bench.fixed(greatest, 2);
  const torque = newtonMetres(most);
  const found = [];
  const atMost = share(strongest, most, greatest);
  const strength = stated ? strongest : weakest;
  const usual = share(strength, most, greatest);
  if (atMost > 1) {
    found.push({
      code: ABOVE_PROOF,
      message: bench.fill(words.above_proof, {
        torque, share: bench.percent(atMost), factor, strongest: saidOf(strongest),
        what: stated ? words.what_stated : words.what_strongest,
      }),
      hint: words.check_value,
    });
  } else if (usual > rules.usual) {
    const reason = bench.fill(stated ? words.for_stated : words.for_weakest,
      { strength: saidOf(strength) });
    found.push({
      code: ABOVE_USUAL,
      message: bench.fill(words.above_usual, { torque, share: bench.percent(usual), reason, factor }),
      hint: stated ? words.usual_aim : words.state_class,
    });
  } else if (share(weakest, most, least) < rules.least && !judged.limitOnly) {
    found.push({
      code: TOO_LOW,
      message: bench.fill(words.too_low, {
        torque, share: bench.percent(share(weakest, most, least), 1), weakest: saidOf(weakest),
        factor: bench.fixed(least, 2),
      }),
      hint: words.check_unit,
    });
  }
  const slip = slipOf(judged);
  if (found.length && slip && found[0].code !== ABOVE_USUAL) {
    found[0].hint = slip + "; " + found[0].hint;
  }
  return found;
}
function slipOf({ weakest, strongest, factors, share, most, unit }) {
  for (const [said, meant, factor] of rules.slips) {
    if (said !== unit) continue;
    const torque = most * factor;
    if (share(weakest, torque, factors[1]) >= rules.plausible
        && share(strongest, torque, factors[1]) <= 1) {
      return bench.fill(words.slip, { meant, written: said, torque: newtonMetres(torque) });
    }
  }
  return "";
}

// What the command prints as JSON for the same words, or what is wrong and in which field.
function answer({ torque, thread, strength, factor }) {
  const read = bench.parseTorque(torque);
  if (read.wrong) return { field: "torque", ...read };
  const side = (value) => value && bench.times(value, bench.worthOf(read.unit));
  const [low, high] = [side(read.low), side(read.high)];
  const figures = (value, unit) => (value === null ? null
    : Number(bench.general(bench.toNumber(bench.over(value, bench.worthOf(unit))), 6)));
  const described = {
    canonical: bench.torqueInWords(read),
    low_nm: figures(low, "N·m"), high_nm: figures(high, "N·m"),
    then_deg: read.then && bench.toNumber(read.then),
    in_units: Object.fromEntries(units.shown.map(
      (unit) => [unit, [figures(low, unit), figures(high, unit)]])),
  };
  if (!bench.strip(thread)) {
    return read.objections.length ? { ...described, findings: read.objections } : described;
  }
  const screw = threadNamed(thread);
  if (screw.wrong) return { field: "thread", ...screw };
  const stated = bench.strip(strength);
  const nut = nutFactor(factor);
  if (nut.wrong) return { field: "factor", ...nut };
  const double = (value) => value && bench.toNumber(value);
  const found = tightening(screw, double(low), double(high), stated, nut.factor, read.unit);
  if (found.wrong) return found;
  return {
    ...described, thread: screw.canonical,
    preload_n: found.preload && found.preload.map((force) => bench.rounded(force, 0)),
    proof_share: found.share && found.share.map((part) => bench.rounded(part, 3)),
    verdict: found.verdict, assumed: found.assumed,
    findings: [...read.objections, ...found.findings],
  };
}
rules.answer = answer;

// ---------------------------------------------------------------- the page

const form = document.getElementById("torque-form");
const status = document.getElementById("torque-status");
const room = document.getElementById("torque-results");

function plain(value) {
  return Math.abs(value) < 1000 ? bench.general(value, 3)
    : bench.fixed(Number(bench.general(value, 3)), 0);
}
function range(low, high) {
  if (low === null) return "up to " + plain(high);
  if (high === null) return plain(low) + " or more";
  return low === high ? plain(low) : plain(low) + " to " + plain(high);
}
const share = (part) => bench.percent(part, part >= 0.01 ? 0 : 1);

function figuresOf(found) {
  const item = bench.element("div", "", "label");
  const named = bench.element("p", "", "des");
  named.append(bench.element("b", found.canonical, "th"));
  const others = bench.element("dl");
  for (const [unit, [low, high]] of Object.entries(found.in_units)) {
    if (found.canonical.endsWith(unit)) continue;
    others.append(bench.row(unit, range(low, high)));
  }
  item.append(named, others);
  return item;
}
function screwOf(found) {
  const item = bench.element("div", "", "label");
  const named = bench.element("p", "", "des");
  named.append(bench.named(found.thread, rules.pages));
  const figures = bench.element("dl");
  figures.append(bench.row("Verdict", found.verdict));
  if (found.preload_n) figures.append(bench.row("Preload", range(...found.preload_n) + " N"));
  if (found.proof_share) {
    figures.append(bench.row("Share of proof", found.proof_share.map(share).join(" to ")));
  }
  item.append(named, figures);
  for (const said of found.assumed) item.append(bench.element("p", "Assumed: " + said + ".", "remark"));
  return item;
}
function worryOf({ message, hint }) {
  const item = bench.element("div", "", "mixup");
  item.append(bench.element("p", message + ".", "pair"));
  if (hint) item.append(bench.element("p", capital(hint) + "."));
  return item;
}
const capital = (text) => text[0].toUpperCase() + text.slice(1);

function saying(found) {
  if (found.wrong) return capital(found.wrong) + ".";
  const inch = range(...found.in_units["lbf·in"]);
  const said = [found.canonical + " is " + inch + " lbf·in."];
  if (found.thread) said.push("On " + found.thread + ": " + found.verdict + ".");
  const wrong = (found.findings || []).filter((one) => one.code === "torque-units-disagree");
  return [...said, ...wrong.map((one) => capital(one.message) + ".")].join(" ");
}
bench.makeTool(form, status, (given) => {
  const asked = given && given.torque.trim();
  const found = asked ? answer(given) : null;
  bench.say(status, found ? saying(found) : given ? "A torque with its unit is needed." : "");
  room.replaceChildren(...(!found || found.wrong ? [] : [
    figuresOf(found), ...(found.thread ? [screwOf(found)] : []),
    ...(found.findings || []).map(worryOf)]));
});
})();
