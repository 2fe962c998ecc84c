// Looks for something to add while one types. Without a script the button beside the field does it.
const WAIT_MS = 200;
let waiting = 0;
let asked = 0;

const pick = () => document.querySelector("[data-pick]");

function look(page, wait) {
  clearTimeout(waiting);
  waiting = setTimeout(() => ask(page), wait);
}

async function ask(page) {
  const mine = ++asked;
  const words = encodeURIComponent(pick().querySelector("#words").value);
  const answer = await fetch(`${pick().dataset.pick}?words=${words}&page=${page}`);
  if (!answer.ok || mine !== asked) return;
  const found = new DOMParser().parseFromString(await answer.text(), "text/html").getElementById("found");
  const { id } = document.activeElement;
  document.getElementById("found").replaceWith(found);
  if (document.activeElement.id !== id) (document.getElementById(id) || found.querySelector("button"))?.focus();
}

function press(event) {
  const [word, page] = (event.target.closest("button[name=do]")?.value || "").split(" ");
  if (word !== "look") return;
  event.preventDefault();
  look(Number(page || 1), 0);
}

function enter(event) {
  if (event.target.id !== "words" || event.key !== "Enter") return;
  event.preventDefault();
  look(1, 0);
}

if (pick()) {
  document.addEventListener("input", (event) => event.target.id === "words" && look(1, WAIT_MS));
  document.addEventListener("keydown", enter);
  document.addEventListener("click", press);
}
