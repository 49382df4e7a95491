// The points of a plot by keyboard: one slider is one tab stop, arrow keys go from point to point, Home and End to the
// first and the last. What a point tells stands beside the slider, and is what the slider is said to be at.
// Without scripts the table beside the plot has the same figures.

function pointsOf(box) {
  const dots = [...box.querySelectorAll("svg.plot .plot-dot")];
  return dots.sort((one, other) => one.cx.baseVal.value - other.cx.baseVal.value);
}

function goTo(slider) {
  const box = slider.closest(".plot-box");
  const points = pointsOf(box);
  const at = points[Number(slider.value) - 1];
  points.forEach((dot) => dot.classList.toggle("at", dot === at));
  const words = at?.querySelector("title")?.textContent ?? "";
  slider.setAttribute("aria-valuetext", words);
  box.querySelector("output").textContent = words;
  const link = box.querySelector("[data-plot-to]");
  link.hidden = !at?.dataset.to;
  if (at?.dataset.to) link.href = at.dataset.to;
}

for (const kind of ["input", "focusin"]) {
  document.addEventListener(kind, (event) => {
    if (event.target.matches?.("[data-plot-at]")) goTo(event.target);
  });
}

// A finger or a mouse on a point moves the slider there.
document.addEventListener("click", (event) => {
  const dot = event.target.closest?.(".plot-dot");
  const slider = dot?.closest(".plot-box")?.querySelector("[data-plot-at]");
  if (!slider) return;
  slider.value = pointsOf(slider.closest(".plot-box")).indexOf(dot) + 1;
  goTo(slider);
  if (dot.dataset.to) location.assign(dot.dataset.to);
});
