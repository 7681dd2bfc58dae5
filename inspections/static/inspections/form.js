// The inspection form on a phone: verdicts while typing, everything kept at once, photographs, and
// saving with or without signal. Without this file the form works as any form does.

import { get, move, remove } from "./store.js";
import { allKept, keepDraft, putBack, saidKept, saidRestored, typedIn } from "./drafts.js";
import { judge, readFigure } from "./figures.js";
import { shrink } from "./camera.js";
import { send, whoAmI } from "./sending.js";

const form = document.querySelector("form.visit");
const { key, user, address, page, zone } = form.dataset;
const draftId = `${user}|${key}`;
const LONG_AGO_DAYS = 60;  // an older day is asked about before it is recorded
const NOT_TYPED = new Set(["csrfmiddlewaretoken", "client_id", "rods"]);

const draft = {
  id: draftId, user: Number(user), title: key, page, address, by: "", clientId: crypto.randomUUID(),
  fields: [], photos: [], touchedAt: 0, readings: 0, errors: null,
};

// Verdicts and progress

// What is in a box: its value, or why that is refused; null where nothing is.
function found(box) {
  const chosen = box.querySelector("input[type=radio]:checked");
  if (chosen) return { value: Number(chosen.value) };
  const written = box.querySelector("input:not([type=radio])")?.value.trim();
  return written ? readFigure(written, box.dataset.unit) : null;
}

// Whether a box holds a figure that such a reading cannot be.
function isOutside(box, value) {
  const { least, most } = box.dataset;
  return Boolean(least) && (value < Number(least) || value > Number(most));
}

// What is wrong with what is in a box, in a sentence; "" where it can be a reading.
function slipIn(box) {
  const { value, refused } = found(box) ?? {};
  if (refused) return refused;
  return isOutside(box, value)
    ? `${Number(value.toFixed(3))} ${box.dataset.unit} cannot be right: ${box.dataset.plausible}. Measure again, or check the figure.`
    : "";
}

function showVerdict(box) {
  const shown = box.querySelector("output");
  const { value, refused } = found(box) ?? {};
  shown.hidden = value === undefined && !refused;
  if (shown.hidden) { shown.textContent = ""; return; }
  if (refused) { say(shown, "alert", refused); return; }
  if (isOutside(box, value)) { say(shown, "alert", `cannot be right: ${box.dataset.plausible}`); return; }
  if (!tells(box, value)) { say(shown, "alert", "says nothing of the gauge and place that are asked"); return; }
  const judged = judge(value, JSON.parse(box.dataset.limits));
  say(shown, judged.verdict, `${resultOf(value, judged, box)}${judged.confirmed ? "" : " · limit not confirmed"}`);
}

// Whether a test says anything of what is asked: as inspections/catalogue/trials.py has it.
function tells(box, value) {
  const tried = box.closest(".reading")?.querySelector(".tried");
  if (!tried) return true;
  const [gauge, put] = tried.querySelectorAll("input");
  const thickness = readFigure(gauge.value.trim(), "mm")?.value;
  if (thickness === undefined) return true;
  if (put.value.trim() !== tried.dataset.at) return false;
  const asked = Number(tried.dataset.thickness);
  return value ? thickness >= asked : thickness <= asked;
}

// In words, as the pages of the server say it: "out of limits: too small by 6 mm".
function resultOf(value, judged, box) {
  if (judged.verdict === "within") return "within limits";
  const { least = null, most = null } = judged;
  const under = least !== null && value < least;
  if (box.querySelector("input[type=radio]") || !(under || (most !== null && value > most))) return judged.words;
  const by = amount(under ? least - value : value - most, box.dataset.unit);
  return `${judged.words}: too ${under ? "small" : "large"} by ${by}`;
}

function amount(value, unit) {
  const [factor, prefix] = unit !== "Ω" || value < 1e3 ? [1, ""] : value < 1e6 ? [1e3, "k"] : [1e6, "M"];
  return `${Number((value / factor).toPrecision(3))} ${prefix}${unit}`;
}

