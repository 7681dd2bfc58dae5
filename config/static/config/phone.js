// On every page: keeps what the phone needs without signal, shows what waits, and sends it.

import { all, forgetPages } from "../inspections/store.js";
import { sendQueue } from "../inspections/sending.js";

const { user } = document.body.dataset;

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
  navigator.serviceWorker.register("/sw.js");
  // Pages that somebody else took along are not for whoever is logged in now.
  if (user) forgetPages(user);
  const out = document.querySelector('form[action="/logout/"]');
  out?.addEventListener("submit", async (event) => {
    event.preventDefault();
    await forgetPages().catch(() => {}); // logging out comes first
    out.submit();
  });
  addEventListener("online", sendWaiting);
  sendWaiting();
}
