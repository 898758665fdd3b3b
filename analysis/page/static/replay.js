// One replication played again on a sketch of the pad: wells with their stages, the units where they work, the tank.
import { dayAndTime, make } from "/static/web.js";
import { colourOf, inWords } from "/static/bars.js";
import { levelAt } from "/static/chart.js";

const W = 1000;
const SPEEDS = { "1 h a second": 1, "6 h a second": 6, "1 day a second": 24, "3 days a second": 72 };
const MOST_WELLS = 24;

export function replay(run) {
  const wells = Object.keys(run.wells).filter((each) => run.wells[each].length).slice(0, MOST_WELLS);
  const units = Object.keys(run.units);
  const perRow = Math.min(wells.length, 12);
  const lines = Math.ceil(wells.length / perRow);
  const height = Math.max(24 + lines * 190, 176 + mostAway(run, units, wells) * 20);
  const svg = make("svg:svg", { viewBox: `0 0 ${W} ${height}`, width: "100%", role: "img", "aria-label": "Sketch of the pad; what happens is said below it" });
  svg.append(make("svg:rect", { x: 4, y: 4, width: W - 8, height: height - 8, rx: 14, style: { fill: "var(--soft)", stroke: "var(--line)" } }));
  const tank = drawTank(svg, run);
  const place = new Map(wells.map((name, k) => [name, { x: 190 + ((k % perRow) + 0.5) * ((W - 210) / perRow), y: 30 + Math.floor(k / perRow) * 190 }]));
  const drawn = new Map(wells.map((name) => [name, drawWell(svg, name, place.get(name), (run.pumped[name] ?? []).length, (W - 210) / perRow)]));
  const chips = new Map(units.map((name) => [name, drawUnit(svg, name)]));
  const clock = make("output", { "aria-live": "off" });
  const said = make("ul", { class: "quiet" });
  const slider = make("input", { type: "range", min: 0, max: run.last_h, step: 0.25, value: 0, "aria-label": "Time of the replay", id: "replay-time", style: { width: "100%" } });
  const speed = make("select", { "aria-label": "Speed of the replay" }, Object.keys(SPEEDS).map((each) => make("option", {}, each)));
  speed.value = "1 day a second";
  const start = make("button", { type: "button", class: "main", id: "replay-play" }, "Play");
  let hour = 0;
  let last = null;

  function show() {
    clock.textContent = dayAndTime(run.start, hour);
    slider.value = hour;
    slider.setAttribute("aria-valuetext", clock.textContent);
    tank(hour);
    for (const name of wells) drawn.get(name)(now(run.wells[name], hour), (run.pumped[name] ?? []).filter((each) => each <= hour).length, run.wells[name], hour);
    const beside = new Map();
    const lines = [];
    for (const name of units) {
      const piece = now(run.units[name], hour);
      const chip = chips.get(name);
      if (!piece) { chip.group.setAttribute("visibility", "hidden"); continue; }
      const well = place.get(piece[3]);
      const key = well ? piece[3] : "";
      const rank = beside.get(key) ?? 0;
      beside.set(key, rank + 1);
      const [x, y] = well ? [well.x, well.y + 96 + rank * 20] : [90, 162 + rank * 20];
      chip.group.setAttribute("visibility", "visible");
      chip.group.style.transform = `translate(${x}px, ${y}px)`;
      chip.dot.style.fill = `var(--${colourOf(piece)})`;
      lines.push(make("li", {}, `${name}: ${inWords(piece, run.start)}`));
    }
    said.replaceChildren(...lines);
  }

  function step(time) {
    if (last === null || !svg.isConnected) return;
    hour = Math.min(hour + ((time - last) / 1000) * SPEEDS[speed.value], run.last_h);
    last = time;
    show();
    if (hour >= run.last_h) return halt();
    requestAnimationFrame(step);
  }
  const halt = () => { last = null; start.textContent = "Play"; };
  start.addEventListener("click", () => {
    if (last !== null) return halt();
    if (hour >= run.last_h) hour = 0;
    start.textContent = "Pause";
    last = performance.now();
    requestAnimationFrame(step);
  });
  slider.addEventListener("input", () => { hour = Number(slider.value); show(); });
  show();
  return make("div", {}, make("div", { class: "row" }, start, speed, make("strong", {}, clock)), slider, svg,
    Object.keys(run.wells).length > wells.length ? make("p", { class: "quiet" }, `The first ${wells.length} wells are drawn.`) : null,
    make("details", { open: true }, make("summary", {}, "What every unit does at this moment"), said));
}