function say(shown, kind, words) {
  shown.className = `verdict ${kind}`;
  // Written only when it changes, so that a screen reader does not say it at every character.
  if (shown.textContent !== words) shown.textContent = words;
}

const isTaken = (box) => found(box) !== null || Boolean(box.querySelector("select")?.value);
const boxes = [...form.querySelectorAll(".box[data-limits]")];
const looks = [...form.querySelectorAll(".look")];

function showProgress() {
  const taken = boxes.filter(isTaken).length;
  const looked = looks.filter((look) => look.querySelector("input[type=radio]:checked")).length;
  document.querySelector("#progress").textContent =
    `${taken} of ${boxes.length} readings entered · ${looked} of ${looks.length} examined`;
}

// Keeping what is typed

function gather() {
  const here = new Set([...form.elements].map((control) => control.name));
  const typed = typedIn(form, NOT_TYPED);
  // Entries for places that this page no longer asks for stay with the visit.
  const elsewhere = draft.fields.filter(([name]) => !here.has(name));
  draft.fields = [
    ...typed, ...elsewhere.filter(([name]) => !NOT_TYPED.has(name)),
    ["client_id", draft.clientId], ["rods", form.elements.rods.value],
  ];
  draft.by = form.elements.by.value.trim();
  draft.readings = boxes.filter((box) => found(box) !== null).length;
  draft.touchedAt = Date.now();
}

function keep() {
  gather();
  return keepDraft(draft);
}

function restore(row) {
  Object.assign(draft, row);
  putBack(form, row.fields);
  draft.photos.forEach(showPhoto);
  saidRestored(row.touchedAt);
  openWhatIsFilled();
  if (row.errors) showErrors(row.errors);
}

function openWhatIsFilled() {
  for (const folded of form.querySelectorAll("details")) {
    const filled = [...folded.querySelectorAll("input:not([type=file])")].some((i) => (i.type === "radio" ? i.checked : i.closest(".tried") ? i.value !== i.defaultValue : i.value));
    if (filled || folded.querySelector(".shot")) folded.open = true;
  }
}

// Photographs

function showPhoto(photo) {
  const input = form.elements[photo.name];
  if (!input) return;
  const shot = document.createElement("span");
  shot.className = "shot";
  const picture = document.createElement("img");
  picture.src = URL.createObjectURL(photo.blob);
  picture.alt = input.getAttribute("aria-label");
  const out = document.createElement("button");
  out.type = "button";
  out.textContent = "Remove";
  out.addEventListener("click", () => {
    draft.photos = draft.photos.filter((other) => other !== photo);
    URL.revokeObjectURL(picture.src);
    shot.remove();
    keep();
  });
  shot.append(picture, out);
  input.after(shot);
}

async function takeIn(input) {
  const files = [...input.files];
  input.value = "";
  for (const file of files) {
    const photo = { name: input.name, blob: await shrink(file) };
    draft.photos.push(photo);
    showPhoto(photo);
  }
  await keep();
}

// Saving

function clearErrors() {
  document.querySelector("#refused").hidden = true;
  form.querySelectorAll(".said-here").forEach((list) => list.remove());
  form.querySelectorAll(".wrong").forEach((box) => box.classList.remove("wrong"));
  form.querySelectorAll("[aria-invalid]").forEach((control) => control.removeAttribute("aria-invalid"));
}

function listOf(messages) {
  const list = document.createElement("ul");
  list.className = "errorlist said-here";
  list.append(...messages.map((words) => Object.assign(document.createElement("li"), { textContent: words })));
  return list;
}

function linkTo(control, messages) {
  const list = listOf([""]);
  const name = control.labels?.[0]?.textContent.trim() || control.name;
  const place = control.closest("section")?.querySelector("h2")?.firstChild.textContent.trim();
  const link = Object.assign(document.createElement("a"), { href: `#${control.id}`, textContent: [place, name, messages[0]].filter(Boolean).join(": ") });
  list.firstChild.append(link);
  return list;
}

