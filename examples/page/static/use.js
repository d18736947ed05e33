// Use: how the bath stands, parts in and out, and whatever else happens to a tub.
import { $, el, fill, onsend, ph, phSpan, show, span } from "./form.js";
import { ask } from "./talk.js";
import { about, bath, note, onbath } from "./bath.js";

const [dipForm, eventForm] = [$("#dip-form"), $("#event-form")];
let round = 0;

const kinds = [
  { id: "dipped", name: "Parts came out clean" },
  { id: "stood", name: "It stood since the last entry" },
  { id: "drag-out", name: "Bath left on the parts, or in a bucket" },
  { id: "evaporated", name: "Water dried away" },
  { id: "watered", name: "Water was filled up" },
  { id: "filtered", name: "What had settled was taken out" },
  { id: "aired", name: "Stirred in air until it turned amber" },
  { id: "warmed", name: "It has another temperature" },
];

export function start(names) {
  fill("rust", names.rusts, "fresh-orange");
  fill("kind", kinds, "dipped");
  fill("water", names.waters, "moderately-hard-tap");
  eventForm.elements.kind.addEventListener("change", fields);
  fields();
  onsend(dipForm, (v) => dip(v, $("#dip-answer"), about()));
  onsend($("#days-form"), days);
  onsend(eventForm, write);
  onbath(stand, "use");
}

// fields shows those that the kind of event has.
function fields() {
  const kind = eventForm.elements.kind.value;
  for (const label of eventForm.querySelectorAll("[data-for]")) label.hidden = !label.dataset.for.split(" ").includes(kind);
}

async function write(v) {
  const entry = { kind: v.kind, note: v.note };
  for (const label of eventForm.querySelectorAll("[data-for]:not([hidden])")) {
    const { name } = label.querySelector("input, select");
    entry[name] = v[name];
  }
  if (v.kind === "dipped" && !entry.rust_mass) {
    for (const name of ["rust", "thickness", "area"]) entry[name] = dipForm.elements[name].value;
  }
  await note(entry);
  for (const e of eventForm.querySelectorAll("input")) e.value = "";
}

async function stand(b) {
  const mine = ++round;
  const place = $("#stand");
  if (!b) return show(place);
  place.setAttribute("aria-busy", "true");
  try {
    const { acid, ph: wanted } = b.setup.recipe;
    const r = await ask("stand", { journal: b.text, acid, ph: wanted });
    if (mine !== round) return;
    show(place, diagnosis(r), room(r));
  } catch (error) {
    if (mine === round) show(place, el("p", { class: "wrong", role: "alert" }, error.message));
  } finally {
    if (mine === round) place.removeAttribute("aria-busy");
  }
}

export function diagnosis(r) {
  const d = r.diagnosis;
  return [
    el("p", { class: "do" }, el("strong", { id: "cause" }, d.cause), ` at pH ${ph(d.ph)}`),
    el("p", { id: "verdict" }, d.text),
    (r.notes ?? []).map((n) => el("p", { class: "warning" }, n)),
  ];
}

function room(r) {
  const c = r.capacities;
  return [
    el("h2", {}, "What it can still take"),
    el("ul", { class: "list" },
      el("li", {}, el("strong", {}, c.practical.rust_text), ` of rust at a good pace while its pH is held at ${ph(c.held_ph)}`),
      el("li", {}, el("strong", {}, c.proton.rust_text), ` left alone; its pH then drifts to ${ph(c.proton_end_ph)}`)),
    el("p", {}, `${r.bath_text ?? r.volume_text} of bath, computed pH ${ph(r.ph_computed)}. So far ${r.tally.rust_text} of rust went in.`),
    el("p", { class: "warning" }, el("strong", {}, "Lid. "), `Keep a lid on, loosely, and take clean parts out: the iron in the bath takes ${r.iron.already_in_bath.steel_text} of bare steel at most, once; air adds to that every day. Do not bubble air.`),
  ];
}

// days tells what air, light and steel make of a bath that stands.
async function days(v) {
  const d = await ask("days", { ...about(), ...v });
  const last = d.course.at(-1);
  const head = ["after", "pH", "steel lost"].map((t) => el("th", { scope: "col" }, t));
  show($("#days-answer"),
    el("table", {}, el("thead", {}, el("tr", {}, head)), el("tbody", {}, d.course.map((h) => el("tr", {}, el("th", { scope: "row" }, h.text), el("td", {}, phSpan(h.ph)), el("td", {}, span(h.steel_lost_g)))))),
    el("p", {}, `Nine such tubs in ten lie between. Under a lid: pH ${ph(d.lidded.ph.typical)} and ${d.lidded.steel_lost_g.typical_text} of steel after ${d.lidded.text}.`),
    last.steel_lost_g.typical > 1.5 * d.lidded.steel_lost_g.typical && el("p", { class: "warning" }, el("strong", {}, "Lid. "), "Put it on, loosely, and take clean parts out."));
}

// dip says when to look and when parts should be clean.
export async function dip(v, place, which) {
  const { drifts, ...q } = v;
  const l = await ask("time", { ...which, ...q, drifts });
  const t = l.time;
  show(place,
    t.hours.high > 0 && el("p", { class: "do" }, `First look after ${t.hours.low_text}.`),
    el("p", {}, t.text),
    el("p", {}, `That is ${l.rust_g.low_text} to ${l.rust_g.high_text} of rust.`),
    t.hours.high > 0 && el("p", { class: "warning" }, el("strong", {}, "Clean parts out. "), `Left in to the late end, they can lose ${t.steel_lost_if_left_g.low_text} to ${t.steel_lost_if_left_g.high_text} of steel: an assumption, weigh a coupon.`),
    el("details", {}, el("summary", {}, "What would shorten it"),
      el("ul", {}, l.levers.map((x) => el("li", {}, el("strong", {}, x.do), x.times_faster.high > 0 ? ` (${x.times_faster.low.toFixed(1)} to ${x.times_faster.high.toFixed(1)} times faster). ` : ". ", x.why)))));
}
