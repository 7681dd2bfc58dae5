// Recording points as installed, on a phone: asks only for what arises, copies a stretcher in one
// touch, and keeps everything at once. Without this file the form works as any form does.

import { get, remove } from "../inspections/store.js";
import { allKept, keepDraft, putBack, saidKept, saidRestored, typedIn } from "../inspections/drafts.js";
import { whoAmI, WORDS } from "../inspections/sending.js";

// Of each stretcher for itself: it is examined, not copied.
const OF_ITSELF = new Set(["role", "notches", "condition", "kicker_required", "chiselled"]);
const TO_THE_RIGHT = { left_shoe: "right_shoe", left_fixings: "right_fixings" };

let form, draft;

const answer = (fact) => fact?.querySelector("input:checked")?.value ?? "";
const factsOf = (place) => new Map([...place.querySelectorAll("[data-fact]")].map((fact) => [fact.dataset.fact, fact]));

// Only what arises

function showWhatArises() {
  for (const fact of form.querySelectorAll("[data-other]")) {
    const other = factsOf(fact.closest("details.place")).get(fact.dataset.other);
    const says = [answer(other), other.dataset.known].find((value) => value && value !== "unknown");
    // Hidden and left out of what is sent; touched again, the answer is there again.
    fact.hidden = fact.disabled = !fact.dataset.values.split(" ").includes(says);
  }
}

// What the register says of a stretcher is not said of another one with another tag.
function showWhatIsKnown(box) {
  const other = box.value.trim().toLowerCase() !== box.defaultValue.trim().toLowerCase();
  for (const fact of box.closest("details.place").querySelectorAll(".group [data-fact], fieldset > .found-boxes [data-fact]")) {
    if (["role", "distance_mm"].includes(fact.dataset.fact)) continue;
    fact.dataset.registered ??= fact.dataset.known ?? "";
    fact.dataset.known = other ? "" : fact.dataset.registered;
    const says = fact.querySelector(".says");
    if (says) says.hidden = other;
  }
}

// Copying, asked for by a touch

function choose(fact, value) {
  const key = [...(fact?.querySelectorAll("input[type=radio]") ?? [])].find((input) => input.value === value);
  if (key) key.checked = true;
}

function copyFromTheLeft(place) {
  const facts = factsOf(place);
  for (const [from, to] of Object.entries(TO_THE_RIGHT)) choose(facts.get(to), answer(facts.get(from)));
  return true;
}

function copyFromBefore(place) {
  const places = [...form.querySelectorAll("[data-place]")];
  const before = places.slice(0, places.indexOf(place)).reverse().find((one) => one.querySelector('[name$="-tag"]').value.trim());
  if (!before) return false;
  const facts = factsOf(place);
  for (const [name, fact] of factsOf(before)) {
    if (!OF_ITSELF.has(name) && answer(fact)) choose(facts.get(name), answer(fact));
  }
  return true;
}

// Keeping and sending

function keep() {
  draft.fields = typedIn(form, new Set(["csrfmiddlewaretoken"]));
  draft.by = form.elements.by.value.trim();
  draft.touchedAt = Date.now();
  return keepDraft(draft);
}

function changed() {
  showWhatArises();
  keep();
}

async function send() {
  await keep();
  const who = await whoAmI();
  const became = who.became === "ok" && who.user !== draft.user ? "other" : who.became;
  if (became !== "ok") { notSent(WORDS[became]); return; }
  const sent = await fetch(draft.page, {
    method: "POST", body: new FormData(form), redirect: "manual",
    headers: { Accept: "application/json", "X-CSRFToken": who.token },
  }).catch(() => null);
  if (sent?.status === 201) {
    await remove("drafts", draft.id);
    location.assign((await sent.json()).url);
  } else if (sent?.status === 422) {
    const page = new DOMParser().parseFromString(await sent.text(), "text/html");
    document.querySelector("main").replaceWith(page.querySelector("main"));
    await begin();
    document.querySelector("#refused").focus();
  } else {
    notSent(WORDS[sent ? "server" : "offline"]);
  }
}

const notSent = (why) => saidKept(`Not recorded yet: ${why}. What you entered is kept on this phone; try again later.`);

function listen() {
  form.addEventListener("input", (event) => {
    if (event.target.name.endsWith("-tag")) showWhatIsKnown(event.target);
    changed();
  });
  for (const key of form.querySelectorAll("[data-same]")) {
    key.hidden = false;
    key.addEventListener("click", () => {
      const place = key.closest("details.place");
      if (key.dataset.same === "left" ? copyFromTheLeft(place) : copyFromBefore(place)) changed();
      else saidKept("No stretcher before this one has a tag yet.");
    });
  }
  document.querySelector("#afresh").addEventListener("click", async () => {
    if (!confirm(`Discard what was entered for ${draft.title} and start again?`)) return;
    await allKept();
    await remove("drafts", draft.id);
    location.assign(draft.page);
  });
  let sending = false;
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (sending) return;
    sending = true;
    saidKept("Recording ...");
    await send().catch(() => notSent(WORDS.server));
    sending = false;
  });
}

async function begin() {
  form = document.querySelector("form.found");
  const { key, user, page, sent } = form.dataset;
  draft = {
    id: `${user}|${key}|as installed`, user: Number(user), title: `${key} as installed`, page, by: "",
    fields: [], photos: [], touchedAt: 0, readings: 0,
  };
  const row = sent ? null : await get("drafts", draft.id).catch(() => null);
  if (row) {
    const { value } = form.elements.told;
    putBack(form, row.fields);
    form.elements.told.value = value; // what it contradicts is said anew
    saidRestored(row.touchedAt);
    for (const box of form.querySelectorAll('[name$="-tag"]')) showWhatIsKnown(box);
  }
  for (const folded of form.querySelectorAll("details")) {
    if (row && folded.querySelector("input:checked") || folded.querySelector(".wrong")) folded.open = true;
  }
  showWhatArises();
  listen();
  form.dataset.ready = "yes";
}

// The back button may bring back a page that was recorded long since: begin it anew.
addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
begin();
