// The player: a clock, what is shown at each time, and the keys and buttons that move it. Nothing is sent to the server.

const SPEEDS = [1, 2, 4, 8];
const USUAL_SPEED = 4;
const LONGEST_FRAME_S = 0.25; // a window that was out of sight goes on where it was
const STEP_S = 1, LEAP_S = 5;
const WALL_LETTERS = 30; // on a wall the smallest letters are this share of the window's height
const WALL_FOOT = 0.12; // and its buttons and safety line this share, until they are there
const MOST_LESS_PX = 80;

function make(name, properties = {}, children = []) {
  const { className, text, ...attributes } = properties;
  const element = document.createElement(name);
  if (className) element.className = className;
  if (text !== undefined) element.textContent = text;
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.append(...children);
  return element;
}

class Player {
  constructor(host, data) {
    this.data = data;
    this.total = data.shared.seconds + data.shared.after;
    this.speed = USUAL_SPEED;
    this.playing = false;
    this.frames = 0;
    this.lessMotion = window.matchMedia("(prefers-reduced-motion: reduce)");
    this.still = this.lessMotion.matches;
    // From moment to moment of the first reading; the last stop is where both numbers are there.
    this.times = [...data.sides[0].track.moments.map((m) => m.time).slice(0, -1), this.total];
    this._build(host);
    this.watcher = new ResizeObserver(() => this._layout());
    this.watcher.observe(this.root);
    this.onMotion = () => this.setStill(this.lessMotion.matches);
    this.lessMotion.addEventListener("change", this.onMotion);
    // Letters may arrive later than the page: the labels are drawn again when they have.
    document.fonts.ready.then(() => this._layout());
    this.setStill(this.still);
  }

  stop() {
    this.pause();
    this.watcher.disconnect();
    this.lessMotion.removeEventListener("change", this.onMotion);
  }

  play() {
    if (this.playing) return;
    if (this.time >= this.total) this.time = 0;
    this.playing = true;
    this.last = null;
    this._button();
    this.asked = requestAnimationFrame((now) => this._frame(now));
  }

  pause() {
    this.playing = false;
    cancelAnimationFrame(this.asked);
    this._button();
  }

  toggle() {
    if (this.still) this.moment(1);
    else if (this.playing) this.pause();
    else this.play();
  }

  replay() {
    this.pause();
    this.time = 0;
    this.play();
  }

  seek(time) {
    this.time = Math.max(0, Math.min(this.total, time));
    this._show();
  }

  moment(way) {
    this.pause();
    const near = 0.01, later = this.times.filter((t) => t > this.time + near), before = this.times.filter((t) => t < this.time - near);
    if (way > 0) this.seek(later.length ? later[0] : 0);
    else this.seek(before.length ? before[before.length - 1] : 0);
  }

  setSpeed(speed) {
    this.speed = speed;
    for (const button of this.speeds) button.setAttribute("aria-pressed", String(Number(button.value) === speed));
  }

  setStill(still) {
    this.still = still;
    this.pause();
    this.root.classList.toggle("still", still);
    this.parts.still.checked = still;
    this.seek(still ? this.total : 0);
  }

  _frame(now) {
    if (!this.playing) return;
    if (!this.root.isConnected) return this.pause();
    if (this.last !== null) this.time += Math.min((now - this.last) / 1000, LONGEST_FRAME_S) * this.speed;
    this.last = now;
    this.frames += 1;
    this.time = Math.min(this.time, this.total);
    this._show();
    if (this.time >= this.total) this.pause();
    else this.asked = requestAnimationFrame((next) => this._frame(next));
  }

  _layout() {
    if (this.root.parentElement?.classList.contains("wall")) this._fitWall();
    const font = getComputedStyle(this.root).fontFamily;
    if (!this.root.clientWidth) return;
    for (const side of this.sides) side.pictures.layout(font);
    this._show();
  }

