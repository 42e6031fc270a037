// Where somebody has just come to, another page, lesson or step, starts at its top, and the keyboard at its heading.
// The same place again, as after a lever, leaves everything as it is. What comes from the server is only compared.

const LONGEST_WAIT_MS = 5000; // for a heading that is on its way

export default function ({ data }) {
  const root = document.documentElement;
  root.lang = data.language;
  const before = root.dataset.place;
  root.dataset.place = data.place;
  if (before === undefined || before === data.place) return; // just loaded: the browser is at the top already
  const start = performance.now();
  const arrive = () => {
    if (root.dataset.place !== data.place) return; // gone on in the meantime
    const heading = document.querySelector(data.heading);
    if (heading) take(heading);
    else if (performance.now() - start < LONGEST_WAIT_MS) requestAnimationFrame(arrive);
  };
  document.querySelector('[data-testid="stMain"]')?.scrollTo({ top: 0, behavior: "instant" });
  arrive();
}

function take(heading) {
  heading.tabIndex = -1;
  heading.focus({ preventScroll: true });
}
