// On every page: keeps what the phone needs without signal, shows what is waiting, and sends it.

import { all, forgetPages } from "../inspections/store.js";
import { sendQueue } from "../inspections/sending.js";

const { user, worker } = document.body.dataset;

async function showWaiting() {
  const waiting = (await all("queue")).length;
  const shown = document.querySelector("#waits");
  shown.hidden = waiting === 0;
  shown.textContent = `${waiting} waiting to be sent`;
}

async function sendWaiting() {
  if (navigator.onLine && (await all("queue")).length) {
    const tried = await sendQueue();
    document.dispatchEvent(new CustomEvent("queue-tried", { detail: tried }));
  }
  await showWaiting();
}

if ("serviceWorker" in navigator && "indexedDB" in window) {
  // A page kept before it named the script leaves that to the next one.
  if (worker) navigator.serviceWorker.register(worker);
  // Pages that someone else saved on this phone are not for whoever is logged in now.
  if (user) forgetPages(user);
  const out = document.querySelector("form.who");
  out?.addEventListener("submit", async (event) => {
    event.preventDefault();
    await forgetPages().catch(() => {}); // logging out comes first
    out.submit();
  });
  addEventListener("online", sendWaiting);
  sendWaiting();
}
