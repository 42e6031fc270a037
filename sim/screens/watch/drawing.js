// What one reading looks like at a time of its recording: three pictures, and the artery seen across.
// What does not move is drawn once, on layers of their own; a frame copies as much of them as has happened by then.

const CENT = 100, PERMILLE = 1000;
const SMALL_PX = 13;
const DOTS = [2, 3];

class Canvas {
  // A canvas in CSS pixels, sharp on fine screens, with layers of the same size.
  constructor(element) {
    this.element = element;
    this.pen = element.getContext("2d");
  }
  fit(font) {
    this.font = `${SMALL_PX}px ${font}`;
    this.ratio = Math.min((window.devicePixelRatio || 1) * (this.element.currentCSSZoom || 1), 3);
    this.width = this.element.clientWidth;
    this.height = this.element.clientHeight;
    this._size(this.element, this.pen);
  }
  layer(paint) {
    const made = document.createElement("canvas");
    const pen = made.getContext("2d");
    this._size(made, pen);
    paint(pen);
    return made;
  }
  copy(layer, upTo = this.width) {
    const wide = Math.max(0, Math.min(layer.width, Math.round(upTo * this.ratio)));
    if (wide) this.pen.drawImage(layer, 0, 0, wide, layer.height, 0, 0, wide / this.ratio, layer.height / this.ratio);
  }
  clear() {
    this.pen.clearRect(0, 0, this.width, this.height);
  }
  _size(element, pen) {
    element.width = Math.round(this.width * this.ratio);
    element.height = Math.round(this.height * this.ratio);
    pen.setTransform(this.ratio, 0, 0, this.ratio, 0, 0);
    pen.font = this.font;
    pen.textBaseline = "middle";
    pen.lineJoin = "round";
  }
}

function straight(low, high, from, to) {
  return (value) => from + ((value - low) * (to - from)) / (high - low);
}

function ticks(low, high, room) {
  // Round values between two ends, as many as there is room for.
  const step = [0.5, 1, 2, 5, 10, 20, 50, 100].find((s) => (high - low) / s <= room) || 200;
  const found = [];
  for (let at = Math.ceil(low / step) * step; at <= high + 1e-9; at += step) found.push(Math.round(at * 10) / 10);
  return found;
}

function line(pen, x1, y1, x2, y2, colour, width = 1, dash = []) {
  pen.strokeStyle = colour;
  pen.lineWidth = width;
  pen.setLineDash(dash);
  pen.beginPath();
  pen.moveTo(x1, y1);
  pen.lineTo(x2, y2);
  pen.stroke();
  pen.setLineDash([]);
}

function trace(pen, values, step, x, y, colour, width, dash = []) {
  // A series of hundredths, evenly spaced in time.
  pen.strokeStyle = colour;
  pen.lineWidth = width;
  pen.setLineDash(dash);
  pen.beginPath();
  values.forEach((value, i) => pen.lineTo(x(i * step), y(value / CENT)));
  pen.stroke();
  pen.setLineDash([]);
}

function words(pen, text, x, y, colour, align = "left", halo = "#FFFFFF") {
  pen.textAlign = align;
  if (halo) {
    pen.strokeStyle = halo;
    pen.lineWidth = 4;
    pen.strokeText(text, x, y);
  }
  pen.fillStyle = colour;
  pen.fillText(text, x, y);
}

function disc(pen, x, y, radius, fill, edge) {
  pen.beginPath();
  pen.arc(x, y, radius, 0, 2 * Math.PI);
  pen.fillStyle = fill;
  pen.fill();
  if (edge) {
    pen.strokeStyle = edge;
    pen.lineWidth = 1.5;
    pen.stroke();
  }
}

function diamond(pen, x, y, radius, fill) {
  pen.beginPath();
  pen.moveTo(x, y - radius);
  pen.lineTo(x + radius, y);
  pen.lineTo(x, y + radius);
  pen.lineTo(x - radius, y);
  pen.closePath();
  pen.fillStyle = fill;
  pen.fill();
  pen.strokeStyle = "#FFFFFF";
  pen.lineWidth = 1.2;
  pen.stroke();
}

function cross(pen, x, y, radius, colour) {
  line(pen, x - radius, y - radius, x + radius, y + radius, colour, 1.6);
  line(pen, x - radius, y + radius, x + radius, y - radius, colour, 1.6);
}

