// Keeps the learner's progress in this browser's own storage, and nowhere else. What is stored is only passed on: the
// server reads it. Whatever another window has written in the meantime is told before anything is written over it.

const KEY = "cuffbias-progress";

export default function ({ data, setStateValue }) {
  const kept = (window.cuffbiasProgress ??= {});
  if (kept.session !== data.session) Object.assign(kept, { session: data.session, seen: null, sent: 0, deleted: 0, asked: false });
  if (data.deleted > kept.deleted) {
    kept.deleted = data.deleted;
    remove();
    kept.seen = read();
    return;
  }
  const stored = read();
  // Telling makes the page run once more: a new learner's pages are left in peace.
  if (stored !== kept.seen || (data.asks && !kept.asked)) {
    kept.asked ||= data.asks;
    const gone = stored === null && typeof kept.seen === "string"; // deleted in another window
    kept.seen = stored;
    kept.sent += 1;
    const found = { number: kept.sent, text: stored, gone, today: today(), keeps: keeps() };
    whenQuiet(() => setStateValue("found", found));
  } else if (data.taken >= kept.sent && data.text !== null && data.text !== stored) {
    write(KEY, data.text);
    kept.seen = read();
  }
}

// Telling sends every widget's value along. A slow phone has not yet given all of them their first one.
function whenQuiet(then) {
  if (window.requestIdleCallback) window.requestIdleCallback(then, { timeout: 10000 });
  else setTimeout(then, 1000);
}

function read() {
  try {
    return window.localStorage.getItem(KEY);
  } catch {
    return null;
  }
}

function write(key, text) {
  try {
    window.localStorage.setItem(key, text);
    return true;
  } catch {
    return false;
  }
}

function remove() {
  try {
    window.localStorage.removeItem(KEY);
  } catch {
    // nothing is kept there
  }
}

function keeps() {
  const tried = write(KEY + "-tried", "1");
  if (tried) window.localStorage.removeItem(KEY + "-tried");
  return tried;
}

function today() {
  const now = new Date();
  const two = (number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
