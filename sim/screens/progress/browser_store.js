// Keeps the learner's progress in this browser's own storage, and nowhere else. What is stored is only passed on: the
// server reads it. Whatever another window has written in the meantime is told before anything is written over it.

const KEY = "cuffbias-progress";

export default function ({ data, setStateValue }) {
  const kept = (window.cuffbiasProgress ??= {});
  if (kept.session !== data.session) Object.assign(kept, { session: data.session, seen: undefined, sent: 0, deleted: 0 });
  if (data.deleted > kept.deleted) {
    kept.deleted = data.deleted;
    remove();
    kept.seen = read();
    return;
  }
  const stored = read();
  if (stored !== kept.seen) {
    const gone = stored === null && typeof kept.seen === "string"; // deleted in another window
    kept.seen = stored;
    kept.sent += 1;
    setStateValue("found", { number: kept.sent, text: stored, gone, today: today(), keeps: keeps() });
  } else if (data.taken >= kept.sent && data.text !== null && data.text !== stored) {
    write(KEY, data.text);
    kept.seen = read();
  }
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