function showErrors(errors) {
  clearErrors();
  const summary = document.querySelector("#refused");
  for (const [name, messages] of Object.entries(errors)) {
    const named = form.elements.namedItem(name);
    const control = named instanceof RadioNodeList ? named[0] : named;
    const around = control?.type === "hidden" ? null : control?.closest(".box, .look, .field");
    if (!around) { summary.append(listOf(messages)); continue; }
    summary.append(linkTo(control, messages));
    around.classList.add("wrong");
    control.setAttribute("aria-invalid", "true");
    around.append(listOf(messages));
    around.closest("details")?.setAttribute("open", "");
  }
  summary.hidden = false;
  summary.focus();
}

// What the register would refuse is said on the spot: without signal it would come back days later.
function stopsAtASlip() {
  const wrong = boxes.filter((box) => slipIn(box));
  if (!wrong.length) return false;
  const inputs = wrong.map((box) => box.querySelector("input:not([type=radio])"));
  showErrors(Object.fromEntries(wrong.map((box, n) => [inputs[n].name, [slipIn(box)]])));
  wrong.forEach((box) => { box.querySelector("output").hidden = true; });  // said beside it already
  inputs[0].focus();
  return true;
}

// What is recorded stays: a slip in the year would stand for ever.
function dayIsMeant() {
  const days = Math.round((Date.parse(nowHere()) - Date.parse(form.elements.at.value)) / 86_400_000);
  if (!(days > LONG_AGO_DAYS)) return true;
  form.elements.at.focus();
  return confirm(`This visit is dated ${days} days ago. Is that the day it was made?`);
}

async function save() {
  await keep();
  const visit = { ...structuredClone(draft), id: draft.clientId, savedAt: Date.now() };
  const who = await whoAmI();
  const other = who.became === "ok" && who.user !== visit.user;
  const tried = who.became !== "ok" ? who : other ? { became: "other" } : await send(visit, who, false);
  if (tried.became === "sent") {
    await remove("drafts", draftId);
    location.assign(tried.url);
  } else if (tried.became === "refused") {
    // Said once: what is fitted now is what the next saving goes by.
    form.elements.rods.value = tried.rods;
    draft.errors = null;
    await keep();
    showErrors(tried.errors);
  } else {
    await move("drafts", draftId, "queue", { ...visit, problem: other ? "other" : null });
    location.assign(document.querySelector("#waits").href);
  }
}

// The day and time of a new form are those of opening it, also where the page was kept long before.
function nowHere() {
  const parts = new Intl.DateTimeFormat("sv-SE", { timeZone: zone, dateStyle: "short", timeStyle: "short" });
  return parts.format(new Date()).replace(" ", "T");
}

// Why the visit is made, as the link to this page says it: a kept page was made for any reason.
function askedFor() {
  const { reason } = form.elements, asked = new URLSearchParams(location.search).get("reason");
  if ([...reason.options].some((option) => option.value === asked)) reason.value = asked;
}

async function begin() {
  const row = await get("drafts", draftId).catch(() => null);
  if (row) restore(row);
  else if (form.elements.at.value === form.elements.at.defaultValue) {
    form.elements.at.value = nowHere();
    askedFor();
  }
  boxes.forEach(showVerdict);
  showProgress();
  form.addEventListener("input", (event) => {
    if (event.target.type === "file") return;
    const box = event.target.closest(".box[data-limits]");
    if (box) showVerdict(box);
    else if (event.target.closest(".tried")) boxes.forEach(showVerdict);
    showProgress();
    keep();
  });
  form.addEventListener("change", (event) => { if (event.target.type === "file") takeIn(event.target); });
  document.querySelector("#afresh").addEventListener("click", async () => {
    if (!confirm(`Discard what was entered for ${key} and start again?`)) return;
    await allKept();
    await remove("drafts", draftId);
    location.reload();
  });
  let saving = false;
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (saving || stopsAtASlip() || !dayIsMeant()) return;
    saving = true;
    saidKept("Saving ...");
    await save().catch(() => saidKept("This phone could not save the form. Nothing you typed has been lost: try again."));
    saving = false;
  });
  // The back button may bring back a page that was saved long since: begin it anew.
  addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
  form.dataset.ready = "yes";
}

begin();
