"use strict";
// Points of a drawing are dragged, or moved with the arrow keys, and the picture follows; the fields beside it hold the
// places, and the program draws anew when a point is let go. The pages work without this file.

(() => {
  const FINE_CM = 0.1, COARSE_CM = 1, REST_MS = 450, CLICK_PX = 5, DRAG_PX = 1, PARTS = 64;
  let held = null, resting = 0, changes = 0, sent = 0, pressed = false, focus = "";

  const boardOf = (element) => element.closest("svg[data-board]");
  const grips = (board) => new Map([...board.querySelectorAll("[data-grip]")].map((grip) => [grip.dataset.grip, grip]));
  const place = (grip) => [Number(grip.dataset.x), Number(grip.dataset.y)];
  const onBoard = (board, [x, y]) => [(x - board.dataset.left) * board.dataset.scale, (y - board.dataset.top) * board.dataset.scale];
  const text = (board, cm) => `${Number((cm / board.dataset.per).toFixed(2))} ${board.dataset.named}`;

  const onPage = (board, event) => {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(board.getScreenCTM().inverse());
    return [at.x / board.dataset.scale + Number(board.dataset.left), at.y / board.dataset.scale + Number(board.dataset.top)];
  };

  // A side is two points, or four of a curve.
  const steps = (points) => (points.length === 4 ? "C" : "L") + points.slice(1).map((point) => point.join(" ")).join(" ");
  const at = (points, t) => {
    while (points.length > 1) points = points.slice(1).map((point, i) => point.map((v, axis) => points[i][axis] * (1 - t) + v * t));
    return points[0];
  };
  const lengthOf = (points) => {
    let sum = 0, before = points[0];
    for (let part = 1; part <= PARTS; part += 1) {
      const here = at(points, part / PARTS);
      sum += Math.hypot(here[0] - before[0], here[1] - before[1]);
      before = here;
    }
    return sum;
  };

  const redraw = (board, moved) => {
    const all = grips(board);
    const points = (keys) => keys.split(" ").map((key) => place(all.get(key)));
    const touches = (keys) => keys.split(/[ ;]/).some((key) => moved.has(key));
    for (const side of board.querySelectorAll("[data-side]")) {
      if (!touches(side.dataset.side)) continue;
      const there = points(side.dataset.side).map((point) => onBoard(board, point));
      side.setAttribute("d", `M${there[0].join(" ")} ${steps(there)}`);
    }
    for (const whole of board.querySelectorAll("[data-whole]")) {
      const sides = whole.dataset.whole.split(";").map((keys) => points(keys).map((point) => onBoard(board, point)));
      whole.setAttribute("d", `M${sides[0][0].join(" ")} ${sides.map(steps).join(" ")} Z`);
    }
    for (const label of board.querySelectorAll("[data-length]")) {
      if (!touches(label.dataset.length)) continue;
      const there = points(label.dataset.length);
      const [x, y] = onBoard(board, at(there, 0.5));
      label.setAttribute("x", x);
      label.setAttribute("y", y + 3);
      label.textContent = `${(lengthOf(there) / board.dataset.per).toFixed(1)} ${board.dataset.named}`;
      const said = document.querySelector(`[data-length-said="${label.dataset.length.split(" ")[0].slice(1)}"]`);
      if (said) said.textContent = label.textContent;
    }
  };

  const write = (board, grip) => {
    const [x, y] = place(grip);
    for (const [axis, name] of grip.dataset.fields.split(" ").entries()) {
      if (name.startsWith("line.")) writeLine(Number(name.slice(5)), x, y);
      else document.getElementsByName(name)[0].value = text(board, axis ? y : x);
    }
  };
  const lines = () => document.getElementById("corners").value.split("\n").filter((line) => line.trim());
  const writeLine = (number, x, y) => {
    const all = lines();
    all[number] = `${x.toFixed(2)}, ${y.toFixed(2)}`;
    document.getElementById("corners").value = all.join("\n");
  };

  const put = (board, grip, x, y) => {
    const before = place(grip), all = grips(board);
    const takes = grip.dataset.takes ? grip.dataset.takes.split(" ") : [];
    const moved = new Set([grip.dataset.grip, ...takes]);
    for (const key of moved) {
      const one = all.get(key), [px, py] = place(one);
      one.dataset.x = key === grip.dataset.grip ? x : px + x - before[0];
      one.dataset.y = key === grip.dataset.grip ? y : py + y - before[1];
      const [cx, cy] = onBoard(board, place(one)), [ox, oy] = [one.getAttribute("cx"), one.getAttribute("cy")];
      for (const beside of board.querySelectorAll(`[data-beside="${key}"]`)) {
        const names = beside.hasAttribute("cx") ? ["cx", "cy"] : ["x", "y"];
        beside.setAttribute(names[0], Number(beside.getAttribute(names[0])) + cx - ox);
        beside.setAttribute(names[1], Number(beside.getAttribute(names[1])) + cy - oy);
      }
      one.setAttribute("cx", cx);
      one.setAttribute("cy", cy);
      one.setAttribute("aria-label", `${one.dataset.words}, ${text(board, place(one)[0])} across, ${text(board, place(one)[1])} down. Arrow keys move it.`);
      write(board, one);
    }
    redraw(board, moved);
    changes += 1;
  };

  const snapped = (board, value) => {
    const box = document.querySelector("[data-snap]"), step = board.dataset.per / 2;
    return box && box.checked ? Math.round(value / step) * step : value;
  };

  const letGo = () => {
    clearTimeout(resting);
    resting = 0;
    const form = document.getElementById("typed") || document.getElementById("outline-form");
    if (form) form.dispatchEvent(new Event("change", { bubbles: true }));
  };

  const press = (selector) => {
    const button = document.querySelector(selector);
    if (button && !button.disabled) button.click();
    return Boolean(button);
  };

  document.addEventListener("pointerdown", (event) => {
    const board = event.target.closest && boardOf(event.target);
    if (!board || event.button !== 0) return;
    const key = event.target.dataset.grip || (event.target.classList.contains("cw-reach") && event.target.dataset.beside);
    const grip = key ? grips(board).get(key) : null;
    held = { board, grip, from: [event.clientX, event.clientY], moved: false };
    if (!grip) return;
    grip.focus();
    board.setPointerCapture(event.pointerId);
    event.preventDefault();
  });

  document.addEventListener("pointermove", (event) => {
    if (!held) return;
    const far = Math.hypot(event.clientX - held.from[0], event.clientY - held.from[1]);
    held.moved = held.moved || far > (held.grip ? DRAG_PX : CLICK_PX);
    if (!held.grip || !held.moved) return;
    const [x, y] = onPage(held.board, event);
    put(held.board, held.grip, snapped(held.board, x), snapped(held.board, y));
  });

  document.addEventListener("pointerup", (event) => {
    if (!held) return;
    const { board, grip, moved } = held;
    held = null;
    if (grip) return moved ? letGo() : undefined;
    if (!moved) addAt(board, onPage(board, event));
  });
  document.addEventListener("pointercancel", () => { held = null; });

  const addAt = (board, [x, y]) => {
    const across = document.getElementsByName("at.across")[0], down = document.getElementsByName("at.down")[0];
    if (!across) return;
    across.value = text(board, snapped(board, x));
    down.value = text(board, snapped(board, y));
    press("[data-add]");
  };

  const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  document.addEventListener("keydown", (event) => {
    const board = event.target.closest && boardOf(event.target);
    if (!board) return;
    if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z") {
      if (press(event.shiftKey ? "[data-redo]" : "[data-undo]")) event.preventDefault();
      return;
    }
    const grip = event.target.dataset.grip ? event.target : null;
    if (!grip) return;
    const arrow = ARROWS[event.key];
    if (arrow) {
      const by = event.shiftKey ? COARSE_CM : FINE_CM, [x, y] = place(grip);
      put(board, grip, x + arrow[0] * by, y + arrow[1] * by);
      clearTimeout(resting);
      resting = setTimeout(letGo, REST_MS);
      event.preventDefault();
    } else if (event.key === "Delete" && grip.dataset.grip.startsWith("c")) {
      takeAway(grip.dataset.grip.slice(1));
      event.preventDefault();
    }
  });
  const takeAway = (number) => {
    const point = document.getElementById("point");
    if (point) point.value = Number(number) + 1;
    press(point ? "[data-take]" : `[data-remove="${number}"]`);
  };

  // What was moved since a request was sent is not undone by its answer; the next one brings it.
  document.addEventListener("htmx:beforeRequest", (event) => {
    sent = changes;
    if (event.detail.elt.tagName === "BUTTON") pressed = false;
    const grip = document.activeElement && document.activeElement.closest && document.activeElement.closest("[data-grip]");
    focus = grip ? grip.dataset.grip : "";
  });
  document.addEventListener("htmx:beforeSwap", (event) => {
    const asked = event.detail.requestConfig, ours = ["typed", "outline"].includes(event.detail.target.id);
    if (!ours || asked.elt.tagName === "BUTTON") return;
    // What is kept while it is being typed changes nothing on the page; leaving the field does.
    const typing = asked.triggeringEvent && asked.triggeringEvent.type === "input";
    if (typing || held || pressed || changes !== sent) event.detail.shouldSwap = false;
  });
  // A button pressed while something is being kept waits for that; it must still be there when its turn comes.
  document.addEventListener("click", (event) => {
    const button = event.target.closest && event.target.closest("#typed button[hx-post], #outline button[hx-post]");
    if (button && !button.disabled) pressed = true;
  }, true);
  document.addEventListener("input", () => { changes += 1; });
  const ready = () => {
    for (const one of document.querySelectorAll(".scripted[hidden]")) one.hidden = false;
    if (!focus) return;
    const grip = document.querySelector(`[data-grip="${focus}"]`);
    if (grip && document.activeElement === document.body) grip.focus();
    focus = "";
  };
  document.addEventListener("htmx:afterSettle", ready);
  document.addEventListener("DOMContentLoaded", ready);
  if (document.readyState !== "loading") ready();

  // A move that still rests when the page is left goes with it: the page keeps what was typed since.
  window.addEventListener("pagehide", () => {
    if (resting) document.getElementById("typed")?.dispatchEvent(new Event("input", { bubbles: true }));
  }, { capture: true });
})();
