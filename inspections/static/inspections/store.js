// What the phone keeps: forms begun (drafts), visits that wait (queue), and what was taken along.
// All of it lies in one IndexedDB database, so that moving a draft into the queue is one step.

const NAME = "toe-to-heel";
export const STORES = ["drafts", "queue", "kept"];

let opened = null;

function database() {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => STORES.forEach((s) => asked.result.createObjectStore(s, { keyPath: "id" }));
    asked.onsuccess = () => {
      // Another tab with a newer program may need to change the stores: let it.
      asked.result.onversionchange = () => { asked.result.close(); opened = null; };
      resolve(asked.result);
    };
    asked.onerror = () => { opened = null; reject(asked.error); };
  });
  return opened;
}

// Runs work(transaction) and waits until it is on the disk.
async function inTransaction(stores, mode, work) {
  const db = await database();
  return new Promise((resolve, reject) => {
    const transaction = db.transaction(stores, mode, { durability: "strict" });
    const result = work(transaction);
    transaction.oncomplete = () => resolve(result?.result);
    transaction.onabort = transaction.onerror = () => reject(transaction.error);
  });
}

export const all = (store) => inTransaction([store], "readonly", (t) => t.objectStore(store).getAll());
export const get = (store, id) => inTransaction([store], "readonly", (t) => t.objectStore(store).get(id));
export const put = (store, row) => inTransaction([store], "readwrite", (t) => t.objectStore(store).put(row));
export const remove = (store, id) => inTransaction([store], "readwrite", (t) => t.objectStore(store).delete(id));
export const empty = (store) => inTransaction([store], "readwrite", (t) => t.objectStore(store).clear());

// Out of one store and into another at once: whatever happens, it is in just one of them.
export const move = (from, id, to, row) =>
  inTransaction([from, to], "readwrite", (t) => {
    t.objectStore(from).delete(id);
    t.objectStore(to).put(row);
  });

// Pages taken along are kept under the number of the person who took them.
export const pagesOf = (user) => `taken-${user}`;

// Removes the pages taken along, but for those of one person. What waits to be sent stays.
export async function forgetPages(except = null) {
  const names = await caches.keys();
  const others = names.filter((name) => name.startsWith("taken-") && name !== pagesOf(except));
  await Promise.all(others.map((name) => caches.delete(name)));
  for (const row of await all("kept")) {
    if (String(row.user) !== String(except)) await remove("kept", row.id);
  }
}
