// Who was where and when in one replication: a row each, with zoom, and the piece under the pointer in words.
import { day, dayAndTime, make, tipFor } from "/static/web.js";
import { dateTicks } from "/static/chart.js";

export const TRADES = {
  "nipple up": "preparation", "pressure test": "preparation", "toe preparation": "preparation", "injection test": "preparation", "watch pressure": "preparation",
  "lay water line": "water", "erect storage": "water", "fill storage": "water", "fill proppant storage": "proppant", "haul proppant": "proppant",
  "plug and perforate": "wireline", "pump stage": "fracturing", "trip in": "drill-out", "mill plugs": "drill-out", "sweep": "drill-out", "trip out": "drill-out",
  "flow back": "flowback", "turn in line": "flowback", "swap": "moving", "rig up": "moving", "rig down": "moving", "move between groups": "moving", "arrive": "moving",
};
const [ROW, LEFT] = [26, 150];

export const colourOf = (piece) => (piece[5] === "wait" ? "wait" : piece[5] === "trouble" ? "trouble" : TRADES[piece[2]] ?? "other");

export function inWords(piece, start, other) {
  const what = piece[5] === "wait" ? `waits for ${piece[6] || "the next job"}` : piece[5] === "trouble" ? `${piece[6]} during ${piece[2]}` : piece[2];
  const stage = piece[4] ? `, stage ${piece[4]}` : "";
  return `${what}${stage}${piece[3] ? ` (${piece[3]})` : ""}${other ?? ""}; ${dayAndTime(start, piece[0])} to ${dayAndTime(start, piece[1])}, ${(piece[1] - piece[0]).toFixed(1)} h`;
}

export function bars(rows, start, lastHour, label) {
  let [from, to] = [0, lastHour];
  const names = Object.keys(rows);
  const canvas = make("canvas", { tabindex: 0, role: "img", "aria-label": `${label}. Arrow keys move, plus and minus zoom. The dates stand in the tables above.` });
  const height = names.length * ROW + 26;
  const holder = make("div", { class: "scroll tall" }, canvas);
  const width = () => Math.max(holder.clientWidth - 2, 500);
  const x = (h) => LEFT + ((h - from) / (to - from)) * (width() - LEFT - 8);
  const draw = () => {
    if (!holder.isConnected || !holder.clientWidth) return;
    const css = getComputedStyle(document.documentElement);
    const colour = (name) => css.getPropertyValue(`--${name}`).trim();
    canvas.width = width() * devicePixelRatio;
    canvas.height = height * devicePixelRatio;
    canvas.style.width = `${width()}px`;
    canvas.style.height = `${height}px`;
    const pen = canvas.getContext("2d");
    pen.scale(devicePixelRatio, devicePixelRatio);
    pen.font = "12px system-ui, sans-serif";
    pen.fillStyle = colour("quiet");
    pen.textAlign = "center";
    for (const tick of dateTicks(from, to, Math.floor(width() / 90))) {
      pen.fillText(day(start, tick), x(tick), 14);
      pen.fillRect(x(tick), 20, 0.5, height);
    }
    pen.textAlign = "left";
    names.forEach((name, place) => {
      const top = 24 + place * ROW;
      for (const piece of rows[name]) {
        if (piece[1] < from || piece[0] > to) continue;
        const kind = colourOf(piece);
        const [left, right] = [Math.max(x(piece[0]), LEFT), Math.min(x(piece[1]), width() - 8)];
        pen.fillStyle = colour(kind);
        pen.fillRect(left, kind === "wait" ? top + 8 : top + 3, Math.max(right - left, 0.6), kind === "wait" ? ROW - 17 : ROW - 7);
      }
      pen.fillStyle = colour("ink");
      pen.fillText(name.length > 22 ? `${name.slice(0, 21)}\u2026` : name, 0, top + ROW / 2 + 2);
    });
  };
  const zoom = (factor, middle = (from + to) / 2) => {
    const span = Math.min(Math.max((to - from) * factor, 6), lastHour);
    from = Math.min(Math.max(middle - (span * (middle - from)) / (to - from), 0), lastHour - span);
    to = from + span;
    draw();
  };
  const shift = (part) => { const span = to - from; from = Math.min(Math.max(from + part * span, 0), lastHour - span); to = from + span; draw(); };
  canvas.addEventListener("keydown", (event) => {
    const act = { "+": () => zoom(0.6), "=": () => zoom(0.6), "-": () => zoom(1.7), ArrowLeft: () => shift(-0.2), ArrowRight: () => shift(0.2) }[event.key];
    if (act) { event.preventDefault(); act(); }
  });
  let grip = null;
  canvas.addEventListener("pointerdown", (event) => { grip = event.clientX; canvas.setPointerCapture(event.pointerId); });
  canvas.addEventListener("pointermove", (event) => { if (grip !== null) { shift((grip - event.clientX) / (width() - LEFT)); grip = event.clientX; } });
  canvas.addEventListener("pointerup", () => { grip = null; });
  tipFor(canvas, (event) => {
    const box = canvas.getBoundingClientRect();
    const name = names[Math.floor((event.clientY - box.top - 24) / ROW)];
    const at = from + ((event.clientX - box.left - LEFT) / (width() - LEFT - 8)) * (to - from);
    const piece = name && rows[name].find((each) => each[0] <= at && at < each[1]);
    return piece ? `${name}: ${inWords(piece, start)}` : "";
  });
  new ResizeObserver(draw).observe(holder);
  new MutationObserver(draw).observe(document.documentElement, { attributeFilter: ["data-look"] });
  const button = (text, said, act) => make("button", { type: "button", "aria-label": said, onclick: act }, text);
  return make("div", {}, make("div", { class: "row" },
    button("+", "Closer", () => zoom(0.6)), button("\u2212", "Further", () => zoom(1.7)), button("\u2190", "Earlier", () => shift(-0.3)), button("\u2192", "Later", () => shift(0.3)), button("All", "The whole time", () => zoom(1e6)),
    make("span", { class: "quiet" }, "Drag to move; hold the pointer over a piece to read it.")), holder);
}

export function colourKey(rows) {
  const used = new Set(Object.values(rows).flat().map(colourOf));
  const words = { moving: "moving, rigging", wait: "waiting", other: "drilling rig on the well, other" };
  return make("div", { class: "key" }, ["preparation", "water", "proppant", "wireline", "fracturing", "drill-out", "flowback", "moving", "other", "trouble", "wait"]
    .filter((each) => used.has(each)).map((each) => make("span", { style: { "--c": `var(--${each})` } }, words[each] ?? each)));
}
