// @ts-check
/** The tour of one minute: a sentence at a time, beside the part of the workbench that it is about. */

const card = /** @type {HTMLElement} */ (document.getElementById("tour"));
const steps = /** @type {HTMLElement[]} */ ([...card.querySelectorAll("li")]);
const next = /** @type {HTMLButtonElement} */ (card.querySelector(".next"));
let at = 0;

function show() {
  for (const [n, one] of steps.entries()) {
    one.hidden = n !== at;
    document.querySelector(one.dataset.of ?? "")?.classList.toggle("shown", n === at);
  }
  if (at === steps.length - 1) next.textContent = card.dataset.last ?? "";
}
function leave() {
  for (const one of document.querySelectorAll(".shown")) one.classList.remove("shown");
  card.remove();
  const query = new URLSearchParams(location.search);
  query.delete("tour");
  history.replaceState(null, "", `${location.pathname}${query.size ? "?" : ""}${query}`);
}
next.hidden = false;
next.addEventListener("click", () => {
  at += 1;
  if (at < steps.length) return show();
  leave();
});
card.querySelector(".skip-it")?.addEventListener("click", (event) => {
  event.preventDefault();
  leave();
});
addEventListener("keydown", (event) => {
  if (event.key === "Escape" && card.isConnected) leave();
});
show();
