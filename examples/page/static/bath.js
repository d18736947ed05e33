// The bath at hand: its journal on the shelf, and what the page says whenever it changes.
import { $, el, show } from "./form.js";
import { ask } from "./talk.js";
import * as shelf from "./shelf.js";

let current = null; // {id, name, text, setup}
let book = null; // what the library read in the journal
const listeners = [];

export const bath = () => current;
export const events = () => book?.events ?? [];
export const facts = () => book;

// onbath has work done each time the bath has changed, null when there is none: at
// once, or where it belongs to a part of the day as soon as that is seen.
export function onbath(work, part) {
  listeners.push({ work, part: part && document.getElementById(part), due: true });
}

// turned does what is due for the part of the day that is seen.
export async function turned() {
  for (const l of listeners) {
    if (!l.due || l.part?.hidden) continue;
    l.due = false;
    await l.work(current);
  }
}

// about is the part of a request that tells which bath it is about.
export function about(recipe) {
  return current ? { journal: current.text, recipe: current.setup.recipe } : { journal: "", recipe };
}

async function tell() {
  document.body.classList.toggle("has-bath", current !== null);
  const baths = await shelf.all();
  const select = $("#bath");
  show(select, baths.map((b) => el("option", { value: b.id }, b.name)), baths.length === 0 && el("option", { value: "" }, "none yet"));
  select.disabled = baths.length === 0;
  if (current) select.value = current.id;
  for (const l of listeners) l.due = true;
  await turned();
}

// choose takes a bath from the shelf, the one that was used last if none is named.
export async function choose(id = localStorage.getItem("bath")) {
  const baths = await shelf.all();
  current = baths.find((b) => b.id === id) ?? baths.at(-1) ?? null;
  book = current ? await ask("read", { journal: current.text }) : null;
  if (current) localStorage.setItem("bath", current.id);
  await tell();
}

// keep puts a new bath on the shelf.
async function keep(name, text, setup) {
  const b = { id: shelf.newID(), name, text, setup };
  await shelf.put(b, null);
  navigator.storage?.persist?.();
  await choose(b.id);
}

// mixed begins a journal from what was planned.
export async function mixed(form, weighing) {
  const { unlabelled, ...recipe } = form;
  if (recipe.hardness || recipe.alkalinity) delete recipe.water;
  const noted = await ask("note", {
    journal: "", at: now(), kind: "mixed", volume: recipe.volume, temperature: recipe.temperature,
    water: recipe.water && weighing.water.name, hardness: recipe.hardness, alkalinity: recipe.alkalinity, reagent: weighing.chelant.name, amount: recipe.amount,
  });
  await keep(`${day(new Date())}, ${weighing.water_text}`, noted.journal, { recipe, unlabelled });
  location.hash = "#ph";
}

// note writes an event into the journal of the bath. If another tab wrote meanwhile,
// the event follows what that wrote.
export function note(entry) {
  const at = now();
  return change(async (b) => ({ ...b, text: (await ask("note", { ...entry, at, journal: b.text })).journal }));
}

// setup changes what goes with the journal but not into it, such as the strip in use.
export function setup(changes) {
  return change((b) => ({ ...b, setup: { ...b.setup, ...changes } }));
}

// change puts what becomes of the bath on the shelf, made anew if another tab wrote
// meanwhile.
async function change(become) {
  for (;;) {
    const b = await shelf.get(current.id);
    if (!b) throw new Error("This bath is no longer on the shelf: another tab forgot it.");
    try {
      await shelf.put(await become(b), b.text);
    } catch (error) {
      if (error instanceof shelf.Changed) continue;
      throw error;
    }
    return choose(b.id);
  }
}

// open puts a journal from a file on the shelf, once the library has read it.
export async function open(name, text) {
  const read = await ask("read", { journal: text });
  const mixed = read.events[0];
  if (!mixed) throw new Error("The file holds no event.");
  await keep(name.replace(/\.\w+$/, ""), read.journal, {
    recipe: {
      volume: `${mixed.volume_l} L`, temperature: `${mixed.temperature_c} °C`, chelant: mixed.reagent, amount: `${mixed.mass_g} g`,
      ...(mixed.hardness_mg_per_l_caco3 ? { hardness: `${mixed.hardness_mg_per_l_caco3} mg/L`, alkalinity: `${mixed.alkalinity_mg_per_l_caco3} mg/L` } : { water: mixed.water }),
    },
  });
  return read;
}

export async function forget() {
  await shelf.remove(current.id);
  await choose();
}

const now = () => new Date().toISOString().replace(/\.\d+Z$/, "Z");

export const day = (date) => date.toLocaleDateString("en", { day: "numeric", month: "short" });
