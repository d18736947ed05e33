// Makes elements, and reads and corrects forms.

// el makes an element: el("p", { class: "why" }, "text", el("b", {}, "bold")).
export function el(tag, attributes = {}, ...children) {
  const e = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name === "onclick") e.addEventListener("click", value);
    else if (value !== false && value != null) e.setAttribute(name, value === true ? "" : value);
  }
  e.append(...children.flat(Infinity).filter((c) => c != null && c !== false));
  return e;
}

export const $ = (selector) => document.querySelector(selector);

export function show(place, ...children) {
  place.replaceChildren(...children.flat(Infinity).filter((c) => c != null && c !== false));
}

// fill puts named things into every select of that name.
export function fill(name, things, chosen) {
  for (const select of document.querySelectorAll(`select[name=${name}]`)) {
    const kept = select.value || chosen;
    select.replaceChildren(...things.map((x) => el("option", { value: x.id }, x.name)));
    if (things.some((x) => x.id === kept)) select.value = kept;
  }
}

// values reads a form: texts that are not empty, ticks that are set.
export function values(form) {
  const out = {};
  for (const e of form.elements) {
    if (!e.name) continue;
    if (e.type === "checkbox") {
      if (["parts", "seen"].includes(e.name)) {
        if (e.checked) (out[e.name] ??= []).push(e.value);
      } else if (e.checked) out[e.name] = true;
    } else if (e.value.trim() !== "") out[e.name] = e.value.trim();
  }
  return out;
}

export function restore(form, saved) {
  for (const e of form.elements) {
    if (!e.name) continue;
    if (e.type === "checkbox") e.checked = e.name === "parts" ? (saved.parts ?? []).includes(e.value) : !!saved[e.name];
    else if (saved[e.name] !== undefined) e.value = saved[e.name];
    else if (!(e instanceof HTMLSelectElement)) e.value = "";
  }
}

// right clears what was said to be wrong.
export function right(form) {
  for (const e of form.querySelectorAll("[aria-invalid]")) {
    e.removeAttribute("aria-invalid");
    e.removeAttribute("aria-describedby");
  }
  for (const p of form.querySelectorAll("p.wrong")) {
    if (p.dataset.field) p.remove();
    else p.hidden = true;
  }
}

// wrong says what a refusal is about, at its field where the form has it.
export function wrong(form, error) {
  right(form);
  const field = error.field && form.elements[error.field];
  field?.closest?.("details")?.setAttribute("open", "");
  if (!(field instanceof Element) || field.closest("[hidden]")) {
    const place = form.querySelector("p.wrong");
    place.textContent = error.message;
    place.hidden = false;
    place.scrollIntoView({ block: "nearest" });
    if (error.bath) place.append(" ", el("button", { type: "button", onclick: () => save(error.bath.text, error.bath.name) }, "Save the journal with it as a file"));
    return;
  }
  const id = `${form.id}-${error.field}-wrong`;
  const said = error.want ? `${error.value ?? "This"}: want ${error.want}.` : error.message;
  field.closest("label").append(el("p", { class: "wrong", role: "alert", id, "data-field": error.field }, said));
  field.setAttribute("aria-invalid", "true");
  field.setAttribute("aria-describedby", id);
  field.focus();
}

// onsend runs what a form is for, and says what is wrong with it.
export function onsend(form, work) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    right(form);
    const button = form.querySelector("button");
    form.setAttribute("aria-busy", "true");
    button.disabled = true;
    try {
      await work(values(form), event);
    } catch (error) {
      wrong(form, error);
    } finally {
      form.removeAttribute("aria-busy");
      button.disabled = false;
    }
  });
}

// cautions stands where the danger is: its signal word is written, not only coloured.
export function cautions(list) {
  return (list ?? []).map((c) => {
    const [, signal, text] = typeof c === "string" ? c.match(/^(\w+): (.*)$/s) ?? [null, "warning", c] : [null, c.signal, c.text];
    const about = typeof c === "object" && c.about && /^H/.test(c.key) ? ` (${c.about.join(", ")})` : "";
    return el("p", { class: signal === "danger" ? "danger" : "warning" }, el("strong", {}, signal === "danger" ? "Danger. " : "Warning. "), text + about);
  });
}

// percent writes a chance without claiming more than is known.
export function percent(x) {
  if (x < 0.01) return "less than 1 %";
  if (x > 0.99) return "more than 99 %";
  return `${Math.round(100 * x)} %`;
}

// save gives a text out as a file.
export function save(text, name) {
  const url = URL.createObjectURL(new Blob([text], { type: "application/jsonl" }));
  el("a", { href: url, download: `${name.replace(/[^\w-]+/g, "-").replace(/^-|-$/g, "")}.jsonl` }).click();
  setTimeout(() => URL.revokeObjectURL(url), 60000);
}

export const ph = (x) => x.toFixed(1);

// aim is the pH that a plan is for: in an open tub the one once the gas has left.
export const aim = (plan) => ph(plan.in_the_open?.target.value ?? plan.ph_after);

export function phSpan(range) {
  return ph(range.low) === ph(range.high) ? ph(range.low) : `${ph(range.low)} to ${ph(range.high)}`;
}

// span writes the ends of a range of a quantity, whose texts stand beside its numbers.
export function span(range) {
  return range.low_text === range.high_text ? range.low_text : `${range.low_text} to ${range.high_text}`;
}
