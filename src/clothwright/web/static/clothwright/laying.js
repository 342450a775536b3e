"use strict";
// Pieces on the cloth are dragged, or moved with the arrow keys; the fields below hold their places, and the program
// judges and draws anew when a piece is let go. The page works without this file.

(() => {
  const FINE = { cm: 0.1, in: 1 / 16 }, COARSE = { cm: 1, in: 0.5 }, REST_MS = 250;
  const KEYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  let held = null, resting = 0;

  const field = (copy, name) => document.getElementById(`${name}-${copy.dataset.copy}`);
  const cloth = () => document.getElementById("cloth");
  const scale = () => Number(cloth().dataset.scale);
  const unit = () => cloth().dataset.unit;
  const number = (input) => Number.parseFloat(input.value) || 0;
  const letGo = () => {
    clearTimeout(resting);
    document.getElementById("laid").dispatchEvent(new Event("change", { bubbles: true }));
  };

  const moveBy = (copy, along, across) => {
    for (const [name, by] of [["along", along], ["across", across]]) {
      const input = field(copy, name);
      input.value = `${Number(Math.max(0, number(input) + by).toFixed(4))} ${unit()}`;
    }
  };
  const show = (copy, along, across) => copy.setAttribute("transform", `translate(${along * scale()} ${across * scale()})`);
  const locked = (copy) => field(copy, "locked").checked;

  const onCloth = (event) => new DOMPoint(event.clientX, event.clientY).matrixTransform(cloth().getScreenCTM().inverse());

  document.addEventListener("pointerdown", (event) => {
    const copy = event.target.closest && event.target.closest("[data-copy]");
    if (!copy || event.button !== 0 || locked(copy)) return;
    copy.focus();
    held = { copy, from: onCloth(event), by: [0, 0] };
    copy.setPointerCapture(event.pointerId);
    event.preventDefault();
  });
  document.addEventListener("pointermove", (event) => {
    if (!held) return;
    const at = onCloth(event);
    held.by = [(at.x - held.from.x) / scale(), (at.y - held.from.y) / scale()];
    show(held.copy, ...held.by);
  });
  document.addEventListener("pointerup", () => {
    if (!held) return;
    const { copy, by } = held;
    held = null;
    if (Math.hypot(...by) * scale() < 1) return;
    moveBy(copy, ...by);
    letGo();
  });
  document.addEventListener("pointercancel", () => {
    if (held) held.copy.removeAttribute("transform");
    held = null;
  });

  document.addEventListener("keydown", (event) => {
    const copy = event.target.closest && event.target.closest("[data-copy]");
    if (!copy || event.ctrlKey || event.altKey || event.metaKey) return;
    const way = KEYS[event.key], tick = { t: "turned", l: "locked" }[event.key.toLowerCase()];
    if (way && !locked(copy)) {
      const step = (event.shiftKey ? COARSE : FINE)[unit()];
      const done = (copy.keyed = [(copy.keyed || [0, 0])[0] + way[0] * step, (copy.keyed || [0, 0])[1] + way[1] * step]);
      moveBy(copy, way[0] * step, way[1] * step);
      show(copy, ...done);
      clearTimeout(resting);
      resting = setTimeout(letGo, REST_MS);
    } else if (tick && field(copy, tick)) {
      field(copy, tick).checked = !field(copy, tick).checked;
      letGo();
    } else return;
    event.preventDefault();
  });

  for (const one of document.querySelectorAll(".scripted")) one.hidden = false;
})();

// A piece that gets the focus comes into sight: browsers do not scroll a frame for what is drawn in it.
document.addEventListener("focusin", (event) => {
  const piece = event.target.closest(".copy"), frame = piece && piece.closest(".cloth-by-hand");
  if (!frame || !piece.matches(":focus-visible")) return;
  const at = piece.getBoundingClientRect(), seen = frame.getBoundingClientRect();
  if (at.left < seen.left) frame.scrollLeft += at.left - seen.left;
  else if (at.right > seen.right) frame.scrollLeft += Math.min(at.right - seen.right, at.left - seen.left);
});
