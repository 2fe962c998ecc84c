// Puts things in order: every change is kept at once, and times, joins and gaps follow. The service
// draws the page; here the new drawing is put in place without losing what is typed, where one is,
// or what is open. Without a script the same buttons send the same form.
import { dragging } from "./dragging.js";

const TYPING_MS = 600;
const RETRY_MS = 5000;
const ARROWS = { ArrowUp: -1, ArrowDown: 1, Home: -Infinity, End: Infinity };
const form = document.querySelector("form[data-building]");
const state = document.getElementById("state");
let queue = [];
let timer = 0;
let isBusy = false;
let isUnsaved = false;
let isPaused = false;

const rows = () => [...form.querySelectorAll("[data-row]")];
const say = (words) => {
  if (state.textContent !== words) state.textContent = words;
};

function typed({ target }) {
  if (target.form !== form || "loose" in target.dataset) return;
  isUnsaved = true;
  clearTimeout(timer);
  if (!isPaused) timer = setTimeout(() => ask({ act: "" }), TYPING_MS);
}

function pressed(event) {
  const button = event.target.closest("button");
  if (!button || button.form !== form || button.type !== "submit" || event.defaultPrevented) return;
  event.preventDefault();
  isPaused = false;
  ask({ act: button.name === "do" ? button.value : "", isAsked: true, from: button.id });
}

function ask(wish) {
  clearTimeout(timer);
  const last = queue.at(-1);
  if (last && !last.act && !wish.act) queue.pop();
  queue.push(wish);
  if (!isBusy) next();
}

async function next() {
  const wish = queue.shift();
  if (!wish) return;
  isBusy = true;
  isUnsaved = false;
  say(state.dataset.saving);
  const answer = await send(wish.act);
  isBusy = false;
  if (answer) show(answer, wish);
  else later(wish);
  if (answer) next();
}

async function send(act) {
  const body = new URLSearchParams(new FormData(form));
  body.set("do", act);
  if (act !== "add") body.delete("add_text");
  try {
    const answer = await fetch(form.action, { method: "POST", body });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    return page.querySelector("form[data-building]") && { page, status: answer.status };
  } catch {
    return null;
  }
}

function later(wish) {
  isUnsaved = true;
  say(state.dataset.lost);
  queue.unshift(wish);
  timer = setTimeout(next, RETRY_MS);
}

function show({ page, status }, wish) {
  const isKept = status < 400;
  if (wish.act) wholeForm(page, wish);
  else pieces(page);
  if (status === 412) isPaused = true;
  if (isKept || wish.isAsked || isPaused) notice(page, !isKept);
  if (isKept) queue = queue.map((each) => follow(each, wish.act)).filter(Boolean);
  isUnsaved = isUnsaved || !isKept;
  say(isKept ? saved() : status === 412 ? state.dataset.stale : refused(page));
}

const saved = () => `${state.dataset.saved}. ${document.getElementById("length")?.textContent || ""}`;
const refused = (page) => {
  const why = page.querySelector("form .fault span, #notice .notice p")?.textContent || "";
  return `${state.dataset.refused}. ${why}`;
};

function notice(page, isBad) {
  const place = document.getElementById("notice");
  place.replaceChildren(...page.getElementById("notice").childNodes);
  if (isBad && place.childElementCount) place.focus();
}

// What was opened to be read stays open.
function livePieces(page) {
  for (const old of document.querySelectorAll("[data-live]")) {
    const fresh = page.getElementById(old.id);
    if (!fresh) continue;
    const isOpen = [...old.querySelectorAll("details")].map((each) => each.open);
    fresh.querySelectorAll("details").forEach((each, at) => { each.open = Boolean(isOpen[at]); });
    old.replaceWith(fresh);
  }
}

// What was typed stays as it is on the screen: only what was worked out from it is new.
function pieces(page) {
  livePieces(page);
  for (const control of form.elements) if (control.id) beside(control, page.getElementById(control.id));
}

