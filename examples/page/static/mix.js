// Mix: what to weigh, first; ranges, portions, cautions and the outlook as they come.
import { $, aim, cautions, el, fill, onsend, phSpan, ph, percent, restore, show, span, values } from "./form.js";
import { ask, units } from "./talk.js";
import { picture } from "./picture.js";
import { mixed } from "./bath.js";

const form = $("#mix-form");
const place = $("#mix-answer");
export let plan; // the last one, for the wall
let round = 0;

// recipe is what the form says, without what only the page needs.
function recipe(v) {
  const { unlabelled, ...r } = v;
  if (r.hardness || r.alkalinity) delete r.water;
  return r;
}

export const said = () => recipe(values(form));

export function start(names) {
  fill("chelant", names.chelants, "edta-tetrasodium-tetrahydrate");
  fill("acid", [...names.acids, ...names.bases], "citric-acid");
  fill("water", names.waters, "moderately-hard-tap");
  show($("#materials"), names.materials.map((m) => el("label", { class: "tick", title: m.note }, el("input", { type: "checkbox", name: "parts", value: m.id }), ` ${m.name}`)));
  const draft = localStorage.getItem("mix");
  if (draft) restore(form, JSON.parse(draft));
  else measures();
  form.addEventListener("input", () => {
    try {
      localStorage.setItem("mix", JSON.stringify(values(form)));
    } catch { /* a draft is not worth a word */ }
  });
  onsend(form, work);
}

// measures puts the usual amounts in the units that the person chose, where nothing
// else was written.
export function measures() {
  for (const e of document.querySelectorAll("input[data-us]")) {
    const metric = (e.dataset.metric ??= e.defaultValue);
    if (e.value === metric || e.value === e.dataset.us) e.value = units() === "us" ? e.dataset.us : metric;
  }
  if (place.childElementCount) form.requestSubmit(); // what is said there is in other units
}

async function work(v) {
  const mine = ++round;
  const q = recipe(v);
  const weighing = await ask("weigh", q);
  if (mine !== round) return;
  const parts = { list: weighing, note: el("p", {}, "Ranges and portions follow.") };
  draw(v, parts);
  parts.plan = plan = await ask("plan", q);
  if (mine !== round) return;
  parts.note = el("p", {}, "How much rust it takes follows.");
  draw(v, parts);
  parts.outlook = await ask("outlook", q);
  if (mine !== round) return;
  parts.note = null;
  draw(v, parts);
}

function draw(v, { list: w, plan: p, outlook: o, note }) {
  const spoons = (portion) => (portion.spoons ? ` (${portion.spoons})` : "");
  const chelant = w.chelant.mass_high_text ? `${w.chelant.mass_text}, somewhere from ${w.chelant.mass_low_text} to ${w.chelant.mass_high_text}: a scale is better` : w.chelant.mass_text + spoons(w.chelant);
  show(place,
    el("h2", {}, "Weigh"),
    el("ul", { class: "list", id: "weighing" },
      el("li", {}, el("strong", {}, chelant), ` of ${w.chelant.name}`),
      el("li", {}, el("strong", {}, w.water_text), ` of ${w.water.name}`),
      el("li", {}, el("strong", {}, w.acid.mass_text), `${spoons(w.acid)} of ${w.acid.name} in all, not at once`)),
    el("p", {}, `Stir the salt until it is clear: expect pH ${p ? phSpan(p.ph_before) : ph(w.ph_before)}. The acid brings it to ${ph(w.ph_after)}.`),
    v.unlabelled && el("p", { class: "warning" }, el("strong", {}, "No label. "), "These amounts are for the salt chosen above. Under To pH the readings decide, whatever the bag holds."),
    p && ranges(p),
    p && picture(p),
    o && outlook(o, p),
    note,
    p && [el("h2", {}, "Take care"), cautions(p.cautions.filter((c) => c.signal !== "danger"))],
    p && el("button", { type: "button", id: "mixed", onclick: () => mixed(v, w).catch((e) => show($("#mix-wrong"), e.message)) }, "It is mixed: write it down"),
    p && el("p", { id: "mix-wrong", class: "wrong", role: "alert" }),
    p && el("details", {}, el("summary", {}, "Work like this"), el("ul", {}, p.practice.map((a) => el("li", {}, el("strong", {}, a.do), ` ${a.why}`)))));
}

function ranges(p) {
  const f = p.forecast;
  return [
    el("div", { id: "cautions" }, cautions(p.cautions.filter((c) => c.signal === "danger"))),
    el("h2", {}, `Bring it to pH ${aim(p)}`),
    el("ol", { class: "list", id: "steps" }, p.steps.map((s) => el("li", {},
      el("strong", {}, s.portion.mass_text), s.portion.spoons ? ` (${s.portion.spoons})` : "", s.times > 1 ? `, ${s.times} times` : "",
      `: pH ${ph(s.ph_from)} to ${ph(s.ph_to)}. Stir until clear and read${s.times > 1 ? " each time" : ""}.`))),
    p.in_the_open?.days_to_target.high > 0 && el("p", { class: "warning", id: "gas" }, el("strong", {}, "Gas. "), p.in_the_open.text),
    p.steps.length === 0 && el("p", {}, "It is there already."),
    f && el("p", { id: "how-sure" }, `Nine times in ten it takes ${span(f.dose_g)} of ${p.acid.name}.`,
      f.dose_g.causes?.[0] ? ` What moves that most is ${f.dose_g.causes[0].name}: ${f.dose_g.causes[0].settled_by}.` : ""),
    el("p", {}, `Hard water holds ${percent(p.hardness_fraction)} of the chelant.`),
    (p.notes ?? []).filter((n) => n !== p.in_the_open?.text).map((n) => el("p", { class: "warning" }, n)),
    p.cost && el("p", {}, `Cost ${p.cost.total.toFixed(2)}, ${p.cost.per_l.toFixed(2)} a litre${p.cost.without_price ? `, without ${p.cost.without_price.join(" and ")}` : ""}.`),
  ];
}

function outlook(o, p) {
  const [alone, held] = [o.takes_left_alone, o.takes_when_held];
  return [
    el("h2", {}, "Then the bath"),
    el("p", { id: "outlook" }, held.iron_mol > 1.05 * alone.iron_mol
      ? `Left alone it takes ${alone.rust_text} of fresh rust and stands at pH ${ph(o.end_ph)}; with its pH held at ${aim(p)} by more acid, ${held.rust_text}.`
      : `It takes ${alone.rust_text} of fresh rust without more acid and ends at pH ${ph(o.end_ph)}.`),
    el("p", {}, `Light fresh rust: ${o.light_rust.text}`),
  ];
}