class Pictures {
  // track: one reading; shared: ends of the axes, the same for all readings; looks: colours
  constructor(track, shared, looks, canvases, said) {
    Object.assign(this, { track, shared, looks, said });
    this.canvases = Object.fromEntries(Object.entries(canvases).map(([name, element]) => [name, new Canvas(element)]));
    this.samples = track.cuff.length;
  }

  layout(font) {
    for (const canvas of Object.values(this.canvases)) canvas.fit(font);
    this._pressure();
    this._pulses();
    this._envelope();
    this.beatsShown = -1;
  }

  at(time) {
    return Math.max(0, Math.min(this.samples - 1, Math.round(time / this.track.step)));
  }

  after(time) {
    // How far the algorithm is with its work, 0 to 1.
    return Math.max(0, Math.min(1, (time - this.track.seconds) / this.shared.after));
  }

  draw(time) {
    const now = Math.min(time, this.track.seconds);
    this._drawPressure(now, this.after(time));
    this._drawPulses(now);
    this._drawEnvelope(now, this.after(time));
    this._drawArtery(now);
  }

  _frame(canvas, top, bottom, right = 46) {
    return { left: 36, right: canvas.width - right, top, bottom: canvas.height - bottom };
  }

  _grid(pen, box, y, values, title) {
    for (const value of values) {
      line(pen, box.left, y(value), box.right, y(value), this.looks.grid);
      words(pen, String(value), box.left - 6, y(value), this.looks.quiet, "right", "");
    }
    words(pen, title, 0, 8, this.looks.text, "left", "");
  }

  _pressure() {
    const canvas = this.canvases.pressure, box = this._frame(canvas, 26, 6), { shared, track, looks } = this;
    const x = straight(0, shared.seconds, box.left, box.right), y = straight(shared.low, shared.high, box.bottom, box.top);
    this.pressure = { x, y, box };
    this.pressure.still = canvas.layer((pen) => {
      this._grid(pen, box, y, ticks(shared.low, shared.high, box.bottom - box.top > 120 ? 6 : 3), this.said["pressure in the cuff, mmHg"]);
      if (shared.outside) {
        const name = this.said["on the artery"], from = box.right - pen.measureText(name).width - 28;
        line(pen, from, 8, from + 22, 8, looks.text, 1.4, DOTS);
        words(pen, name, box.right, 8, looks.text, "right", "");
      }
      track.truth.forEach((value, i) => {
        line(pen, box.left, y(value), box.right, y(value), looks.truth, 1.4, [6, 4]);
        words(pen, `● ${track.truthWords[i]}`, box.right + 5, y(value), looks.truthText);
      });
    });
    this.pressure.ink = canvas.layer((pen) => {
      pen.globalAlpha = 0.55;
      trace(pen, track.artery, track.step, x, y, looks.truth, 1);
      pen.globalAlpha = 1;
      if (shared.outside) trace(pen, track.outside, track.step, x, y, looks.text, 1.2, DOTS);
      trace(pen, track.cuff, track.step, x, y, looks.text, 2);
    });
  }

  _drawPressure(now, after) {
    const canvas = this.canvases.pressure, { x, y, still, ink } = this.pressure;
    canvas.clear();
    canvas.copy(still);
    canvas.copy(ink, x(now));
    if (after >= this.shared.numberAt) {
      for (const [value] of this.track.points.filter((_, i) => i !== 1)) {
        const i = this.track.cuff.findIndex((v, k) => k > 0 && (v / CENT - value) * (this.track.cuff[k - 1] / CENT - value) <= 0);
        if (i > 0) diamond(canvas.pen, x(i * this.track.step), y(value), 7, this.looks.display);
      }
    }
    const i = this.at(now);
    disc(canvas.pen, x(i * this.track.step), y(this.track.cuff[i] / CENT), 5, this.looks.text, "#FFFFFF");
  }

  _pulses() {
    const canvas = this.canvases.pulses, box = this._frame(canvas, 24, 20), { shared, track, looks } = this;
    const x = straight(0, shared.seconds, box.left, box.right), y = straight(-0.12 * shared.top, shared.top, box.bottom, box.top);
    this.pulses = { x, y, box };
    this.pulses.still = canvas.layer((pen) => {
      this._grid(pen, box, y, ticks(0, shared.top, box.bottom - box.top > 50 ? 3 : 1.5), this.said["pulses in it, mmHg"]);
      for (const value of ticks(0, shared.seconds, box.right - box.left > 300 ? 6 : 4)) {
        const label = value ? String(value) : "0 s";
        words(pen, label, x(value), canvas.height - 8, looks.quiet, value ? "center" : "left", "");
      }
    });
    this.pulses.ink = canvas.layer((pen) => {
      pen.beginPath();
      pen.rect(box.left, box.top - 4, box.right - box.left, box.bottom - box.top + 8);
      pen.clip();
      trace(pen, track.pulses, track.step, x, y, looks.text, 1.3);
    });
  }

