// Drags a row by its handle, with a mouse, a pen or a finger. Where it would go is shown by a line.
const EDGE_PX = 70;
const STEP_PX = 14;

export function dragging(form, rows, move) {
  let from = -1;
  let y = 0;

  form.addEventListener("pointerdown", (event) => {
    const handle = event.target.closest(".handle");
    if (!handle || event.button) return;
    from = Number(handle.dataset.place);
    y = event.clientY;
    handle.setPointerCapture(event.pointerId);
    rows()[from].classList.add("lifted");
    requestAnimationFrame(nearEdge);
  });
  form.addEventListener("pointermove", (event) => {
    if (from < 0) return;
    y = event.clientY;
    showPlace();
  });
  form.addEventListener("pointerup", () => {
    if (from < 0) return;
    const [start, to] = [from, goal()];
    stop();
    move(start, to);
  });
  form.addEventListener("pointercancel", stop);
  document.addEventListener("keydown", (event) => event.key === "Escape" && stop());

  // How many rows lie above the pointer, the dragged one left out?
  function goal() {
    const others = rows().filter((_, place) => place !== from);
    return others.filter((row) => middle(row) < y).length;
  }

  function middle(row) {
    const { top, height } = row.getBoundingClientRect();
    return top + height / 2;
  }

  function showPlace() {
    const to = goal();
    for (const [place, row] of rows().entries()) {
      row.classList.toggle("goes-above", place === to && to < from);
      row.classList.toggle("goes-below", place === to && to > from);
    }
  }

  function nearEdge() {
    if (from < 0) return;
    if (y < EDGE_PX) scrollBy(0, -STEP_PX);
    if (y > innerHeight - EDGE_PX) scrollBy(0, STEP_PX);
    showPlace();
    requestAnimationFrame(nearEdge);
  }

  function stop() {
    from = -1;
    for (const row of rows()) row.classList.remove("lifted", "goes-above", "goes-below");
  }
}
