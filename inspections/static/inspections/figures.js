// Reads figures and judges them by the rules of the server, so that the verdict shows while somebody
// types. The server reads and judges again when the visit is saved, and its answer is the one that
// counts. The parser is the one of assets/engineering/figures.py and units.py, rule by rule and
// sentence by sentence; one table of cases (tests/assets/engineering/figure_cases.json) tries both.

// Fractions of whole numbers, so that 4 1/4 in is exactly 107.95 mm.

const ZERO = [0n, 1n], ONE = [1n, 1n];
const add = ([a, b], [c, d]) => [a * d + c * b, b * d];
const times = ([a, b], [c, d]) => [a * c, b * d];
const over = ([a, b], [c, d]) => (c < 0n ? [-a * d, -b * c] : [a * d, b * c]);
const minus = ([a, b]) => [-a, b];
const less = ([a, b], [c, d]) => a * d < c * b;

function exactly(decimal) {
  const [digits, exponent = "0"] = decimal.toLowerCase().split("e");
  const [whole, part = ""] = digits.split(".");
  const places = Number(exponent) - part.length;
  const number = BigInt(whole + part);
  return places < 0 ? [number, 10n ** BigInt(-places)] : [number * 10n ** BigInt(places), 1n];
}

// The nearest number that the computer holds.
function rounded([above, below]) {
  if (above < 0n) return -rounded([-above, below]);
  if (above === 0n) return 0;
  const bits = (n) => n.toString(2).length;
  const shift = BigInt(66 + bits(below) - bits(above));
  const [a, b] = shift < 0n ? [above, below << -shift] : [above << shift, below];
  return Number((a / b) | (a % b ? 1n : 0n)) * 2 ** -Number(shift);
}

// Ten figures of a number, without the noughts behind.
function short(value) {
  const [digits, exponent] = value.toPrecision(10).split("e");
  const plain = digits.includes(".") ? digits.replace(/\.?0+$/, "") : digits;
  return exponent ? `${plain}e${exponent}` : plain;
}

// Kinds and their units

const INCH = exactly("25.4");
const FOOT = times([12n, 1n], INCH);
const LBF = exactly("4.4482216152605");
const LBF_FT = times(LBF, over(FOOT, [1000n, 1n]));
const MILE_M = times([5280n, 1n], over(FOOT, [1000n, 1n]));
const unit = (name, spellings, scale = ONE, system = "", zero = ZERO) =>
  ({ name, spellings: spellings.split(" "), scale, system, zero });

const KINDS = {
  length: {
    words: "a length", example: "52.5 mm or 4 1/4 in",
    units: [
      unit("mm", "mm mms millimetre millimetres", ONE, "metric"),
      unit("cm", "cm cms centimetre centimetres", [10n, 1n], "metric"),
      unit("m", "m metre metres", [1000n, 1n], "metric"),
      unit("in", "in ins inch inches \" ''", INCH, "imperial"),
      unit("ft", "ft foot feet '", FOOT, "imperial"),
      unit("yd", "yd yds yard yards", times([3n, 1n], FOOT), "imperial"),
    ],
  },
  torque: {
    words: "a torque", example: "220 N·m or 162 lbf ft",
    units: [
      unit("N·m", "nm newtonmetre newtonmetres"),
      unit("lbf ft", "lbfft lbft ftlb ftlbs ftlbf", LBF_FT),
      unit("lbf in", "lbfin lbin inlb inlbs inlbf", over(LBF_FT, [12n, 1n])),
    ],
  },
  force: {
    words: "a force", example: "2.5 kN",
    units: [
      unit("N", "n newton newtons"),
      unit("kN", "kn kilonewton kilonewtons", [1000n, 1n]),
      unit("lbf", "lbf", LBF),
    ],
  },
  resistance: {
    words: "a resistance", example: "500 kΩ",
    units: [
      unit("Ω", "ω ohm ohms"),
      unit("kΩ", "k kω kohm kohms kilohm kilohms", [1000n, 1n]),
      unit("MΩ", "M Mω Mohm Mohms Megohm Megohms megohm megohms m mohm mohms", [1000000n, 1n]),
      unit("GΩ", "g gω gohm gohms gigohm gigohms", [1000000000n, 1n]),
      unit("mΩ", "mω milliohm milliohms Milliohm Milliohms m mohm mohms", [1n, 1000n]),
    ],
  },
  mileage: {
    words: "a mileage", example: "12.5 miles or 12m 34ch",
    units: [
      unit("miles", "mile miles mi m", ONE, "imperial"),
      unit("chains", "ch chs chain chains", [1n, 80n], "imperial"),
      unit("yards", "yd yds yard yards", [1n, 1760n], "imperial"),
      unit("km", "km kms kilometre kilometres", over([1000n, 1n], MILE_M), "metric"),
      unit("metres", "metre metres m", over(ONE, MILE_M), "metric"),
    ],
  },
  temperature: {
    words: "a temperature", example: "21 °C",
    units: [
      unit("°C", "°c c degc"),
      unit("°F", "°f f degf", [5n, 9n], "", [-160n, 9n]),
    ],
  },
  ratio: {
    words: "a ratio", example: "1.25 or 85 %",
    units: [unit("ratio", "ratio"), unit("%", "% percent", [1n, 100n])],
  },
  days: { words: "a number of days", example: "28", units: [unit("days", "d day days")] },
  turns: { words: "a number of turns", example: "1.5 or 1 1/2", units: [unit("turns", "turn turns")] },
  number: { words: "a number", example: "6.5", units: [] },
};
const PLAIN = unit("", "");
const toBase = (one, amount) => add(times(amount, one.scale), one.zero);
const fromBase = (one, amount) => over(add(amount, minus(one.zero)), one.scale);

