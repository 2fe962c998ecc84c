// Drags a row by its handle, with a mouse, a pen or a finger. Where it would go is shown by a line.
const EDGE_PX = 70;
const STEP_PX = 14;
const INSIDE_PX = 60;

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
    return rows().filter((row, place) => place !== from && line(row, place > from) < y).length;
  }

  // A neighbour gives way once the pointer is well inside it, however tall it is.
  function line(row, isBelow) {
    const { top, bottom, height } = row.getBoundingClientRect();
    const inside = Math.min(height / 2, INSIDE_PX);
    return isBelow ? top + inside : bottom - inside;
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
    if (y < EDGE_PX) scrollBy({ top: -STEP_PX, behavior: "instant" });
    if (y > innerHeight - EDGE_PX) scrollBy({ top: STEP_PX, behavior: "instant" });
    showPlace();
    requestAnimationFrame(nearEdge);
  }

  function stop() {
    from = -1;
    for (const row of rows()) row.classList.remove("lifted", "goes-above", "goes-below");
  }
}
