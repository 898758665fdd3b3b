// One replication played again on a sketch of the pad: wells with their stages, the units where they work, the tank.
import { day, dayAndTime, fitted, make, number } from "/static/web.js";
import { colourOf, doing, now } from "/static/pieces.js";
import { levelAt } from "/static/chart.js";

const SPEEDS = { "1 hour a second": 1, "6 hours a second": 6, "1 day a second": 24, "3 days a second": 72 };
const MOST_WELLS = 24;
const [CHIP, WELL] = [19, 84]; // heights of a unit's line, and of a well without any

export function replay(run) {
  const wells = Object.keys(run.wells).filter((each) => run.wells[each].length).slice(0, MOST_WELLS);
  const units = Object.keys(run.units);
  const state = { hour: 0, last: null, sketch: null };
  const clock = make("strong", { "aria-live": "off" });
  const counts = make("div", { class: "counts" });
  const said = make("tbody");
  const slider = make("input", { type: "range", min: 0, max: run.last_h, step: 0.25, value: 0, "aria-label": "Time of the replay", id: "replay-time" });
  const speed = make("select", { "aria-label": "Speed of the replay" }, Object.keys(SPEEDS).map((each) => make("option", {}, each)));
  speed.value = "1 day a second";
  const start = make("button", { type: "button", class: "main", id: "replay-play" }, "Play");
  const most = crowds(run, units, wells);

  function show() {
    const { hour } = state;
    clock.textContent = `Day ${(hour / 24).toFixed(1)}: ${dayAndTime(run.start, hour)}`;
    slider.value = hour;
    slider.setAttribute("aria-valuetext", clock.textContent);
    counts.replaceChildren(...counted(run, hour).map(([what, value]) => make("span", { class: "quiet" }, `${what} `, make("b", {}, value))));
    state.sketch?.(hour);
    said.replaceChildren(...units.map((name) => [name, now(run.units[name], hour)]).filter(([, piece]) => piece).map(([name, piece]) =>
      make("tr", {}, make("th", { scope: "row" }, name), make("td", {}, doing(piece)), make("td", {}, piece[3]), make("td", {}, `until ${dayAndTime(run.start, piece[1])}`))));
  }
  function step(time) {
    if (state.last === null || !slider.isConnected) return;
    state.hour = Math.min(state.hour + ((time - state.last) / 1000) * SPEEDS[speed.value], run.last_h);
    state.last = time;
    show();
    if (state.hour >= run.last_h) return halt();
    requestAnimationFrame(step);
  }
  const halt = () => { state.last = null; start.textContent = "Play"; };
  const jump = (hour) => { state.hour = Math.min(hour, run.last_h); show(); };
  start.addEventListener("click", () => {
    if (state.last !== null) return halt();
    if (state.hour >= run.last_h) state.hour = 0;
    start.textContent = "Pause";
    state.last = performance.now();
    requestAnimationFrame(step);
  });
  slider.addEventListener("input", () => jump(Number(slider.value)));
  const drawing = fitted((width) => { const { svg, show: shown } = sketch(run, wells, units, most, width); state.sketch = shown; shown(state.hour); return svg; });
  jump(moments(run).find(([name]) => name === "Fracturing starts")?.[1] ?? 0);
  return make("div", {},
    make("div", { class: "row" }, start, speed, clock),
    slider,
    make("div", { class: "row" }, make("span", { class: "quiet" }, "Go to:"), moments(run).map(([name, hour]) => make("button", { type: "button", class: "plain", onclick: () => jump(hour) }, `${name}, ${day(run.start, hour)}`))),
    counts, drawing,
    Object.keys(run.wells).length > wells.length ? make("p", { class: "quiet" }, `The first ${wells.length} wells are drawn.`) : null,
    make("p", { class: "quiet" }, "Each circle is a wellhead in the colour of the work on it; the bar below it fills as its stages are pumped. Units stand below the well that they work on, each with a square in the colour of what it does; what one that waits is waiting for stands in the list."),
    make("details", { open: true }, make("summary", {}, "What every unit on location does at this moment"), make("div", { class: "scroll" }, make("table", { id: "replay-said" }, said))));
}

const endOf = (pieces) => pieces.at(-1)?.[1] ?? Infinity;

function moments(run) {
  const pumping = Object.values(run.wells).flat().filter((each) => each[2] === "pump stage").map((each) => each[0]);
  const ends = Object.values(run.wells).filter((each) => each.length).map(endOf);
  return [["Start", 0], pumping.length ? ["Fracturing starts", Math.min(...pumping)] : null, ["First well on production", Math.min(...ends)], ["Last well on production", Math.max(...ends)]].filter(Boolean);
}

function counted(run, hour) {
  const stages = Object.values(run.pumped).flat();
  const wells = Object.values(run.wells).filter((each) => each.length);
  return [["stages pumped", `${number(stages.filter((each) => each <= hour).length)} of ${number(stages.length)}`],
    ["wells on production", `${wells.filter((each) => endOf(each) <= hour).length} of ${wells.length}`],
    ...(run.storage.length ? [["water in storage", `${(levelAt(run.storage, hour) / 1000).toFixed(1)} kbbl`]] : [])];
}

// The most units at a drawn well, and at none of them, at any moment looked at.
function crowds(run, units, wells) {
  const most = { well: 1, away: 0 };
  for (let k = 0; k < 300; k += 1) {
    const beside = new Map();
    for (const name of units) {
      const piece = now(run.units[name], (k * run.last_h) / 300);
      if (piece) { const key = wells.includes(piece[3]) ? piece[3] : ""; beside.set(key, (beside.get(key) ?? 0) + 1); }
    }
    for (const [key, count] of beside) { const what = key ? "well" : "away"; most[what] = Math.max(most[what], count); }
  }
  return most;
}

