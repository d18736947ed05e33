// Brings the page to life once the library is there.
import { $ } from "./form.js";
import { ask, loaded } from "./talk.js";
import * as shelf from "./shelf.js";
import * as mix from "./mix.js";
import * as course from "./course.js";
import * as use from "./use.js";
import * as questions from "./questions.js";
import * as book from "./book.js";
import { bath, choose, turned } from "./bath.js";

// turn shows one part of the day.
function turn() {
  const wanted = document.getElementById(location.hash.slice(1));
  const section = wanted?.matches("main > section") ? wanted : $("#mix");
  for (const s of document.querySelectorAll("main > section")) s.hidden = s !== section;
  for (const a of document.querySelectorAll("nav a")) {
    if (a.hash === `#${section.id}`) a.setAttribute("aria-current", "page");
    else a.removeAttribute("aria-current");
  }
  scrollTo({ top: 0, behavior: "instant" });
  if (document.body.dataset.ready) turned();
}

async function start() {
  window.addEventListener("hashchange", turn);
  turn();
  $("#units").value = localStorage.getItem("units") ?? "metric";
  $("#units").addEventListener("change", async () => {
    localStorage.setItem("units", $("#units").value);
    mix.measures();
    await choose(bath()?.id);
  });
  if ("serviceWorker" in navigator) await navigator.serviceWorker.register("offline.js").catch(() => {});
  await loaded;
  const names = await ask("names");
  for (const part of [mix, course, use, questions, book]) part.start(names);
  shelf.onchange(() => choose(bath()?.id));
  await choose();
  $("#state").textContent = "Ready. Works without a network from now on.";
  document.body.dataset.ready = "yes";
  performance.mark("ready");
}

start().catch((error) => {
  $("#state").textContent = `This page could not start: ${error.message}. It needs a browser from 2023 on.`;
});
