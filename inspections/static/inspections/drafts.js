// Keeping a part-finished form on the phone: what is typed is written at once, and put back when the
// page is opened again.

import { put } from "./store.js";

export const typedIn = (form, not = new Set()) =>
  [...new FormData(form)].filter(([name, value]) => typeof value === "string" && value !== "" && !not.has(name));

// What was typed, back in its boxes; a box of which nothing was kept is empty.
export function putBack(form, fields) {
  const values = new Map();
  for (const [name, value] of fields) values.set(name, [...(values.get(name) ?? []), value]);
  for (const control of form.elements) {
    if (!control.name || control.type === "file" || control.name === "csrfmiddlewaretoken") continue;
    const written = values.get(control.name) ?? [];
    if (control.type === "radio" || control.type === "checkbox") control.checked = written.includes(control.value);
    else control.value = written[0] ?? "";
  }
}

export function saidKept(words) {
  document.querySelector("#kept-said").textContent = words;
}

// Says that the form is here again, and since when.
export function saidRestored(touchedAt) {
  const banner = document.querySelector("#restored");
  const day = new Date(touchedAt).toLocaleString("en-GB", { weekday: "short", hour: "2-digit", minute: "2-digit" });
  banner.querySelector("span").textContent = `What you entered on ${day} is here again.`;
  banner.hidden = false;
}

let keeping = Promise.resolve();
export const allKept = () => keeping;

// One write after the other, each of the whole: the last one always holds everything.
export function keepDraft(draft) {
  const row = structuredClone(draft);
  keeping = keeping.then(() => put("drafts", row)).then(
    () => { saidKept(`Saved on this phone, ${new Date().toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" })}`); },
    () => { saidKept("This phone could not store the form: save it before you leave the page."); },
  );
  return keeping;
}