function sketch(run, wells, units, most, width) {
  const narrow = width < 620;
  const [left, top] = narrow ? [10, Math.max(112, 44 + most.away * CHIP)] : [190, 16];
  const perRow = Math.max(1, Math.min(wells.length, Math.floor((width - left - 10) / (narrow ? 100 : 118))));
  const [room, tall] = [(width - left - 10) / perRow, WELL + most.well * CHIP + 10];
  const height = Math.max(top + Math.ceil(wells.length / perRow) * tall + 6, narrow ? 0 : 160 + most.away * CHIP);
  const svg = make("svg:svg", { viewBox: `0 0 ${width} ${height}`, width, height, role: "img", "aria-label": "Sketch of the pad; what happens is said below it" });
  svg.append(make("svg:rect", { x: 1, y: 1, width: width - 2, height: height - 2, rx: 12, style: { fill: "var(--soft)", stroke: "var(--line)" } }));
  const tank = drawTank(svg, run);
  const aside = narrow ? [150, 44] : [16, 162];
  if (most.away) svg.append(make("svg:text", { class: "q", x: aside[0], y: aside[1] - 16 }, "elsewhere on the pad:"));
  const place = new Map(wells.map((name, k) => [name, { x: left + ((k % perRow) + 0.5) * room, y: top + Math.floor(k / perRow) * tall }]));
  const drawn = new Map(wells.map((name) => [name, drawWell(svg, name, place.get(name), (run.pumped[name] ?? []).length, room)]));
  const chips = new Map(units.map((name) => [name, drawUnit(svg, name, Math.min(room, 150))]));
  const show = (hour) => {
    tank(hour);
    for (const name of wells) drawn.get(name)(now(run.wells[name], hour), (run.pumped[name] ?? []).filter((each) => each <= hour).length, endOf(run.wells[name]) <= hour);
    const beside = new Map();
    for (const name of units) {
      const piece = now(run.units[name], hour);
      const chip = chips.get(name);
      chip.group.setAttribute("visibility", piece ? "visible" : "hidden");
      if (!piece) continue;
      const well = place.get(piece[3]);
      const key = well ? piece[3] : "";
      const rank = beside.get(key) ?? 0;
      beside.set(key, rank + 1);
      const [x, y] = well ? [well.x - Math.min(room, 130) / 2 + 6, well.y + WELL + 6 + rank * CHIP] : [aside[0], aside[1] + rank * CHIP];
      chip.group.style.transform = `translate(${x}px, ${y}px)`;
      chip.dot.style.fill = `var(--${colourOf(piece)})`;
    }
  };
  return { svg, show };
}

function drawTank(svg, run) {
  if (!run.storage.length) return () => {};
  const most = Math.max(...run.storage.map(([, level]) => level), 1);
  const water = make("svg:rect", { x: 17, width: 108, style: { fill: "var(--water)", opacity: 0.75 } });
  const text = make("svg:text", { x: 71, y: 104, "text-anchor": "middle" });
  svg.append(make("svg:text", { x: 71, y: 20, "text-anchor": "middle" }, "water storage"), make("svg:rect", { x: 16, y: 28, width: 110, height: 60, rx: 3, style: { fill: "var(--card)", stroke: "var(--quiet)" } }), water, text);
  return (hour) => {
    const level = levelAt(run.storage, hour);
    water.setAttribute("height", (58 * level) / most);
    water.setAttribute("y", 87 - (58 * level) / most);
    text.textContent = `${(level / 1000).toFixed(1)} kbbl`;
  };
}

function drawWell(svg, name, { x, y }, stages, room) {
  const ring = make("svg:circle", { cx: x, cy: y + 18, r: 14, "stroke-width": 3, style: { fill: "var(--card)", stroke: "var(--quiet)" } });
  const done = make("svg:rect", { x: x - 36, y: y + 54, width: 0, height: 7, style: { fill: "var(--fracturing)" } });
  const text = make("svg:text", { class: "q", x, y: y + 76, "text-anchor": "middle" });
  svg.append(ring, make("svg:text", { x, y: y + 47, "text-anchor": "middle" }, shortened(name, room)), make("svg:rect", { x: x - 36, y: y + 54, width: 72, height: 7, style: { fill: "var(--card)", stroke: "var(--line)" } }), done, text);
  return (piece, count, over) => {
    ring.style.fill = over ? "var(--ink)" : piece && piece[5] !== "wait" ? `var(--${colourOf(piece)})` : "var(--card)";
    done.setAttribute("width", stages ? (72 * count) / stages : 0);
    text.textContent = over ? "on production" : stages ? `stage ${count} of ${stages}` : "";
  };
}

function drawUnit(svg, name, room) {
  const dot = make("svg:rect", { x: 0, y: -8, width: 11, height: 11, rx: 2, style: { stroke: "var(--ink)" } });
  const group = make("svg:g", { visibility: "hidden", style: { transition: "transform .35s" } }, make("svg:title", {}, name), dot, make("svg:text", { x: 15, y: 2 }, shortened(name, room - 10)));
  svg.append(group);
  return { group, dot };
}

// The end of a name, often a number, tells one from another: what is left out is left out before it.
function shortened(name, room) {
  const letters = Math.floor(room / 6.8);
  if (name.length <= letters) return name;
  const end = name.split(" ").at(-1).slice(-4);
  return `${name.slice(0, Math.max(letters - end.length - 1, 2))}\u2026${end}`;
}
