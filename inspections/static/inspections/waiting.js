// The page that shows what is on this phone: what waits, what is begun, what was taken along.

import { all, get, move, remove } from "./store.js";
import { sendQueue, WORDS } from "./sending.js";

const at = (id) => document.getElementById(id);
const when = (ms) => new Date(ms).toLocaleString("en-GB", { weekday: "short", day: "numeric", month: "short", hour: "2-digit", minute: "2-digit" });
const count = (n, word) => `${n} ${word}${n === 1 ? "" : "s"}`;

// An element with its text and children; nothing that was typed is ever read as markup.
function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else element.setAttribute(name, value);
  }
  element.append(...children.filter(Boolean));
  return element;
}

const button = (words, act) => make("button", { type: "button", onclick: act }, words);

function waitingRow(visit) {
  const needs = visit.problem;
  return make("li", { class: "card" },
    make("p", {}, make("strong", {}, visit.title), ` by ${visit.by}, saved ${when(visit.savedAt)}`),
    make("p", {}, make("span", { class: `verdict ${needs ? "alert" : "no_limit"}` }, needs ? WORDS[needs] : "waiting for signal"), ` ${count(visit.readings, "reading")}, ${count(visit.photos.length, "photograph")}`),
    visit.errors && make("ul", { class: "errorlist" }, ...Object.values(visit.errors).flat().map((words) => make("li", {}, words))),
    make("div", { class: "actions" },
      needs === "other" && button("Send it anyway", () => sendNow(visit.id)),
      needs && needs !== "other" && button("Open and correct", () => reopen(visit)),
      needs && button("Discard it ...", () => discard("queue", visit.id, visit.title))));
}

// Back into a form, to be corrected by hand.
async function reopen(visit) {
  const id = `${visit.user}|${visit.title}`;
  if (await get("drafts", id)) {
    at("said").textContent = `There is a part-finished form for ${visit.title} already: save or discard that one first.`;
    return;
  }
  const { problem, savedAt, ...rest } = visit;
  await move("queue", visit.id, "drafts", { ...rest, id, clientId: visit.id, touchedAt: Date.now() });
  location.assign(visit.page);
}

async function discard(store, id, title) {
  if (!confirm(`Discard what was entered for ${title}? It cannot be brought back.`)) return;
  await remove(store, id);
  await show();
}

async function sendNow(only = null) {
  at("said").textContent = "Sending ...";
  const tried = await sendQueue(only);
  await tell(tried);
}

async function tell({ became, sent }) {
  const words = sent.map((visit) => `${visit.title} is recorded${visit.out ? `: ${count(visit.out, "reading")} out of limits` : ""}${visit.asked ? "; a stretcher was changed in the meantime, see the visit" : ""}.`);
  if (became !== "ok") words.push(`Nothing is lost: ${WORDS[became]}.`);
  at("said").replaceChildren(words.join(" "));
  for (const visit of sent) at("said").append(" ", make("a", { href: visit.url }, `Open the visit to ${visit.title}`));
  at("log-in").hidden = became !== "login";
  await show();
}

async function show() {
  const [queue, drafts, kept] = await Promise.all(["queue", "drafts", "kept"].map(all));
  queue.sort((a, b) => a.savedAt - b.savedAt);
  at("queue").replaceChildren(...queue.map(waitingRow));
  at("nothing-waits").hidden = queue.length > 0;
  at("send").hidden = queue.length === 0;
  at("drafts").replaceChildren(...drafts.map((draft) => make("li", {},
    make("a", { href: draft.page }, draft.title), ` by ${draft.by || "nobody yet"}, last changed ${when(draft.touchedAt)} `,
    button("Discard it ...", () => discard("drafts", draft.id, draft.title)))));
  at("nothing-begun").hidden = drafts.length > 0;
  at("kept").replaceChildren(...kept.sort((a, b) => a.key.localeCompare(b.key)).map((row) => make("li", {},
    make("strong", {}, row.key), " ", make("a", { href: row.pages[0] }, "page"), " · ", make("a", { href: row.pages[1] }, "inspect"), ` as of ${when(row.at)}`)));
  at("nothing-taken").hidden = kept.length > 0;
}

// Shown in place of a page that is not here, it says so.
at("not-here").hidden = location.pathname === new URL(at("log-in").href).searchParams.get("next");
at("send").addEventListener("click", () => sendNow());
document.addEventListener("queue-tried", (event) => tell(event.detail));
show();
