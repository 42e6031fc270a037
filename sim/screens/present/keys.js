// Keys for presenting. Each presses the button of its name where it is on the page and not switched off: what a key does,
// the mouse does too, and a key does nothing that no button offers at this moment.

const NUMBER_KEYS = /^(\d|\.|-|\+|e|E|Arrow.*|Page.*)$/; // a field for numbers wants them itself
const SLIDER_KEYS = /^(Arrow.*|Page.*)$/; // so does a slider or a choice

export default function ({ data }) {
  window.cuffbiasRoomKeys?.abort();
  const listening = (window.cuffbiasRoomKeys = new AbortController());
  window.addEventListener("keydown", (event) => press(event, data.keys), { capture: true, signal: listening.signal });
  return () => listening.abort();
}

function press(event, keys) {
  const known = keys[event.key];
  if (!known || event.altKey || event.ctrlKey || event.metaKey || wanted(event)) return;
  // Nobody else takes the key: the page has keys of its own for its makers.
  event.preventDefault();
  event.stopImmediatePropagation();
  if (event.repeat && !known.repeats) return;
  const button = find(known.button);
  if (!button || button.disabled) return;
  const field = event.composedPath()[0];
  if (field.tagName === "INPUT") field.blur(); // what was typed counts
  button.click();
}

// Whether what has the keyboard wants this key itself.
function wanted(event) {
  const target = event.composedPath()[0];
  if (target.isContentEditable || target.tagName === "TEXTAREA" || target.tagName === "SELECT") return true;
  if (target.closest?.(".player")) return !/^[a-zA-Z.?]$/.test(event.key);
  if (target.tagName === "INPUT" && target.type === "number") return NUMBER_KEYS.test(event.key);
  if (target.tagName === "INPUT" && target.type === "radio") return SLIDER_KEYS.test(event.key);
  if (target.tagName === "INPUT" && target.type !== "range") return true;
  return target.getAttribute?.("role") === "slider" && SLIDER_KEYS.test(event.key);
}

function find(name) {
  const here = document.querySelector(`.st-key-press-${name} button`);
  if (here) return here;
  // The player has buttons of its own, inside its own shadow.
  const inside = { hold: "button.play", next: "button.jump:last-of-type", back: "button.jump" }[name];
  if (!inside) return null;
  for (const host of document.querySelectorAll(".st-key-room-player *")) {
    const found = host.shadowRoot?.querySelector(inside);
    if (found) return found;
  }
  return null;
}
