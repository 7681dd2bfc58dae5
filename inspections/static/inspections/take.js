// Takes points along: keeps their pages on the phone for where there is no signal.

import { all, pagesOf, put } from "./store.js";

const form = document.querySelector("#take");
const said = document.querySelector("#take-said");
const user = form?.dataset.user;
const boxes = form ? [...form.querySelectorAll('input[name="points"]')] : [];

async function keep(cache, address) {
  const answer = await fetch(address, { credentials: "same-origin", cache: "no-store" });
  // A page that led to the log-in page, or to an error, is not the page that was asked for.
  if (!answer.ok || answer.redirected) throw new Error(address);
  await cache.put(address, answer);
}

async function showTaken() {
  const kept = new Map((await all("kept")).filter((k) => String(k.user) === user).map((k) => [k.key, k]));
  for (const box of boxes) {
    const mark = box.closest("label").querySelector(".taken");
    const row = kept.get(box.dataset.key);
    mark.hidden = !row;
    if (row) mark.textContent = `on this phone since ${new Date(row.at).toLocaleString("en-GB", { day: "numeric", month: "short", hour: "2-digit", minute: "2-digit" })}`;
  }
}

async function take() {
  const ticked = boxes.filter((box) => box.checked);
  if (!ticked.length) { said.textContent = "Tick the points first."; return; }
  // A person asked for these: the browser should not clear them to make room.
  await navigator.storage?.persist?.();
  const cache = await caches.open(pagesOf(user));
  const failed = [];
  await keep(cache, form.dataset.limits).catch(() => failed.push("the limits"));
  for (const [count, box] of ticked.entries()) {
    const { key, pages } = box.dataset;
    said.textContent = `Saving ${key}, ${count + 1} of ${ticked.length} ...`;
    try {
      await Promise.all(pages.split(" ").map((address) => keep(cache, address)));
      await put("kept", { id: `${user}|${key}`, user, key, pages: pages.split(" "), at: Date.now() });
    } catch {
      failed.push(key);
    }
  }
  await showTaken();
  said.textContent = failed.length
    ? `Not saved: ${failed.join(", ")}. Check the signal and try again.`
    : `${ticked.length === 1 ? ticked[0].dataset.key + " is" : ticked.length + " sets of points are"} on this phone, with the limits now in force.`;
}

if (form && "serviceWorker" in navigator && "caches" in window) {
  form.hidden = false;
  form.addEventListener("submit", (event) => { event.preventDefault(); take(); });
  document.querySelector("#tick-due").addEventListener("click", () => {
    boxes.forEach((box) => { box.checked = box.checked || "due" in box.dataset; });
  });
  showTaken();
} else if (form) {
  said.hidden = false;
  form.replaceWith("This browser cannot store pages: it needs an encrypted connection (https) to the register.");
}
