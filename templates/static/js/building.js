// Looks for a tune to add while one types. Without a script the button beside the field does it.
const WAIT_MS = 200;
let waiting = 0;
let asked = 0;

const pick = () => document.querySelector("[data-pick]");

function look(page) {
  clearTimeout(waiting);
  waiting = setTimeout(() => ask(page), page > 1 ? 0 : WAIT_MS);
}

async function ask(page) {
  const mine = ++asked;
  const words = encodeURIComponent(pick().querySelector("#words").value);
  const answer = await fetch(`${pick().dataset.pick}?words=${words}&page=${page}`);
  if (!answer.ok || mine !== asked) return;
  const found = new DOMParser().parseFromString(await answer.text(), "text/html").getElementById("found");
  document.getElementById("found").replaceWith(found);
}

function press(event) {
  const button = event.target.closest("button[name=do]");
  const [word, page] = (button?.value || "").split(" ");
  if (word !== "look") return;
  event.preventDefault();
  look(Number(page || 1));
}

if (pick()) {
  document.addEventListener("input", (event) => event.target.id === "words" && look(1));
  pick().addEventListener("click", press);
}
