// Begins: reads what the page carries, and wakes the parts that stand on it.

import { mountBoard } from "./at_board.js";
import { mountLoom } from "./at_loom.js";
import { start } from "./going.js";
import { keepForOffline } from "./offline.js";

const begin = async () => {
  const data = JSON.parse(document.getElementById("phone-data").textContent);
  const app = await start(data);
  const board = document.getElementById("board");
  if (board) await mountBoard(board, app);
  const loom = document.getElementById("loom");
  if (loom) await mountLoom(loom, app);
  if (!data.saved) keepForOffline(data.places, document.getElementById("offline-says"));
  document.body.dataset.begun = "yes";
};

begin();
