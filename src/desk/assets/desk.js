"use strict";
// Makes the pages live by attributes that src/desk/frame.hpp tells of. Without it every page works
// as plain forms. It computes nothing: all it shows comes from the desk.

const asScript = { "Earbudget-Script": "1" };
const soon = 8000; // a request that takes longer is given up

async function ask(address, options = {}) {
  const ended = new AbortController();
  const timer = setTimeout(() => ended.abort(), soon);
  try {
    const answer = await fetch(address, {
      ...options, headers: { ...asScript, ...(options.headers || {}) },
      credentials: "same-origin", signal: ended.signal,
    });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    return { answer, page };
  } finally {
    clearTimeout(timer);
  }
}

// What is typed, chosen and focused outlives its element being made anew.
function keptFields(part) {
  const kept = new Map();
  for (const field of part.querySelectorAll("input, select, textarea"))
    if (field.id && field.dataset.touched) kept.set(field.id, [field.value, field.checked]);
  return kept;
}

function replaceParts(page) {
  let whole = true;
  const focused = document.activeElement && document.activeElement.id;
  const here = new Map([...document.querySelectorAll("[data-part]")].map((p) => [p.dataset.part, p]));
  const there = new Map([...page.querySelectorAll("[data-part]")].map((p) => [p.dataset.part, p]));
  for (const [name, part] of there) {
    const old = here.get(name);
    if (!old) { whole = false; continue; }
    if (old.innerHTML === part.innerHTML) continue;
    const kept = keptFields(old);
    const open = new Set([...old.querySelectorAll("details[open][id]")].map((d) => d.id));
    old.replaceWith(document.adoptNode(part));
    for (const [id, [value, checked]] of kept) {
      const field = document.getElementById(id);
      if (!field) continue;
      field.value = value; field.checked = checked; field.dataset.touched = "1";
    }
    for (const id of open) document.getElementById(id)?.setAttribute("open", "");
  }
  for (const name of here.keys()) if (!there.has(name)) whole = false;
  if (focused && document.activeElement.id !== focused) document.getElementById(focused)?.focus();
  return whole;
}

// --- the desk away -----------------------------------------------------------------------------

function away(why) {
  let note = document.querySelector(".away");
  if (!why) { note?.remove(); return; }
  if (!note) {
    note = document.createElement("p");
    note.className = "away";
    note.setAttribute("role", "alert");
    document.getElementById("main").prepend(note);
  }
  if (note.textContent !== why) note.textContent = why;
}

// --- pages that are asked for again ---------------------------------------------------------------

async function poll() {
  const main = document.getElementById("main");
  const every = Number(main.dataset.live);
  if (!every) return;
  if (!document.hidden) {
    try {
      const { answer, page } = await ask(location.href);
      if (answer.status === 403) {
        away("The desk was started anew. Open the address that it printed; all that was recorded is kept.");
      } else if (answer.ok) {
        away("");
        const typing = main.querySelector("[data-touched]");
        if (!replaceParts(page) && !typing) location.reload();
      }
    } catch {
      away("The desk does not answer. What was recorded is kept; the clock goes on. Start it again with the same command.");
    }
  }
  setTimeout(poll, every);
}

// --- forms that answer as one types ---------------------------------------------------------------

const waiting = new WeakMap();

function answerSoon(form) {
  clearTimeout(waiting.get(form));
  waiting.set(form, setTimeout(() => answerForm(form), 150));
}

let asking = 0;
async function answerForm(form, button) {
  const mine = ++asking;
  const body = new URLSearchParams(new FormData(form));
  if (button) body.append(button.name, button.value);
  const to = form.dataset.answers || form.action;
  try {
    const post = form.method.toLowerCase() === "post";
    const { answer, page } = await ask(post ? to : to + "?" + body, post ? { method: "POST", body } : {});
    if (mine !== asking) return; // a later one is on its way
    if (answer.status === 403) { away(page.querySelector("p")?.textContent || "The desk was started anew."); return; }
    away("");
    // The form comes anew with all that was typed.
    if (button) for (const field of form.elements) delete field.dataset.touched;
    replaceParts(page);
  } catch {
    if (mine === asking) away("The desk does not answer. What you typed is still here.");
  }
}

document.addEventListener("input", (event) => {
  event.target.dataset.touched = "1";
  const form = event.target.form;
  if (form && form.hasAttribute("data-answers")) answerSoon(form);
});

// Buttons of such a form that change the form itself.
document.addEventListener("submit", (event) => {
  const button = event.submitter;
  if (!event.target.hasAttribute("data-answers") || !button?.hasAttribute("data-redraw")) return;
  event.preventDefault();
  event.stopPropagation();
  clearTimeout(waiting.get(event.target));
  answerForm(event.target, button);
}, true);

// A button is pressed once: what it asks for changes something.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.dataset.sent) { event.preventDefault(); return; }
  if (form.method.toLowerCase() === "post") {
    form.dataset.sent = "1";
    setTimeout(() => delete form.dataset.sent, 4000);
  }
});

// --- files that are dropped --------------------------------------------------------------------------

for (const place of document.querySelectorAll("[data-drop]")) {
  const input = place.querySelector("input[type=file]");
  const over = (event, is) => { event.preventDefault(); place.classList.toggle("over", is); };
  place.addEventListener("dragover", (event) => over(event, true));
  place.addEventListener("dragleave", (event) => over(event, false));
  place.addEventListener("drop", (event) => {
    over(event, false);
    if (event.dataTransfer.files.length) input.files = event.dataTransfer.files;
  });
}
// Beside them a file would take the page's place.
if (document.querySelector("[data-drop]"))
  for (const kind of ["dragover", "drop"]) document.addEventListener(kind, (event) => event.preventDefault());

// --- keys --------------------------------------------------------------------------------------------

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || event.repeat) return;
  const types = event.target.closest("input:not([type=checkbox]):not([type=radio]), select, textarea");
  if (types) return;
  const button = [...document.querySelectorAll("[data-key]")].find((b) => b.dataset.key === event.key && !b.disabled);
  if (!button) return;
  event.preventDefault();
  button.focus();
  button.click();
});

// --- clocks --------------------------------------------------------------------------------------------

function clockWords(seconds) {
  const s = Math.max(0, Math.floor(seconds));
  const two = (n) => String(n).padStart(2, "0");
  return s < 3600 ? `${Math.floor(s / 60)}:${two(s % 60)}` : `${Math.floor(s / 3600)}:${two(Math.floor(s / 60) % 60)}:${two(s % 60)}`;
}

function tick() {
  for (const clock of document.querySelectorAll("time[data-since]"))
    clock.textContent = clockWords((Date.now() - Number(clock.dataset.since)) / 1000);
  for (const clock of document.querySelectorAll("time[data-until]"))
    clock.textContent = clockWords((Number(clock.dataset.until) - Date.now()) / 1000);
}

tick();
setInterval(tick, 500);
if (document.getElementById("main")?.dataset.live) setTimeout(poll, Number(document.getElementById("main").dataset.live));
document.addEventListener("visibilitychange", () => { if (!document.hidden && document.getElementById("main")?.dataset.live) ask(location.href).then(({ answer, page }) => { if (answer.ok) replaceParts(page); }).catch(() => {}); });
