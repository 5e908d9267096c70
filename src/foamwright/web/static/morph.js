// @ts-check
/** Bring a part of the page to what the shop answers, touching only what differs: focus and a held hand survive. */

/** @param {Node} node */
function keyOf(node) {
  if (!(node instanceof Element)) return node.nodeName;
  const { dataset } = /** @type {HTMLElement} */ (node);
  return `${node.nodeName} ${node.id} ${dataset.hand ?? dataset.row ?? dataset.notice ?? ""}`;
}

/** @param {Element} old @param {Element} fresh */
function attributes(old, fresh) {
  const mine = old.hasAttribute("data-mine");
  // What a person types now is theirs until they leave the field: the shop knows nothing of it.
  const left = (/** @type {string} */ name) => name === "open" || name === "data-typing" || (mine && (name === "hidden" || name === "disabled"));
  for (const { name, value } of [...fresh.attributes]) if (!left(name) && old.getAttribute(name) !== value) old.setAttribute(name, value);
  for (const { name } of [...old.attributes]) if (!left(name) && !fresh.hasAttribute(name)) old.removeAttribute(name);
  if (old instanceof HTMLInputElement && old.dataset.typing === undefined) {
    const value = fresh.getAttribute("value") ?? "";
    if (old.type !== "file" && old.value !== value) old.value = value;
  }
}

/** @param {Node} old @param {Node} fresh */
function patch(old, fresh) {
  if (old instanceof Element && fresh instanceof Element) {
    if (old.isEqualNode(fresh) && !(old instanceof HTMLInputElement)) return;
    attributes(old, fresh);
    children(old, fresh);
    if (old instanceof HTMLSelectElement) old.value = /** @type {HTMLSelectElement} */ (fresh).value;
  } else if (old.nodeValue !== fresh.nodeValue) old.nodeValue = fresh.nodeValue;
}

/** @param {Node} old @param {Node} fresh */
function children(old, fresh) {
  let at = old.firstChild;
  for (const next of [...fresh.childNodes]) {
    const key = keyOf(next);
    let same = at;
    while (same && keyOf(same) !== key) same = same.nextSibling;
    if (same) {
      while (at && at !== same) {
        const gone = at;
        at = at.nextSibling;
        gone.parentNode?.removeChild(gone);
      }
      patch(same, next);
      at = same.nextSibling;
    } else old.insertBefore(next, at);
  }
  while (at) {
    const gone = at;
    at = at.nextSibling;
    gone.parentNode?.removeChild(gone);
  }
}

/** @param {Element} part @param {string} html */
export function morph(part, html) {
  const fresh = document.createElement("template");
  fresh.innerHTML = html;
  children(part, fresh.content);
}
