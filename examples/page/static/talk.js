// Talks with the library in its worker.
const worker = new Worker("worker.js");
const waiting = new Map();
let last = 0;
let stopped = null; // why the library answers no more

export const timings = []; // of every call, in milliseconds

export const loaded = new Promise((resolve, reject) => {
  worker.onmessage = ({ data }) => {
    if (data.ready) return resolve();
    if (data.failed) {
      stopped = new Error(`${data.failed}. Load the page again: what was written down is kept.`);
      for (const { refuse } of waiting.values()) refuse(stopped);
      waiting.clear();
      return reject(stopped);
    }
    const { call, answer, refuse } = waiting.get(data.id);
    waiting.delete(data.id);
    timings.push({ call, milliseconds: data.milliseconds });
    const said = JSON.parse(data.answer);
    if (said.error) refuse(Object.assign(new Error(said.error.text), said.error));
    else answer(said.answer);
  };
  worker.onerror = (event) => reject(new Error(event.message || "the library did not start"));
});

// ask makes a call of the bridge. A refusal is an error with field, value and want.
export async function ask(call, request = {}) {
  await loaded;
  if (stopped) throw stopped;
  return new Promise((answer, refuse) => {
    const id = ++last;
    waiting.set(id, { call, answer, refuse });
    worker.postMessage({ id, message: JSON.stringify({ version: 2, call, units: units(), request }) });
  });
}

// units are those that the person chose.
export function units() {
  return localStorage.getItem("units") ?? "metric";
}