function spelling(written) {
  const joined = written.replace(/\u2126/g, "Ω").replace(/[ .·⋅*]/g, "").replace(/([A-Za-z])-(?=[A-Za-z])/g, "$1");
  return (joined[0] === "M" ? "M" : joined.slice(0, 1).toLowerCase()) + joined.slice(1).toLowerCase();
}

function unitsSpelt(written, kind) {
  const key = kind === "resistance" ? spelling(written) : spelling(written).toLowerCase();
  return key ? KINDS[kind].units.filter((one) => one.spellings.includes(key)) : [];
}

const kindOf = (name) => Object.keys(KINDS).find((kind) => unitsSpelt(name, kind).length) ?? "number";

function ownUnit(name, kind) {
  const found = unitsSpelt(name, kind);
  return found.length === 1 ? found[0] : PLAIN;
}

// Reading

const LONGEST = 40, MOST_EXPONENT = 99;
const SPACES = /[ \t\n\r\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000]+/g;
const UNSEEN = /[\x00-\x1f\x7f-\x9f\u00ad\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff]/;
const VULGAR = {
  "¼": "1/4", "½": "1/2", "¾": "3/4", "⅐": "1/7", "⅑": "1/9", "⅒": "1/10", "⅓": "1/3", "⅔": "2/3",
  "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8",
  "⅝": "5/8", "⅞": "7/8",
};
const SIGN = /^([-+\u2212\u2013]?) ?/;
const TERM = / ?(?:(?:([0-9]+)[ -])?([0-9]+)\/([0-9]+)|((?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE]([-+]?[0-9]{1,3}))?))([^0-9,/][^0-9,]*)?/y;
const THOUSANDS = /^[-+\u2212\u2013]? ?[0-9]{1,3},[0-9]{3}(?![0-9])[^,]*$/;
const SPACED_THOUSANDS = /^[0-9]{1,3}(?: [0-9]{3})+$/;

class Refused extends Error {}

const evened = (text) => text.replace(SPACES, " ").replace(/^ | $/g, "");
const unspaced = (text) => text.replace(/^ +| +$/g, "");

// The figure in the unit of its box: { value }, or { refused } with a sentence.
export function readFigure(text, wanted) {
  try {
    return { value: figure(text, wanted) };
  } catch (problem) {
    if (problem instanceof Refused) return { refused: problem.message };
    throw problem;
  }
}

function figure(text, wanted) {
  const narrow = text.replace(/[\uff01-\uff5e]/g, (sign) => String.fromCharCode(sign.charCodeAt(0) - 0xfee0));
  const shown = evened(narrow);
  if (UNSEEN.test(shown)) throw new Refused("This has a sign in it that does not show: type the figure again.");
  if ([...shown].length > LONGEST) throw new Refused("That is too long for a figure.");
  if (shown.includes(",")) throw new Refused(comma(shown));
  const kind = kindOf(wanted);
  const [negative, terms] = termsOf(shown, kind, wanted);
  const units = unitsOf(shown, kind, wanted, terms);
  const own = ownUnit(wanted, kind);
  if (terms.length > 1) refuseTwoFigures(shown, wanted, own, terms, units);
  const parts = terms.map((term, at) => toBase(units[at], negative ? minus(term.amount) : term.amount));
  return rounded(fromBase(own, parts.reduce(add)));
}

function comma(shown) {
  if (THOUSANDS.test(shown)) {
    return `"${shown}" can be read as ${shown.replace(",", "")} or as ${shown.replace(",", ".")}: write it without a comma.`;
  }
  return `"${shown}" has a comma: write a decimal point, and no thousands.`;
}

function notAFigure(shown, kind, wanted) {
  const within = kind === "number" && wanted ? ` in ${wanted}` : "";
  return new Refused(`"${shown}" is not ${KINDS[kind].words}${within}: write one figure, like ${KINDS[kind].example}.`);
}

function termsOf(shown, kind, wanted) {
  const plain = evened(
    shown.replace(/[¼-¾⅐-⅞]/g, (sign) => ` ${VULGAR[sign] ?? sign} `)
      .replace(/[″”“]/g, '"').replace(/[′’‘]/g, "'").replace(/[⁄∕]/g, "/"),
  );
  const signed = plain.match(SIGN);
  const terms = [];
  TERM.lastIndex = signed[0].length;
  while (TERM.lastIndex < plain.length) {
    const found = TERM.exec(plain);
    if (!found) throw notAFigure(shown, kind, wanted);
    terms.push(termOf(shown, kind, wanted, found));
  }
  if (!terms.length) throw notAFigure(shown, kind, wanted);
  return [!["", "+"].includes(signed[1]), terms];
}