  // Letters hang on the window's height; what then reaches below the wall's buttons is taken off the pictures.
  _fitWall() {
    const { style } = this.root, zoom = Math.max(1, (window.innerHeight - beside()) / WALL_LETTERS / SMALL_PX);
    style.zoom = String(zoom);
    style.setProperty("--less", "0px");
    const floor = document.querySelector(".st-key-room-bar")?.getBoundingClientRect().top || (1 - WALL_FOOT) * window.innerHeight;
    const less = Math.ceil((this.root.getBoundingClientRect().bottom - floor) / zoom);
    style.setProperty("--less", `${Math.max(0, Math.min(MOST_LESS_PX, less))}px`);
  }

  _show() {
    if (!this.sides[0].pictures.pressure) return;
    const time = this.time;
    for (const side of this.sides) this._showSide(side, time);
    const { slider, clock } = this.parts;
    slider.value = String(time);
    const seconds = `${time.toFixed(0)} s`;
    if (clock.textContent !== seconds) {
      clock.textContent = seconds;
      const cuff = this.sides.map((side) => `${side.title}: ${this.data.words["{mmhg} mmHg in the cuff"].replace("{mmhg}", side.cuff.textContent)}`).join("; ");
      slider.setAttribute("aria-valuetext", `${seconds}; ${cuff}`);
    }
  }

  _showSide(side, time) {
    const { track, pictures } = side;
    pictures.draw(time);
    set(side.cuff, (track.cuff[pictures.at(time)] / CENT).toFixed(0));
    const over = pictures.after(time) >= this.data.shared.numberAt;
    set(side.display, !over ? this.data.words["not yet"] : track.display || this.data.words["no reading"]);
    side.card.classList.toggle("waiting", !over || !track.display);
    const said = track.moments.filter((m) => m.time <= time + 1e-6);
    set(side.moment, said.length ? said[said.length - 1].words : "");
  }

  _button() {
    const { play } = this.parts;
    const name = this.data.words[this.playing ? "Pause" : "Play"];
    set(play, `${this.playing ? "❚❚" : "▶"} ${name}`);
    play.setAttribute("aria-label", name);
  }

  _key(event) {
    const target = event.composedPath()[0], onButton = ["BUTTON", "INPUT"].includes(target.tagName) && target.type !== "range";
    const step = event.shiftKey ? LEAP_S : STEP_S;
    const actions = {
      " ": () => this.toggle(),
      ArrowLeft: () => this.seek(this.time - step),
      ArrowRight: () => this.seek(this.time + step),
      PageUp: () => this.moment(-1),
      PageDown: () => this.moment(1),
      Home: () => this.seek(0),
      End: () => this.seek(this.total),
    };
    if (!(event.key in actions) || event.altKey || event.ctrlKey || event.metaKey || (event.key === " " && onButton)) return;
    event.preventDefault();
    event.stopPropagation();
    actions[event.key]();
  }

