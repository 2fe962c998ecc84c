// Choose a note on the staff: press on it, or go from note to note with the arrow keys. What is said
// of the note is the same page that its form gives; without a script the form does it alone.
const WAIT_MS = 180;
const NEAR_PX = 40;
const STEPS = { ArrowRight: 1, ArrowLeft: -1 };
let waiting = 0;

const music = () => document.querySelector(".notes-of");
const nameOf = (note) => note.id || note.dataset.at;
const shown = () => [...music().querySelectorAll("g.note")].filter((note) => note.getClientRects().length);
const chosenName = () => document.querySelector("#note")?.dataset.note || "";

function placeOf(name) {
  const [, part, bar, ending, index] = /^p(\d+)b(\d+)e(\d+)n(\d+)$/.exec(name) || [];
  return bar > 0 ? `${part}/${bar}/${ending}/${index}` : "";
}

function mark(name) {
  for (const frame of music().querySelectorAll(".frame")) frame.remove();
  for (const note of music().querySelectorAll("g.note")) {
    const isChosen = nameOf(note) === name;
    note.classList.toggle("chosen", isChosen);
    if (isChosen && note.getClientRects().length) note.append(frameAround(note.getBBox()));
  }
}

// A frame, since colour alone would not say which note is meant.
function frameAround({ x, y, width, height }) {
  const frame = document.createElementNS("http://www.w3.org/2000/svg", "rect");
  const room = width * 0.35;
  const box = { x: x - room, y: y - room, width: width + 2 * room, height: height + 2 * room };
  for (const [name, value] of Object.entries(box)) frame.setAttribute(name, value);
  frame.setAttribute("class", "frame");
  return frame;
}

function choose(name, isPressed) {
  const place = placeOf(name);
  if (!place) return;
  mark(name);
  clearTimeout(waiting);
  waiting = setTimeout(() => ask(place, isPressed), WAIT_MS);
}

async function ask(place, isPressed) {
  const address = `${music().dataset.address}?note=${place}`;
  await htmx.ajax("GET", address, { target: "#note", select: "#note", swap: "outerHTML" });
  history.replaceState(history.state, "", address);
  if (isPressed) document.querySelector("#note").scrollIntoView({ block: "nearest" });
}

function step(event) {
  const by = STEPS[event.key];
  if (!by || event.target !== music()) return;
  event.preventDefault();
  const notes = shown().filter((note) => placeOf(nameOf(note)));
  const at = notes.findIndex((note) => note.classList.contains("chosen"));
  const next = notes[at < 0 ? 0 : Math.min(notes.length - 1, Math.max(0, at + by))];
  if (!next) return;
  choose(nameOf(next), false);
  next.scrollIntoView({ block: "nearest" });
}

function press(event) {
  const line = event.target.closest("svg");
  if (!line || !music().contains(line)) return;
  let best = null;
  for (const note of line.querySelectorAll("g.note")) {
    const box = note.getBoundingClientRect();
    const aside = Math.max(box.left - event.clientX, event.clientX - box.right, 0);
    if (aside < NEAR_PX && (!best || aside < best.aside)) best = { note, aside };
  }
  if (best) choose(nameOf(best.note), true);
}

document.addEventListener("keydown", (event) => music() && step(event));
document.addEventListener("click", (event) => music() && press(event));
if (music()) mark(chosenName());
