// @ts-check
/** The questions to a rider: the board is drawn anew after every answer, by the address that holds them all. */

import { morph } from "./morph.js";

const form = /** @type {HTMLFormElement} */ (document.getElementById("rider"));
let flying = false, again = false;

async function draw() {
  if (flying) {
    again = true;
    return;
  }
  flying = true;
  const query = new URLSearchParams();
  for (const name of ["mass", "stature", "experience", "waves", "suit", "kind"]) query.set(name, String(new FormData(form).get(name) ?? ""));
  const address = `/start/rider?${query}`;
  try {
    const page = new DOMParser().parseFromString(await (await fetch(address)).text(), "text/html");
    for (const id of ["made", "mass-said", "stature-said"]) {
      const here = document.getElementById(id), fresh = page.getElementById(id);
      if (here && fresh) morph(here, fresh.innerHTML);
    }
    const take = /** @type {HTMLButtonElement} */ (form.querySelector(".acts button"));
    take.disabled = !document.querySelector("#made .drawing");
    history.replaceState(null, "", address);
  } catch { /* The next answer asks again. */ }
  flying = false;
  if (again) {
    again = false;
    void draw();
  }
}
form.addEventListener("input", (event) => {
  if (/** @type {HTMLInputElement} */ (event.target).name !== "name") void draw();
});