  _build(host) {
    const said = this.data.words;
    this.parts = {
      play: make("button", { type: "button", className: "play motion" }),
      slider: make("input", { type: "range", min: 0, max: this.total, step: 0.02, "aria-label": said["Time in the reading"] }),
      clock: make("span", { className: "clock", "aria-hidden": "true" }),
      still: make("input", { type: "checkbox", role: "switch" }),
    };
    const { play, slider, clock, still } = this.parts;
    const replay = make("button", { type: "button", className: "motion", text: `↺ ${said["From the start"]}` });
    const back = make("button", { type: "button", className: "jump", "aria-label": said["Previous moment"] });
    const on = make("button", { type: "button", className: "jump", "aria-label": said["Next moment"] });
    back.append("‹", make("span", { text: ` ${said["Previous moment"]}` }));
    on.append(make("span", { text: `${said["Next moment"]} ` }), "›");
    this.speeds = SPEEDS.map((speed) =>
      make("button", { type: "button", value: speed, text: `${speed}×`, "aria-label": speed === 1 ? `1×, ${said["Real time"]}` : `${speed}×, ${said["{n} times as fast"].replace("{n}", speed)}` })
    );
    this.setSpeed(this.speed);
    const speeds = make("span", { className: "speeds", role: "group", "aria-label": said["Speed"] }, this.speeds);
    const scrub = make("div", { className: "scrub" }, [back, slider, clock, on]);
    const lessMotion = make("label", { className: "less" }, [still, said["No animation"]]);
    const controls = make("div", { className: "controls" }, [make("div", { className: "run motion" }, [play, speeds]), scrub]);
    const more = make("div", { className: "more" }, [replay, lessMotion]);

    this.sides = this.data.sides.map((side, number) => this._side(side, number));
    const truth = make("p", { className: "truth" });
    truth.append(make("span", { className: "mark", text: "● ", "aria-hidden": "true" }), this.data.truth, this._simulated());
    const sides = make("div", { className: `sides of-${this.sides.length}` }, this.sides.map((side) => side.element));
    if (host.classList.contains("wall")) sides.append(this._across(this.sides[0].moment)); // words once, for the first reading
    const help = make("p", { className: "help", text: this.data.help });
    this.root = make("div", { className: "player", role: "group", tabindex: 0, "aria-label": this.data.label }, [truth, sides, controls, more, help]);
    this.root.addEventListener("keydown", (event) => this._key(event));
    play.addEventListener("click", () => this.toggle());
    replay.addEventListener("click", () => this.replay());
    back.addEventListener("click", () => this.moment(-1));
    on.addEventListener("click", () => this.moment(1));
    still.addEventListener("change", () => this.setStill(still.checked));
    slider.addEventListener("input", () => (this.pause(), this.seek(Number(slider.value))));
    for (const button of this.speeds) button.addEventListener("click", () => this.setSpeed(Number(button.value)));
    this.root.player = this;
    host.replaceChildren(this.root);
  }

  _across(moment) {
    moment.style.gridColumn = "1 / -1";
    return moment;
  }

  // Beside each number that stands by itself, for whoever sees it on a wall or on paper.
  _simulated() {
    return make("small", { className: "simulated", text: this.data.simulated });
  }

  _side({ title, how, alt, track }, number) {
    const canvas = (name, label) => make("canvas", { className: name, role: "img", "aria-label": label });
    const canvases = { pressure: canvas("pressure", alt[0]), pulses: canvas("pulses", alt[1]), envelope: canvas("envelope", alt[2]), artery: canvas("artery", alt[3]) };
    const cuff = make("b"), display = make("b");
    const card = make("p", { className: "display" });
    card.append(make("span", { className: "mark", text: "◆ ", "aria-hidden": "true" }), `${this.data.words["display"]} `, display, this._simulated());
    const now = make("div", { className: "now" }, [canvases.artery, make("p", { className: "cuff" }, [`${this.data.words["in the cuff"]} `, make("span", {}, [cuff, " mmHg"])]), card]);
    const moment = make("p", { className: "moment", ...(number ? {} : { "aria-live": "polite" }) });
    const head = [make("h4", { text: title, "aria-level": 2 }), make("p", { className: "how", text: how })];
    const element = make("section", { className: "side", "aria-label": title }, [...head, now, canvases.pressure, canvases.pulses, canvases.envelope, moment]);
    const pictures = new Pictures(track, this.data.shared, this.data.looks, canvases, this.data.words);
    return { title, track, element, cuff, display, card, moment, pictures };
  }
}

// The height of the advice on very high readings, which may stand above the player.
function beside() {
  return document.querySelector("section.urgent")?.offsetHeight ?? 0;
}

function set(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

export default function (component) {
  const { data, parentElement } = component;
  const host = parentElement.querySelector(".host");
  // The page may be run again with the same reading: that must not disturb who is watching.
  if (host.player && host.player.data.id === data.id) return host.end;
  if (host.player) host.player.stop();
  host.player = new Player(host, data);
  host.end = () => {
    host.player?.stop();
    host.player = null;
  };
  return host.end;
}
