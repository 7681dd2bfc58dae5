// Reads figures and judges them by the rules of the server, so that the verdict shows while somebody
// types. The server judges again when the visit is saved, and its verdict is the one that counts.

const NUMBER = "(?:[0-9]+(?:\\.[0-9]*)?|\\.[0-9]+)";
const AMOUNT = `(?:[0-9]+\\s+[0-9]+/[0-9]+|[0-9]+/[0-9]+|${NUMBER})`;
const LENGTH = new RegExp(
  `^([-+]?)\\s*(?:(${NUMBER})\\s*(?:mm)?|(?:(${AMOUNT})\\s*(?:ft|feet|foot|'))?\\s*(?:(${AMOUNT})\\s*(?:in|ins|inch|inches|"))?)$`
);
const PLAIN = new RegExp(`^([-+]?)\\s*(${NUMBER})\\s*([kM]?)\\s*(\\D*)$`);
const OHMS = ["", "ω", "ohm", "ohms"];

function tidy(text) {
  const spaced = text.replace(/[¼-¾⅐-⅞]/g, " $&");
  const plain = spaced.normalize("NFKC").replace(/⁄/g, "/").replace(/[”″]/g, '"').replace(/[’′]/g, "'").replace(/−/g, "-");
  return plain.trim().replace(/\s+/g, " ");
}

// Whole numbers above and below the line, so that 4 1/4 in is exactly 107.95 mm.
function fraction(written) {
  let above = 0, below = 1;
  for (const piece of (written ?? "").split(" ").filter(Boolean)) {
    const [a, b = "1"] = piece.split("/");
    const places = (a.split(".")[1] ?? "").length;
    const top = Number(a.replace(".", "")), bottom = Number(b) * 10 ** places;
    above = above * bottom + top * below;
    below *= bottom;
  }
  return [above, below];
}

// The figure in the unit, or null where it cannot be read.
export function parseFigure(text, unit) {
  if (text.includes(",")) return null;
  const written = tidy(text);
  if (unit === "mm") {
    const found = written.toLowerCase().match(LENGTH);
    if (!found || !(found[2] || found[3] || found[4])) return null;
    const sign = found[1] === "-" ? -1 : 1;
    if (found[2]) return sign * Number(found[2]);
    const [feet, perFoot] = fraction(found[3]), [inches, perInch] = fraction(found[4]);
    const value = ((12 * feet * perInch + inches * perFoot) * 254) / (perFoot * perInch * 10);
    return Number.isFinite(value) ? sign * value : null;
  }
  const found = written.match(PLAIN);
  const names = unit === "Ω" ? OHMS : ["", unit.toLowerCase(), "nm"];
  if (!found || !names.includes(found[4].toLowerCase())) return null;
  if (found[3] && unit !== "Ω") return null;
  const value = Number(found[2]) * { "": 1, k: 1e3, M: 1e6 }[found[3]];
  return found[1] === "-" ? -value : value;
}

const holds = (limit, value) =>
  (limit.least === null || value >= limit.least) && (limit.most === null || value <= limit.most);

// The verdict by limits that stand mildest first: the worst that does not hold; ends are within.
export function judge(value, limits) {
  if (!limits.length) return { verdict: "no_limit", words: "no limit", confirmed: true };
  return [...limits].reverse().find((limit) => !holds(limit, value))
    ?? { verdict: "within", words: "within", confirmed: limits[0].confirmed };
}
