// To pH: the next pour, the strip to tap, and what the bag seems to be.
import { $, cautions, el, fill, onsend, percent, phSpan, show, wrong } from "./form.js";
import { ask } from "./talk.js";
import { about, bath, note, onbath, setup } from "./bath.js";

const [readForm, addForm] = [$("#read-form"), $("#add-form")];
let instruments = [];
let round = 0;

// Colours that universal indicator turns to, roughly: common practice, no source. The
// chart on the box decides, and the number stands on every mark.
const colours = ["#8f0015", "#c4001d", "#d7321c", "#e8641b", "#f19a1f", "#f5c628", "#d9d932", "#6db63a", "#2c9a57", "#1d8a8a", "#1f6fb2", "#2b4fa8", "#43329b", "#5a2391", "#4b1a78"];

export function start(names) {
  instruments = names.instruments;
  fill("strip", instruments, "ph-wide");
  fill("reagent", [...names.acids, ...names.bases, ...names.chelants.filter((c) => !names.acids.some((a) => a.id === c.id) && !names.bases.some((a) => a.id === c.id))], "citric-acid");
  readForm.elements.strip.addEventListener("change", async () => {
    marks();
    if (bath()) await setup({ strip: readForm.elements.strip.value }).catch((error) => wrong(readForm, error));
  });
  onsend(readForm, async (v) => {
    await note({ kind: "reading", ph: v.ph ?? "nothing", strip: v.strip });
    readForm.elements.ph.value = "";
  });
  onsend(addForm, async (v) => {
    await note({ kind: "added", amount: v.amount ?? "nothing", reagent: v.reagent });
    addForm.elements.amount.value = "";
  });
  onbath(changed, "ph");
}

async function changed(b) {
  if (!b) return;
  if (b.setup.strip) readForm.elements.strip.value = b.setup.strip;
  if (b.setup.recipe.acid) addForm.elements.reagent.value = b.setup.recipe.acid;
  marks();
  await next();
}

// marks shows the colours of the strip to tap, or the field for what a meter shows.
function marks() {
  const i = instruments.find((x) => x.id === readForm.elements.strip.value);
  if (!i) return;
  $("#strip-note").textContent = i.note ?? "";
  const tappable = (i.marks ?? []).length > 0;
  $("#meter").hidden = tappable;
  readForm.querySelector("button:not(.mark)").hidden = tappable;
  show($("#marks"), (i.marks ?? []).map((value) => {
    const b = el("button", { type: "button", class: "mark", "aria-label": `It reads ${value}`, onclick: (event) => tapped(event.currentTarget, value, i.id) }, el("span", { class: "swatch" }), el("span", {}, String(Math.round(100 * value) / 100)));
    b.firstChild.style.background = colours[Math.round(value)];
    return b;
  }));
}

async function tapped(button, value, strip) {
  button.disabled = true; // a finger that taps twice has read once
  try {
    await note({ kind: "reading", ph: String(value), strip });
  } catch (error) {
    wrong(readForm, error);
    button.disabled = false;
  }
}

async function next() {
  const mine = ++round;
  const place = $("#next");
  place.setAttribute("aria-busy", "true");
  try {
    const b = bath();
    const n = await ask("next", { ...about(), unlabelled: b.setup.unlabelled, strip: b.setup.strip });
    if (mine !== round) return;
    show(place, pour(n), gas(n), fits(n), bag(n));
  } catch (error) {
    if (mine === round) show(place, el("p", { class: "wrong", role: "alert" }, error.message));
  } finally {
    if (mine === round) place.removeAttribute("aria-busy");
  }
}

// pour says what to do next and how sure that is.
function pour(n) {
  const a = n.advice;
  const out = [];
  if (a.action === "read") out.push(el("p", { class: "do" }, "Next: read the pH."));
  if (a.action === "stop") out.push(el("p", { class: "do" }, "Stop here: the pH is good enough."));
  if (a.action === "add") {
    const best = a.spooned?.mass_g ? a.spooned : a.weighed;
    out.push(
      el("p", { class: "do" }, `Next: stir in ${a.weighed.text}${a.spooned?.mass_g ? `, or ${a.spooned.text},` : ""} of ${a.name}.`),
      cautions(n.cautions),
      el("p", {}, `Wait until it is dissolved, then read. Expect pH ${phSpan(best.ph_after)}; the chance that it goes too far is ${percent(best.overshoot)}.`),
      el("div", { class: "row" }, [a.weighed, a.spooned].filter((p) => p?.mass_g).map((p) =>
        el("button", { type: "button", class: "poured", onclick: (event) => poured(event.currentTarget, p.text, a.name) }, `I stirred in ${p.text}`))));
  }
  out.push(el("p", { id: "why" }, a.why), el("p", {}, `Now: pH ${phSpan(a.ph)}, and ${percent(a.in_window)} sure that it is near enough.`));
  if (n.remedies) out.push(el("h2", {}, "Other ways up"), el("ul", {}, n.remedies.map((r) => el("li", {}, `${r.name}: ${r.mass_text ?? r.mass_g.typical_text} in all, ${r.safe_text} now. ${r.note}`))));
  return out;
}

async function poured(button, amount, reagent) {
  button.disabled = true;
  try {
    await note({ kind: "added", amount, reagent });
  } catch (error) {
    wrong(addForm, error);
    button.disabled = false;
  }
}

// gas says where the pH goes as the tub stands, when that is not where it is now.
function gas(n) {
  return n.in_the_open && el("p", { class: "warning gas" }, el("strong", {}, "Gas. "), n.in_the_open.text);
}

// fits says which readings contradict the rest.
function fits(n) {
  return (n.advice.flags ?? []).map((flag) => el("p", { class: "warning misfit" }, el("strong", {}, "Does not fit. "), flag));
}

// bag tells what the bag seems to be.
function bag(n) {
  const likely = n.salts.filter((s) => s.probability >= 0.005);
  if (likely.length < 2 && !bath().setup.unlabelled) return null;
  const test = (n.tests ?? [])[0];
  return [
    el("h2", {}, "What the bag seems to be"),
    el("ul", { class: "list", id: "salts" }, likely.map((s) => el("li", {}, el("strong", {}, percent(s.probability)), ` ${s.salt}`))),
    test && test.bits > 0.05 && test.open_bits > 0.3 && el("p", {}, `To tell them apart: ${test.text}.`),
  ];
}