function termOf(shown, kind, wanted, [all, whole, above, below, decimal, exponent, spelt]) {
  const written = unspaced(all), named = unspaced(spelt ?? "");
  if (decimal) {
    if (Math.abs(Number(exponent ?? 0)) > MOST_EXPONENT) throw notAFigure(shown, kind, wanted);
    return { written, amount: exactly(decimal), unit: named, fraction: false };
  }
  if (BigInt(below) === 0n) throw new Refused(`"${shown}" has a fraction with nothing below the line.`);
  if (whole === undefined && mayBeMixed(above, BigInt(below))) {
    throw new Refused(
      `"${shown}" can be read as ${above} divided by ${below}, or as a whole number and a fraction: `
      + "write a space between the two, like 4 1/4.",
    );
  }
  return { written, amount: add([BigInt(whole ?? 0), 1n], [BigInt(above), BigInt(below)]), unit: named, fraction: true };
}

// Whether 41/4 may be 4 1/4 with its space left out.
function mayBeMixed(above, below) {
  for (let digits = 1; digits < above.length; digits += 1) {
    const last = above.slice(-digits);
    if (last[0] !== "0" && BigInt(last) < below) return true;
  }
  return false;
}

function unitsOf(shown, kind, wanted, terms) {
  if (terms.length === 1 && !terms[0].unit) return [bareUnit(shown, kind, wanted, terms[0])];
  if (!terms.some((term) => term.unit)) throw new Refused(bareFigures(shown, terms));
  const choices = terms.map((term) => unitsOfTerm(shown, kind, wanted, term));
  return terms.map((term, at) => chosen(shown, term, at, choices));
}

function bareUnit(shown, kind, wanted, term) {
  if (term.fraction && kind === "length") {
    throw new Refused(`"${shown}" can be read as ${shown} mm or as ${shown} in: write the unit.`);
  }
  return ownUnit(wanted, kind);
}

function bareFigures(shown, terms) {
  const listed = terms.map((term) => term.written).join(" and ");
  const joined = SPACED_THOUSANDS.test(shown) ? `${shown.replace(/ /g, "")} or as ` : "";
  return `"${shown}" can be read as ${joined}${listed}: write one figure.`;
}

function unitsOfTerm(shown, kind, wanted, term) {
  if (!term.unit) throw new Refused(`"${shown}" does not say what ${term.written} is: write a unit behind each figure.`);
  const number = kind === "number";
  if (number && wanted && spelling(term.unit).toLowerCase() === spelling(wanted).toLowerCase()) return [PLAIN];
  const found = unitsSpelt(term.unit, kind);
  if (found.length) return found;
  const other = kindOf(term.unit);
  if (other === "number") throw notAFigure(shown, kind, wanted);
  const within = number && wanted ? ` in ${wanted}` : "";
  throw new Refused(
    `"${shown}" is ${KINDS[other].words}, and ${KINDS[kind].words}${within} belongs here: write it like ${KINDS[kind].example}.`,
  );
}

// A spelling that stands for two units is told by its neighbours: "12m 34ch".
function chosen(shown, term, at, choices) {
  const beside = choices.filter((_, place) => place !== at).map((units) => units[0].system);
  let found = choices[at];
  if (found.length > 1) {
    const fitting = found.filter((one) => one.system && beside.includes(one.system));
    if (fitting.length) found = fitting;
  }
  if (found.length > 1) {
    const amount = unspaced(term.written.slice(0, -term.unit.length));
    const ways = found.map((one) => `${amount} ${one.name}`).join(" or as ");
    throw new Refused(`"${shown}" can be read as ${ways}: write which.`);
  }
  return found[0];
}

// Only "4 ft 8 1/2 in" and its like is one figure: each part less than one of the last.
function refuseTwoFigures(shown, wanted, own, terms, units) {
  const oneFigure = terms.slice(1).every((term, at) => (
    units[at].system && units[at].system === units[at + 1].system
    && less(times(term.amount, units[at + 1].scale), units[at].scale)
    && terms[at].amount[0] % terms[at].amount[1] === 0n
  ));
  if (oneFigure) return;
  const listed = terms.map((term) => term.written).join(" and ");
  const total = terms.map((term, at) => toBase(units[at], term.amount)).reduce(add);
  throw new Refused(
    `"${shown}" can be read as one figure, ${short(rounded(fromBase(own, total)))} ${wanted}, or as ${listed}: `
    + "write the one that is meant.",
  );
}

// Judging

const holds = (limit, value) =>
  (limit.least === null || value >= limit.least) && (limit.most === null || value <= limit.most);

// The verdict by limits that stand mildest first: the worst that does not hold; ends are within.
export function judge(value, limits) {
  if (!limits.length) return { verdict: "no_limit", words: "no limit", confirmed: true };
  return [...limits].reverse().find((limit) => !holds(limit, value))
    ?? { verdict: "within", words: "within", confirmed: limits[0].confirmed };
}
