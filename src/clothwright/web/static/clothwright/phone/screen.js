// Small pieces of the page.

import { t } from "./words.js";

export const el = (name, properties = {}, ...inside) => {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(properties)) {
    if (key.startsWith("on")) made.addEventListener(key.slice(2), value);
    else if (key in made && !key.startsWith("aria")) made[key] = value;
    else made.setAttribute(key, value);
  }
  made.append(...inside.filter((one) => one !== null));
  return made;
};

// A patch of the yarn's colour; its name always stands beside it.
export const swatch = (colour) => {
  const made = el("span", { className: "patch", "aria-hidden": "true" });
  if (colour) made.style.background = colour;
  return made;
};

export const clock = (ms) => new Date(ms).toLocaleString(document.documentElement.lang, { day: "numeric", month: "short", hour: "2-digit", minute: "2-digit" });

export const replaced = (place, ...inside) => {
  const focused = place.contains(document.activeElement) ? document.activeElement.dataset.key : "";
  place.replaceChildren(...inside.filter((one) => one !== null));
  if (focused) place.querySelector(`[data-key="${focused}"]`)?.focus();
};

// The screen kept awake while the page is looked at, where the browser can.
export const keepAwake = (button, says) => {
  let wanted = false, held = null;
  const able = "wakeLock" in navigator;
  const show = (words) => { says.textContent = words; button.setAttribute("aria-pressed", String(Boolean(held))); };
  const take = async () => {
    try {
      held = await navigator.wakeLock.request("screen");
      held.addEventListener("release", () => { held = null; show(t("The screen may go dark.")); });
      show(t("The screen stays awake while this page is in sight."));
    } catch {
      held = null;
      show(t("The browser refused: the battery may be low. Set the phone's own screen time longer."));
    }
  };
  if (!able) {
    button.hidden = true;
    show(t("This browser cannot keep the screen awake here: set the phone's own screen time longer."));
    return;
  }
  show(t("The screen may go dark."));
  button.addEventListener("click", () => {
    wanted = !held;
    if (wanted) take();
    else held.release();
  });
  document.addEventListener("visibilitychange", () => { if (wanted && !held && document.visibilityState === "visible") take(); });
};
