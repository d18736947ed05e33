// Keeps baths in the browser: each is a journal, in the journal's own format, and how
// it was meant to be mixed.

const opened = new Promise((resolve, reject) => {
  const request = indexedDB.open("baths", 1);
  request.onupgradeneeded = () => request.result.createObjectStore("baths", { keyPath: "id" });
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
});

const channel = new BroadcastChannel("baths");

// onchange is called when another tab wrote.
export function onchange(work) {
  channel.onmessage = work;
}

// Changed tells that another tab wrote meanwhile.
export class Changed extends Error {}

// Full tells that the browser has no room: nothing was written.
export class Full extends Error {
  constructor(bath) {
    super("The browser has no room left. This was NOT written down: save the journal as a file, free some room, and try again.");
    this.bath = bath;
  }
}

async function transact(mode, work) {
  const db = await opened;
  return new Promise((resolve, reject) => {
    const t = db.transaction("baths", mode, { durability: "strict" });
    let result, failure;
    t.oncomplete = () => resolve(result);
    t.onabort = () => reject(failure ?? t.error);
    const fail = (error) => {
      failure = error;
      t.abort();
    };
    work(t.objectStore("baths"), (value) => (result = value), fail);
  });
}

export function all() {
  return transact("readonly", (store, done) => {
    store.getAll().onsuccess = (event) => done(event.target.result);
  });
}

export function get(id) {
  return transact("readonly", (store, done) => {
    store.get(id).onsuccess = (event) => done(event.target.result);
  });
}

// put writes a bath if its journal is still the text that it was made from; null
// for a bath that was not there.
export async function put(bath, before) {
  try {
    await transact("readwrite", (store, done, fail) => {
      store.get(bath.id).onsuccess = (event) => {
        if ((event.target.result?.text ?? null) !== before) return fail(new Changed("another tab wrote meanwhile"));
        store.put(bath);
      };
    });
  } catch (error) {
    throw error?.name === "QuotaExceededError" ? new Full(bath) : error;
  }
  channel.postMessage(bath.id);
}

export async function remove(id) {
  await transact("readwrite", (store) => store.delete(id));
  channel.postMessage(id);
}

// newID names a bath.
export const newID = () => Date.now().toString(36) + Math.random().toString(36).slice(2, 8);
