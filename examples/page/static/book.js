// Journal: what happened, out to a file and in from one, and a sheet for the wall.
import { $, aim, el, onsend, ph, save, show } from "./form.js";
import { ask } from "./talk.js";
import { bath, choose, day, events, facts, forget, note, onbath, open } from "./bath.js";
import { said } from "./mix.js";
import { picture } from "./picture.js";

const words = { mixed: "Mixed", added: "Added", watered: "Filled up", evaporated: "Dried away", reading: "Read", dipped: "Parts came clean:", "drag-out": "Left with parts", filtered: "Filtered", aired: "Aired", warmed: "It came to", stood: "Stood", blended: "Blended", struck: "Struck out:", amended: "Corrected:" };

export function start() {
  $("#export").addEventListener("click", () => save(bath().text, bath().name));
  $("#import").addEventListener("change", load);
  $("#sheet").addEventListener("click", async () => {
    await prepare();
    wall();
    print();
  });
  $("#forget").addEventListener("click", async () => {
    if (confirm(`Forget ${bath().name}? Save it as a file first if it may be wanted.`)) await forget();
  });
  $("#bath").addEventListener("change", () => choose($("#bath").value));
  window.addEventListener("beforeprint", wall);
  onbath(list);
  onbath(prepare, "book");
}

async function load() {
  const input = $("#import");
  const [file] = input.files;
  $("#import-wrong").hidden = true;
  try {
    const read = await open(file.name, await file.text());
    if (read.torn) complain(`The last line of ${file.name} was cut off and left out; note that event again: ${read.torn}`);
  } catch (error) {
    complain(`${file.name} was not taken in, and nothing here has changed. ${error.message}`);
  }
  input.value = "";
}

function complain(text) {
  $("#import-wrong").textContent = text;
  $("#import-wrong").hidden = false;
}

// what tells an event in a line.
export function what(e) {
  return [
    e.mass_text, e.reagent && `of ${e.reagent}`, e.kind === "mixed" && "in", e.volume_text, e.water && `of ${e.water}`, e.temperature_text && (e.kind === "mixed" ? `at ${e.temperature_text}` : e.temperature_text),
    e.number && `event ${e.number}`, e.ph != null && `pH ${e.ph}`, e.rust_text && `${e.rust_text} of rust`, e.area_text && `${e.area_text} of rusty steel`, e.steel_text && `${e.steel_text} of steel`, e.cover, e.light, e.bare_steel_text && `with ${e.bare_steel_text} of clean steel`, e.note && `(${e.note})`,
  ].filter(Boolean).join(" ");
}

function list(b) {
  $("#book-state").textContent = b ? `${b.name}: ${events().length} events, ${facts().bath_text}, computed pH ${ph(facts().ph_computed)}.` : "No bath yet. What happens to one is kept in this browser only: save it as a file now and then.";
  show($("#events"), events().map((e, i) => el("li", {}, el(e.struck_out || e.now ? "s" : "span", {}, el("time", { datetime: e.at }, new Date(e.at).toLocaleString("en", { dateStyle: "medium", timeStyle: "short" })), ` ${words[e.kind] ?? e.kind} ${what(e)} `),
    e.struck_out && "Struck out: it never happened. ", e.now && `Corrected: ${what(e.now)}. `,
    i > 0 && !e.struck_out && el("button", { type: "button", class: "mistake", "aria-label": `Event ${i + 1} was a mistake`, onclick: (event) => mend(event.currentTarget, e, i + 1) }, e.kind === "struck" || e.kind === "amended" ? "Undo" : "A mistake"))));
  for (const id of ["export", "forget"]) $(`#${id}`).disabled = !b;
}

// measured is the field in which an event can have been wrong, and what a person calls it.
const measured = [["ph", "ph", "pH"], ["mass_g", "amount", "Amount"], ["volume_l", "volume", "Volume"], ["rust_g", "rust_mass", "Rust"], ["temperature_c", "temperature", "Temperature"]];

// mend asks what was wrong with an event. The journal keeps what was written first, and why
// it does not count.
function mend(button, e, number) {
  const [, name, label] = measured.find(([key]) => e[key] != null) ?? [];
  const form = el("form", { novalidate: true, id: `mend-${number}` },
    name && el("label", {}, `${label} that it was`, el("input", { name, placeholder: "empty: it never happened" })),
    el("label", {}, "Why", el("input", { name: "note", value: "a slip of the finger" })),
    el("p", { class: "wrong", role: "alert", hidden: true }), el("button", {}, "Write the correction down"));
  onsend(form, (v) => note({ kind: v[name] ? "amended" : "struck", number, ...v }));
  button.replaceWith(form);
  form.querySelector("input").focus();
}

let sheet = null; // the plan of the bath, ready before somebody prints

async function prepare() {
  try {
    sheet = await ask("plan", bath()?.setup.recipe ?? said());
  } catch {
    sheet = null;
  }
}

function wall() {
  if (!sheet) return show($("#wall"), el("p", {}, "Work out a bath under Mix first."));
  const p = sheet;
  show($("#wall"),
    el("h1", {}, `Rust bath, ${p.water_text}`),
    el("p", {}, `${bath()?.name ?? day(new Date())}; printed ${new Date().toLocaleDateString("en", { dateStyle: "medium" })}`),
    el("h2", {}, "Mix"),
    el("p", {}, `${p.chelant.mass_text}${p.chelant.spoons ? ` (${p.chelant.spoons})` : ""} of ${p.chelant.name} into ${p.water_text} of water. Stir until clear.`),
    el("h2", {}, `To pH ${aim(p)} with ${p.acid.name}`),
    el("ol", {}, p.steps.map((s) => el("li", {}, `${s.portion.mass_text}${s.portion.spoons ? ` (${s.portion.spoons})` : ""}${s.times > 1 ? `, ${s.times} times` : ""}: pH ${ph(s.ph_from)} to ${ph(s.ph_to)}; stir, read.`))),
    picture(p),
    el("h2", {}, "Work like this"),
    el("ul", {}, p.practice.map((a) => el("li", {}, a.do))),
    el("h2", {}, "Take care"),
    el("ul", {}, p.cautions.map((c) => el("li", {}, el("strong", {}, `${c.signal}: `), c.text))),
    el("p", {}, "Local codes, product labels and licensed practice come before anything said here."));
}