  _drawPulses(now) {
    const canvas = this.canvases.pulses, { x, box, still, ink } = this.pulses;
    canvas.clear();
    canvas.copy(still);
    canvas.copy(ink, x(now));
    line(canvas.pen, x(now), box.top, x(now), box.bottom, this.looks.quiet, 1);
  }

  _envelope() {
    const canvas = this.canvases.envelope, box = this._frame(canvas, 34, 20, 14), { shared, track, looks } = this;
    const x = straight(shared.cuffHigh, shared.cuffLow, box.left, box.right), y = straight(0, shared.top, box.bottom, box.top);
    this.envelope = { x, y, box };
    this.envelope.still = canvas.layer((pen) => {
      const title = this.said[`height of each beat, mmHg${canvas.width > 380 ? ", over the pressure in the cuff" : ""}`];
      this._grid(pen, box, y, ticks(0, shared.top, 4), title);
      for (const value of ticks(shared.cuffLow, shared.cuffHigh, box.right - box.left > 300 ? 8 : 4)) {
        words(pen, String(value), x(value), canvas.height - 8, looks.quiet, "center", "");
      }
      for (const value of track.truth) {
        line(pen, x(value), box.top, x(value), box.bottom, looks.truth, 1.4, [6, 4]);
        disc(pen, x(value), box.top, 4.5, looks.truth);
      }
    });
  }

  _drawEnvelope(now, after) {
    const { track, shared, looks } = this;
    const shown = track.beats.filter(([end]) => end <= now + 1e-6).length;
    if (shown === this.beatsShown && after === this.afterShown) return;
    this.beatsShown = shown;
    this.afterShown = after;
    const canvas = this.canvases.envelope, { x, y, box, still } = this.envelope, pen = canvas.pen;
    canvas.clear();
    canvas.copy(still);
    for (const [, cuff, height, kept] of track.beats.slice(0, shown)) {
      const beyond = height > shared.top, top = beyond ? box.top : y(height);
      line(pen, x(cuff), box.bottom, x(cuff), top, kept ? looks.text : looks.quiet, kept ? 1.5 : 1, kept ? [] : [2, 3]);
      if (kept) disc(pen, x(cuff), top, 3.2, "#FFFFFF", looks.text);
      else cross(pen, x(cuff), top, 4, looks.quiet);
      if (beyond) words(pen, "↑", x(cuff), top - 9, looks.quiet, "center", "");
    }
    const drawn = Math.round(Math.min(1, after / shared.curveDone) * track.curve.length);
    pen.save();
    pen.beginPath();
    pen.rect(box.left, box.top, box.right - box.left, box.bottom - box.top);
    pen.clip();
    pen.strokeStyle = looks.text;
    pen.lineWidth = 2.4;
    pen.beginPath();
    track.curve.slice(0, drawn).forEach(([cuff, height]) => pen.lineTo(x(cuff), y(height)));
    pen.stroke();
    pen.restore();
    if (after < shared.pointsAt) return;
    track.points.forEach(([cuff, height], i) => {
      line(pen, x(cuff), box.bottom, x(cuff), y(height), looks.display, 2);
      diamond(pen, x(cuff), y(height), 7, looks.display);
      const align = ["right", "center", "left"][i], off = [-11, 0, 11][i], up = i === 1 ? -14 : -8;
      words(pen, track.pointWords[i], x(cuff) + off, y(height) + up, looks.displayText, align);
    });
  }

  _drawArtery(now) {
    const canvas = this.canvases.artery, pen = canvas.pen, middle = canvas.width / 2, across = canvas.height / 2;
    const open = Math.max(0.004, this.track.opening[this.at(now)] / PERMILLE), radius = across * 0.72;
    // The wall keeps its length: the flatter, the wider. The area is true.
    const wide = radius * (1 + 0.45 * (1 - Math.sqrt(open)));
    canvas.clear();
    pen.beginPath();
    pen.ellipse(middle, across, wide, Math.max(0.8, (open * radius * radius) / wide), 0, 0, 2 * Math.PI);
    pen.fillStyle = this.looks.truthFill;
    pen.fill();
    pen.strokeStyle = this.looks.truth;
    pen.lineWidth = 2.5;
    pen.stroke();
  }
}