// The most units that are on location but at no well that is drawn, at any moment looked at.
function mostAway(run, units, wells) {
  const looks = Array.from({ length: 200 }, (_, k) => (k * run.last_h) / 200);
  return Math.max(...looks.map((hour) => units.filter((name) => { const piece = now(run.units[name], hour); return piece && !wells.includes(piece[3]); }).length));
}

function now(pieces, hour) {
  let [low, high] = [0, pieces.length - 1];
  while (low <= high) {
    const middle = (low + high) >> 1;
    if (pieces[middle][1] <= hour) low = middle + 1;
    else if (pieces[middle][0] > hour) high = middle - 1;
    else return pieces[middle];
  }
  return null;
}

function drawTank(svg, run) {
  const most = Math.max(...run.storage.map(([, level]) => level), 1);
  if (!run.storage.length) return () => {};
  const water = make("svg:rect", { x: 41, width: 98, style: { fill: "var(--water)", opacity: 0.75 } });
  const text = make("svg:text", { x: 90, y: 122, "text-anchor": "middle" });
  svg.append(make("svg:text", { x: 90, y: 30, "text-anchor": "middle" }, "water storage"), make("svg:rect", { x: 40, y: 38, width: 100, height: 66, rx: 3, style: { fill: "var(--card)", stroke: "var(--quiet)" } }), water, text,
    make("svg:text", { class: "q", x: 90, y: 140, "text-anchor": "middle" }, "not at a well:"));
  return (hour) => {
    const level = levelAt(run.storage, hour);
    water.setAttribute("height", (64 * level) / most);
    water.setAttribute("y", 103 - (64 * level) / most);
    text.textContent = `${(level / 1000).toFixed(1)} kbbl`;
  };
}

function drawWell(svg, name, { x, y }, stages, room) {
  const ring = make("svg:circle", { cx: x, cy: y + 18, r: 13, "stroke-width": 3, style: { fill: "var(--card)", stroke: "var(--quiet)" } });
  const done = make("svg:rect", { x: x - 32, y: y + 52, width: 0, height: 7, style: { fill: "var(--fracturing)" } });
  const text = make("svg:text", { class: "q", x, y: y + 72, "text-anchor": "middle" });
  const short = name.length > room / 7 ? `\u2026${name.slice(-Math.max(Math.floor(room / 7) - 1, 3))}` : name;
  svg.append(ring, make("svg:text", { x, y: y + 46, "text-anchor": "middle" }, short), make("svg:rect", { x: x - 32, y: y + 52, width: 64, height: 7, style: { fill: "var(--card)", stroke: "var(--line)" } }), done, text);
  return (piece, count, pieces, hour) => {
    const over = pieces.length && hour >= pieces.at(-1)[1];
    ring.style.fill = over ? "var(--accent)" : piece && piece[5] !== "wait" ? `var(--${colourOf(piece)})` : "var(--card)";
    done.setAttribute("width", stages ? (64 * count) / stages : 0);
    text.textContent = over ? "on production" : stages ? `stage ${count} of ${stages}` : "";
  };
}

function drawUnit(svg, name) {
  const dot = make("svg:rect", { x: -52, y: -8, width: 11, height: 11, rx: 2, style: { stroke: "var(--ink)" } });
  const group = make("svg:g", { visibility: "hidden", style: { transition: "transform .35s" } }, dot, make("svg:text", { x: -36, y: 2 }, name.length > 17 ? `${name.slice(0, 16)}\u2026` : name));
  svg.append(group);
  return { group, dot };
}
