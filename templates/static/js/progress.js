// Shows how far long work is, as the service tells it (server-sent events), and shows the page's new
// state when it is over. Without a script the page is loaded again every two seconds.
const bar = document.querySelector("progress[data-steps]");

function follow() {
  const steps = new EventSource(bar.dataset.steps);
  steps.addEventListener("step", (event) => show(JSON.parse(event.data)));
  steps.addEventListener("over", () => {
    steps.close();
    const { page, part } = bar.dataset;
    htmx.ajax("GET", page, { target: part, select: part, swap: "outerHTML" });
  });
}

function show({ done, total, said }) {
  if (total) {
    bar.max = total;
    bar.value = done;
  }
  for (const label of bar.labels) {
    if (label.textContent !== said) label.textContent = said;
  }
}

if (bar) follow();
