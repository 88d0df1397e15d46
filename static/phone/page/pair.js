/* The pairing page: the code goes to the shop, the key stays here. Plain http has no keys to make, and no worker. */

import { write } from "../database.js";
import { pair } from "../pairing.js";

const form = document.querySelector("form[data-pair]");
const told = document.querySelector("[data-pair-refused]");

form?.addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    const device = await pair(form.elements.code.value, form.elements.name.value);
    await write("shelf", { name: "language", code: document.documentElement.lang });
    localStorage.setItem("baybook-device", device); // last: a browser that keeps nothing has said so by then
    window.location.assign("/");
  } catch (error) {
    told.textContent = error.message;
    told.hidden = false;
  }
});
if (!window.isSecureContext) document.querySelector("[data-pair-insecure]").hidden = false;
