// Ask: about a part, the time, the bath, the money, and the end.
import { $, cautions, el, fill, onsend, percent, show } from "./form.js";
import { ask } from "./talk.js";
import { about, bath, onbath } from "./bath.js";
import { diagnosis, dip } from "./use.js";
import { said } from "./mix.js";

export function start(names) {
  fill("material", names.materials, "zinc");
  $("#after-form select").value = "steel";
  show($("#signs"), names.signs.map((s) => el("label", { class: "tick" }, el("input", { type: "checkbox", name: "seen", value: s.id }), ` ${s.name}`)));
  fill("oxide", names.oxides, "lepidocrocite");
  fill("base", names.bases, "sodium-hydroxide");
  for (const select of document.querySelectorAll("#away-form select[name=acid]")) select.value = "muriatic-acid";

  onsend($("#part-form"), async (v) => {
    const h = await ask("parts", { ...about(said()), materials: [v.material] });
    show($("#part-answer"), h.parts.map((p) => [
      el("p", { class: "do" }, `${p.material}: ${p.admission}`),
      cautions(h.cautions),
      el("p", {}, p.text),
      el("p", {}, p.does),
      p.verdict && el("p", {}, `By equilibrium: ${p.verdict.text}`)]));
  });
  onsend($("#after-form"), async (v) => {
    const h = await ask("parts", { ...about(said()), materials: [v.material] });
    show($("#after-answer"), el("ul", {}, h.practice.filter((a) => a.stage === "after the bath").map((a) => el("li", {}, el("strong", {}, a.do), ` ${a.why}`))));
  });
  onsend($("#time-form"), (v) => dip(v, $("#time-answer"), about(said())));
  onsend($("#spent-form"), async (v) => {
    if (!bath()) throw new Error("Write down a bath under Mix first.");
    const { acid, ph: wanted } = bath().setup.recipe;
    const r = await ask("stand", { journal: bath().text, acid, ph: wanted, oxide: v.oxide, seen: v.seen });
    show($("#spent-answer"), diagnosis(r),
      r.seen && [el("h3", {}, "By what is seen"),
        el("ul", { id: "causes" }, r.seen.causes.map((c) => el("li", {}, el("strong", {}, percent(c.share)), ` ${c.cause}`))),
        r.seen.signs.map((s) => el("p", {}, el("strong", {}, `${s.id}: `), `${s.means} ${s.tell}`))]);
  });
  onsend($("#cost-form"), async (v) => {
    const p = await ask("plan", { ...(bath()?.setup.recipe ?? said()), ...v });
    if (!p.cost) throw Object.assign(new Error(), { field: "chelant_price", value: "No price", want: "a price such as 4.50/lb or 38 per 5 kg" });
    const c = p.cost;
    show($("#cost-answer"),
      el("p", { class: "do" }, `${c.total_cost.toFixed(2)} in all`),
      el("p", {}, `${c.chelant_cost.toFixed(2)} for the chelant, ${c.acid_cost.toFixed(2)} for the acid; ${c.cost_per_l.toFixed(2)} a litre; ${c.cost_per_kg_rust.toFixed(2)} for a kilogram of rust at most.`),
      c.without_price && el("p", {}, `Without ${c.without_price.join(" and ")}, which has no price.`));
  });
  onsend($("#away-form"), async (v) => {
    const a = await ask("away", { ...about(said()), acid: v.acid, base: v.base });
    show($("#away-answer"),
      el("p", { class: "danger" }, el("strong", {}, "Danger. "), "Not down the drain: a used bath carries metals through any treatment. Collect it as it is, label it, and ask the local waste office; its rules come before anything said here."),
      el("p", { class: "danger" }, el("strong", {}, "Danger. "), "Acid and lye never straight after each other: they heat up and spit. Parts out first; no lid screwed on and no flame where hydrogen can come off."),
      cautions(a.cautions),
      a.treatments.map((t) => [el("h3", {}, t.treatment), el("p", {}, t.text)]));
  });
  onbath((b) => {
    $("#ask-about").textContent = b ? `About the bath ${b.name}, as its journal leaves it.` : "About the bath that stands under Mix.";
    for (const name of ["part", "time", "spent", "cost", "after", "away"]) show($(`#${name}-answer`));
    if (b) for (const field of ["chelant_price", "acid_price"]) $("#cost-form").elements[field].value = b.setup.recipe[field] ?? "";
  });
}
