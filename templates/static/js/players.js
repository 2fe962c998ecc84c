// Asks the worker to keep the page that is open, what it is made of, and the pages it marks; says
// in the page's own words how that went. Without it the page reads the same.
const said = document.getElementById("keeping");

async function keep() {
  if (!navigator.serviceWorker) {
    said.textContent = said.dataset.open;
    return;
  }
  navigator.serviceWorker.addEventListener("message", ({ data }) => say(data === "alone"));
  addEventListener("online", () => say());
  addEventListener("offline", () => say());
  if (!navigator.onLine) {
    say();
    return;
  }
  const { worker, scope } = said.dataset;
  await navigator.serviceWorker.register(worker, { scope });
  const { active } = await navigator.serviceWorker.ready;
  active.postMessage({ page: thisPage(), more: marked() });
}

function thisPage() {
  const made = performance.getEntriesByType("resource").map((each) => each.name);
  return [location.href.split("#")[0], ...made];
}

function marked() {
  return [...document.querySelectorAll("a[data-keep]")].map((link) => link.href);
}

// A device may hold itself for connected where nothing answers: the worker knows better.
function say(isAlone = false) {
  const isOpen = navigator.onLine && !isAlone;
  said.textContent = isOpen ? said.dataset.kept : said.dataset.alone;
}

if (said) {
  keep().catch(() => {
    said.textContent = navigator.onLine ? said.dataset.open : said.dataset.alone;
  });
}
