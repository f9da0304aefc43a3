// Looks a serial number up: every lot that covers it, other readings offered and never assumed.
// The same steps as kbgen/serials, on its rules; tests hold the two together.
"use strict";
(function () {

const bench = self.kbgenBench;
const { rules, families } = bench.serial;
const { words, months } = rules;
const OTHER = new RegExp(rules.other, "gu");
const SIGN_OF = new Map(Object.entries(rules.signs).flatMap(
  ([figure, letters]) => Array.from(letters, (letter) => [letter, figure])));
const signOf = (sign) => SIGN_OF.get(sign) ?? sign;
const signs = (text) => Array.from(text);

function bare(text) {
  const plain = bench.strip(bench.fold(text.replaceAll("№", "#")).toUpperCase());
  const label = new RegExp("^(?:" + rules.label + ")", "u").exec(plain);
  return label ? plain.slice(label[0].length) : plain;
}
function parse(text) {
  const match = bench.whole(rules.serial, bare(text));
  if (!match) return { wrong: bench.fill(rules.noSerial, { text: bench.strip(text) }) };
  const figures = match.groups.number.replace(OTHER, "");
  if (figures.length > rules.most) {
    return { wrong: bench.fill(rules.tooLong, { most: rules.most, found: figures.length }) };
  }
  return {
    prefix: match.groups.prefix.replace(OTHER, ""), number: Number(figures),
    suffix: match.groups.suffix,
  };
}
function written({ prefix, number, suffix }) {
  const between = /[0-9]$/.test(prefix) ? "-" : prefix ? " " : "";
  return prefix + between + number + (suffix ? " " + suffix : "");
}
const alike = (a, b) => written(a) === written(b);
const reading = (serial) => ({ canonical: written(serial), ...serial });

function blocksOf(lots) {
  return lots.flatMap(([from, to, allotted, works, variant, name, basis, source]) => {
    const [first, last] = [parse(from), parse(to)];
    if (first.wrong || last.wrong || first.prefix !== last.prefix || first.suffix !== last.suffix
        || first.number > last.number) return [];
    const { prefix, suffix } = first;
    return [{ prefix, suffix, first: first.number, last: last.number, allotted, works, variant, name,
      basis, source }];
  });
}
const covers = (block, { prefix, number, suffix }) => block.prefix === prefix
  && block.suffix === suffix && block.first <= number && number <= block.last;
const inWords = ({ prefix, suffix, first, last }) => bench.fill(words.lot, {
  first: written({ prefix, suffix, number: first }), last: written({ prefix, suffix, number: last }),
});
function dateInWords(date) {
  const [year, month, day] = date.split("-");
  return [day && Number(day), month && months[Number(month) - 1], year].filter(Boolean).join(" ");
}
const to = ({ works }) => (works ? bench.fill(words.to, { works }) : "");
const when = ({ allotted }) => bench.fill(allotted.split("-").length === 3 ? words.on : words.in,
  { date: dateInWords(allotted) });

function lotOf(block, serial) {
  return {
    lot: inWords(block), first: block.first, last: block.last,
    position: serial.number - block.first + 1, size: block.last - block.first + 1,
    not_before: block.allotted, works: block.works, variant: block.variant,
    variant_name: block.name, basis: block.basis, source: block.source,
  };
}
function uncovered(serial, blocks) {
  const said = [bench.fill(words.none, { serial: written(serial) })];
  const prefixes = [...new Set(blocks.map((block) => block.prefix))];
  const known = prefixes.filter(Boolean).join(", ");
  if (!blocks.length) {
    said.push(words.no_lots);
  } else if (prefixes.includes(serial.prefix)) {
    const its = blocks.filter((block) => block.prefix === serial.prefix);
    const ends = [...new Set(its.map((block) => block.suffix).filter(Boolean))].join(", ");
    if (its.every((block) => block.suffix !== serial.suffix)) {
      said.push(ends ? bench.fill(words.other_ends, { known: ends })
        : bench.fill(words.ended, { suffix: serial.suffix }));
    } else if (serial.prefix) {
      const runs = its.map((one) => one.first + " to " + one.last).join(", ");
      said.push(bench.fill(words.runs, { prefix: serial.prefix, runs }));
    }
  } else if (known) {
    said.push(bench.fill(serial.prefix ? words.other_letters : words.without_letters, { known }));
  }
  return said.join(" ");
}
function sentence(serial, blocks, covering) {
  if (!covering.length) return uncovered(serial, blocks);
  if (covering.length > 1) {
    const lots = covering.map((one) => bench.fill(words.beside,
      { lot: inWords(one), to: to(one), date: when(one) })).join("; ");
    return bench.fill(words.several, { count: covering.length, serial: written(serial), lots });
  }
  const [block] = covering;
  const { position, size, lot } = lotOf(block, serial);
  const found = bench.fill(words.covered, {
    serial: written(serial), position: bench.counted(position), size: bench.counted(size), lot,
    to: to(block), date: when(block),
  });
  return found + " " + bench.fill(words.not_before, { date: dateInWords(block.allotted) });
}

function readWith(typed, { prefix, suffix }) {
  const before = signs(prefix).length;
  const end = typed.length - signs(suffix).length;
  const body = typed.slice(before, end < 0 ? typed.length + end : end);
  const figures = body.map(signOf);
  const wanted = [...signs(prefix), ...figures, ...signs(suffix)];
  if (!figures.length || figures.some((sign) => !/^[0-9]$/.test(sign))) return null;
  if (figures.length > rules.most || wanted.length !== typed.length) return null;
  if (typed.some((sign, at) => signOf(sign) !== signOf(wanted[at]))) return null;
  const changes = typed.map((sign, at) => [sign, wanted[at]]).filter(([a, b]) => a !== b);
  return [{ prefix, number: Number(figures.join("")), suffix }, changes];
}
function because(serial, other, changes, leftOut) {
  const said = [...new Set(changes.map(([from, into]) => bench.fill(words.read_as,
    { written: from, read: into })))];
  if (leftOut) said.push(bench.fill(words.left_out, { suffix: serial.suffix }));
  else if (!changes.length && serial.prefix !== other.prefix && other.prefix) {
    said.push(bench.fill(words.set_off, { prefix: other.prefix }));
  }
  return said.join("; ");
}
function others(text, serial, blocks) {
  const typed = bare(text).replace(OTHER, "");
  const short = serial.suffix && typed.endsWith(serial.suffix)
    ? typed.slice(0, -serial.suffix.length) : typed;
  const found = [];
  for (const block of blocks) {
    for (const one of new Set([typed, short])) {
      const read = readWith(signs(one), block);
      if (!read || alike(read[0], serial) || found.some(([other]) => alike(other, read[0]))) continue;
      if (!blocks.some((each) => covers(each, read[0]))) continue;
      found.push([read[0], because(serial, ...read, one !== typed)]);
    }
  }
  return found;
}
// What the command prints as JSON for the same number, or what is wrong with it.
function answer({ number, family }) {
  const serial = parse(number);
  if (serial.wrong) return { field: "number", ...serial };
  const blocks = blocksOf(families[family].lots);
  const covering = blocks.filter((block) => covers(block, serial));
  return {
    reading: reading(serial),
    lots: covering.map((block) => lotOf(block, serial)),
    answer: sentence(serial, blocks, covering),
    conflict: covering.length > 1,
    other_readings: others(number, serial, blocks).map(([other, why]) => ({
      ...reading(other), because: why,
      lots: blocks.filter((block) => covers(block, other)).map((block) => lotOf(block, other)),
    })),
  };
}
bench.serial.answer = answer;

// ---------------------------------------------------------------- the page

const form = document.getElementById("serial-form");
const status = document.getElementById("serial-status");
const list = document.getElementById("serial-results");

function label(lot, heading) {
  const item = bench.element("li", "", "label");
  const named = bench.element("p", "", "des");
  named.append(bench.element("small", "not before"), " ",
    bench.element("b", dateInWords(lot.not_before), "th"));
  const figures = bench.element("dl");
  figures.append(
    bench.row("Place", bench.counted(lot.position) + " of " + bench.counted(lot.size)),
    bench.row("Lot", lot.lot));
  if (lot.works) figures.append(bench.row("Works", lot.works));
  if (lot.variant_name || lot.variant) figures.append(bench.row("Variant", lot.variant_name || lot.variant));
  const basis = bench.element("p", "", "basis");
  basis.append(bench.element("span", lot.basis), ": " + lot.source + ".");
  item.append(bench.element("p", heading, "where"), named, figures, basis);
  return item;
}
function labels(result) {
  const found = result.lots.map((lot) => label(lot, result.reading.canonical));
  for (const other of result.other_readings) {
    const heading = "Or is it " + other.canonical + "? (" + other.because + ")";
    found.push(...other.lots.map((lot) => label(lot, heading)));
  }
  return found;
}
const capital = (text) => text[0].toUpperCase() + text.slice(1);

bench.makeTool(form, status, (given) => {
  const result = given ? answer(given) : null;
  bench.say(status, !result ? "" : result.wrong ? capital(result.wrong) + "." : result.answer);
  list.replaceChildren(...(result && !result.wrong ? labels(result) : []));
});
})();
