// Draws pH against acid with the portions, from the points and steps of a plan.
import { el, ph } from "./form.js";

const space = "http://www.w3.org/2000/svg";

function svg(tag, attributes, text) {
  const e = document.createElementNS(space, tag);
  for (const [name, value] of Object.entries(attributes)) e.setAttribute(name, value);
  if (text !== undefined) e.textContent = text;
  return e;
}

// smooth passes a curve through points without overshooting between them (monotone
// cubic: Fritsch & Carlson 1980, SIAM J. Numer. Anal. 17, 238).
function smooth(points) {
  const n = points.length;
  if (n < 2) return "";
  const slope = (i) => (points[i + 1].y - points[i].y) / (points[i + 1].x - points[i].x || 1e-9);
  const tangent = (i) => {
    if (i === 0) return slope(0);
    if (i === n - 1) return slope(n - 2);
    const [a, b] = [slope(i - 1), slope(i)];
    return a * b <= 0 ? 0 : (2 * a * b) / (a + b);
  };
  let d = `M${points[0].x},${points[0].y}`;
  for (let i = 0; i < n - 1; i++) {
    const [p, q] = [points[i], points[i + 1]];
    const third = (q.x - p.x) / 3;
    d += `C${p.x + third},${p.y + third * tangent(i)} ${q.x - third},${q.y - third * tangent(i + 1)} ${q.x},${q.y}`;
  }
  return d;
}

const [width, height, left, top, bottom, right] = [340, 240, 36, 10, 40, 8];

export function picture(plan) {
  const points = plan.curve;
  if (points.length < 2) return null;
  const last = points[points.length - 1];
  const values = points.map((p) => p.ph);
  const [low, high] = [Math.floor(Math.min(...values)), Math.ceil(Math.max(...values))];
  const x = (grams) => left + (grams / last.acid_g) * (width - left - right);
  const y = (value) => top + ((high - value) / (high - low)) * (height - top - bottom);
  const title = `pH against ${plan.acid.name}: from ${ph(points[0].ph)} to ${ph(plan.ph_after)} with ${plan.acid.mass_text}; each dot is a portion`;
  const s = svg("svg", { viewBox: `0 0 ${width} ${height}`, role: "img", "aria-label": title, class: "picture" });
  for (let value = low; value <= high; value++) {
    s.append(svg("line", { x1: left, x2: width - right, y1: y(value), y2: y(value), class: "grid" }));
    s.append(svg("text", { x: left - 8, y: y(value) + 4, class: "end" }, value));
  }
  s.append(svg("line", { x1: left, x2: width - right, y1: y(plan.ph_after), y2: y(plan.ph_after), class: "goal" }));
  s.append(svg("path", { d: smooth(points.map((p) => ({ x: x(p.acid_g), y: y(p.ph) }))), class: "curve" }));
  let grams = 0, value = points[0].ph;
  for (const step of plan.steps) {
    for (let i = 0; i < step.times; i++) {
      const next = step.ph_from + ((step.ph_to - step.ph_from) * (i + 1)) / step.times;
      const to = Math.min(grams + step.portion.mass_g, last.acid_g);
      s.append(svg("path", { d: `M${x(grams)},${y(value)}H${x(to)}V${y(next)}`, class: "stair" }));
      s.append(svg("circle", { cx: x(to), cy: y(next), r: 4, class: "dot" }));
      [grams, value] = [to, next];
    }
  }
  s.append(svg("text", { x: left, y: height - 22, class: "start" }, "nothing"));
  s.append(svg("text", { x: width - right, y: height - 22, class: "end" }, last.acid_text));
  s.append(svg("text", { x: (left + width) / 2, y: height - 6, class: "middle" }, `pH against ${plan.acid.name}`));
  return el("figure", {}, s, el("figcaption", {}, "Stairs: the portions. Dotted: where it is to end."),
    el("details", {}, el("summary", {}, "The same as a table"),
      el("table", {}, el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "pH"), el("th", { scope: "col" }, "acid in all"))),
        el("tbody", {}, points.map((p) => el("tr", {}, el("td", {}, p.ph.toFixed(2)), el("td", {}, p.acid_text)))))));
}
