// Begins: reads what the page carries, and wakes the parts that stand on it.

import { mountBoard } from "./at_board.js";
import { mountLoom } from "./at_loom.js";
import { start } from "./going.js";
import { keepForOffline } from "./offline.js";
import { speak } from "./words.js";

// The page that is taken along has both places on it; it opens where it was left.
const showOneOf = async (app) => {
  const buttons = [...document.querySelectorAll("[data-shows]")];
  const show = (which) => {
    for (const button of buttons) {
      button.setAttribute("aria-pressed", String(button.dataset.shows === which));
      document.getElementById(button.dataset.shows).hidden = button.dataset.shows !== which;
    }
  };
  for (const button of buttons) {
    button.addEventListener("click", async () => { show(button.dataset.shows); await app.set("place", button.dataset.shows); });
  }
  if (buttons.length) show((await app.setting("place")) || "board");
};

const begin = async () => {
  const data = JSON.parse(document.getElementById("phone-data").textContent);
  speak(data.words);
  const app = await start(data);
  const board = document.getElementById("board");
  if (board) await mountBoard(board, app);
  const loom = document.getElementById("loom");
  if (loom) await mountLoom(loom, app);
  await showOneOf(app);
  if (!data.saved) keepForOffline(data.places, document.getElementById("offline-says"));
  document.body.dataset.begun = "yes";
};

begin();
