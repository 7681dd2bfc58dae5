// Sends visits to the register, each exactly once: a visit carries a number of its own, the server
// records a number once, and the phone lets go of a visit only when the server has named it.

import { all, put, remove } from "./store.js";

const PATIENCE = 30_000; // ms; a bare bar of signal can hold a request for ever

// What became of a try. "offline", "login" and "server" pass by themselves; the others need a person.
export const WORDS = {
  offline: "no signal yet",
  login: "log in first: the register does not know who is sending",
  server: "the register is not answering properly; this will be tried again later",
  refused: "something needs correcting first",
  forbidden: "you do not have permission to record visits",
  gone: "these points are no longer in the register",
  big: "the photographs are too big together: remove some",
  other: "entered while someone else was logged in",
};

async function ask(address, options = {}) {
  try {
    return await fetch(address, {
      credentials: "same-origin", redirect: "manual", cache: "no-store",
      signal: AbortSignal.timeout(PATIENCE), ...options,
    });
  } catch {
    return null;
  }
}

function becameOf(answer) {
  if (answer === null) return "offline";
  if (answer.type === "opaqueredirect") return "login";
  return { 403: "forbidden", 404: "gone", 413: "big", 422: "refused" }[answer.status] ?? "server";
}

// Who is logged in, with a fresh token; a page kept on the phone holds an old one.
export async function whoAmI() {
  const { token } = document.body.dataset;
  // A page kept before it said where to ask: the visit waits, and the next page sends it.
  const answer = token ? await ask(token) : null;
  if (answer?.ok && answer.type === "basic") return { became: "ok", ...(await answer.json()) };
  return { became: becameOf(answer) };
}

// One try. Gives { became: "sent", url ... } or why not, with the errors by the names of the boxes.
export async function send(visit, who, queued) {
  const form = new FormData();
  for (const [name, value] of visit.fields) form.append(name, value);
  for (const photo of visit.photos) form.append(photo.name, photo.blob, "photograph.jpg");
  if (queued) form.set("queued", "yes");
  const answer = await ask(visit.address, {
    method: "POST", body: form, headers: { "X-CSRFToken": who.token },
  });
  if (answer?.status === 201) {
    const said = await answer.json();
    if (said.recorded === visit.id) return { became: "sent", ...said };
  }
  const became = becameOf(answer);
  if (became !== "refused") return { became };
  return { became, ...(await answer.json()) };
}

const PASSES = ["offline", "login", "server"];

// Sends what waits, the oldest first. Two tabs never do it at the same time.
// ``only`` is the number of one visit that a person asked for, whatever is noted of it.
export async function sendQueue(only = null) {
  return navigator.locks.request("toe-to-heel-sending", async () => {
    const waiting = (await all("queue")).sort((a, b) => a.savedAt - b.savedAt);
    const turn = waiting.filter((v) => (only ? v.id === only : !v.problem || v.problem === "other"));
    if (!turn.length) return { became: "ok", sent: [] };
    const who = await whoAmI();
    if (who.became !== "ok") return { became: who.became, sent: [] };
    const sent = [];
    for (const visit of turn) {
      if (visit.user !== who.user && visit.id !== only) {
        if (visit.problem !== "other") await put("queue", { ...visit, problem: "other" });
        continue;
      }
      const tried = await send(visit, who, true);
      if (tried.became === "sent") {
        await remove("queue", visit.id);
        sent.push({ ...tried, title: visit.title });
      } else if (PASSES.includes(tried.became)) {
        return { became: tried.became, sent };
      } else {
        await put("queue", { ...visit, problem: tried.became, errors: tried.errors ?? null });
      }
    }
    return { became: "ok", sent, name: who.name };
  });
}