function beside(control, fresh) {
  const field = control.closest(".field");
  if (!field || !fresh) return;
  field.querySelector(".fault")?.remove();
  const fault = fresh.closest(".field").querySelector(".fault");
  if (fault) {
    control.after(fault);
    control.closest("details")?.setAttribute("open", "");
  }
  for (const name of ["aria-invalid", "aria-describedby"]) {
    if (fresh.hasAttribute(name)) control.setAttribute(name, fresh.getAttribute(name));
    else control.removeAttribute(name);
  }
}

function wholeForm(page, wish) {
  const open = rows().filter((row) => row.querySelector("details[open]")).map((row) => row.dataset.key);
  const left = document.activeElement.id;
  const fresh = page.querySelector("form[data-building]");
  for (const old of form.querySelectorAll("[data-loose]")) {
    const loose = fresh.querySelector(`#${old.id}`);
    if (loose && !(wish.act === "add" && old.id === "add_text")) loose.value = old.value;
  }
  form.replaceChildren(...fresh.childNodes);
  livePieces(page);
  for (const row of rows()) if (open.includes(row.dataset.key)) row.querySelector("details")?.setAttribute("open", "");
  goBack(wish, left);
}

// Where was one? At the same button of the row that moved, or of the row that stands there now.
function goBack({ act, from }, left) {
  const [word, place] = act.split(" ");
  const to = destination(act);
  const last = rows().length - 1;
  const at = word === "remove" ? Math.min(Number(place), last) : to;
  const kind = (from || left || "").split("-")[0];
  const ids = [from, left];
  if (at >= 0) ids.unshift(`${kind}-${at}`, `move-${at}`, `down-${at}`, `up-${at}`);
  const goal = ids.map((id) => id && document.getElementById(id)).find(Boolean) || state;
  goal.focus({ preventScroll: true });
  if (at >= 0) goal.closest("[data-row]")?.scrollIntoView({ block: "nearest", behavior: "instant" });
}

function destination(act) {
  const [word, place, to] = act.split(" ");
  return { up: Number(place) - 1, down: Number(place) + 1, move: Number(to) }[word] ?? -1;
}

// A button that was pressed while another was still at work means the row it stood in.
function follow(wish, done) {
  const [word, place, ...more] = wish.act.split(" ");
  if (!["up", "down", "remove", "move"].includes(word)) return wish;
  const at = whereIs(Number(place), done);
  return at < 0 ? null : { ...wish, act: [word, at, ...more].join(" ") };
}

function whereIs(row, done) {
  const [word, place] = done.split(" ");
  const from = Number(place);
  const to = destination(done);
  if (word === "remove") return row === from ? -1 : row - (row > from);
  if (to < 0) return row;
  if (row === from) return to;
  return row + (row >= to && row < from) - (row <= to && row > from);
}

// Enter in a field with a button of its own presses that, not the one that saves.
function enter(event) {
  const button = document.getElementById(event.target.dataset?.enter);
  if (!button || event.key !== "Enter") return;
  event.preventDefault();
  button.click();
}

function keys(event) {
  const place = event.target.closest?.(".handle")?.dataset.place;
  if (place === undefined || !(event.key in ARROWS)) return;
  event.preventDefault();
  const to = Math.max(0, Math.min(rows().length - 1, Number(place) + ARROWS[event.key]));
  move(Number(place), to);
}

function move(from, to) {
  if (from !== to) ask({ act: `move ${from} ${to}`, isAsked: true, from: `move-${from}` });
}

if (form) {
  document.documentElement.classList.add("with-script");
  document.addEventListener("input", typed);
  document.addEventListener("click", pressed);
  document.addEventListener("keydown", keys);
  document.addEventListener("keydown", enter);
  document.addEventListener("visibilitychange", () => {
    if (document.hidden && isUnsaved && !isPaused) ask({ act: "" });
  });
  addEventListener("beforeunload", (event) => (isBusy || isUnsaved) && event.preventDefault());
  dragging(form, rows, move);
}
