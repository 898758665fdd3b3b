// Curves of chance against dates, and levels against dates, as plain SVG with a table for who cannot see it.
import { day, make, tipFor } from "/static/web.js";

export const COLOURS = ["--one", "--two", "--three", "--four", "--five", "--six"];
const DASHES = ["", "7 4", "2 3", "10 3 2 3", "4 4", "1 4"];
const W = 900;

export function dateTicks(from, to, most = 8) {
  const days = [1, 2, 5, 7, 14, 30, 61, 122, 365].find((each) => (to - from) / 24 / each <= most) ?? 730;
  const ticks = [];
  for (let at = Math.ceil(from / 24 / days) * days; at * 24 <= to; at += days) ticks.push(at * 24);
  return ticks;
}

export function frame(height, from, to, start, left = 52, right = 20) {
  const svg = make("svg:svg", { viewBox: `0 0 ${W} ${height}`, role: "img", width: "100%" });
  const x = (h) => left + ((h - from) / Math.max(to - from, 1e-9)) * (W - left - right);
  for (const tick of dateTicks(from, to)) {
    svg.append(make("svg:line", { class: "grid", x1: x(tick), x2: x(tick), y1: 8, y2: height - 26 }),
      make("svg:text", { class: "q", x: x(tick), y: height - 9, "text-anchor": "middle" }, day(start, tick)));
  }
  return { svg, x, W, hours: (px) => from + ((px - left) / (W - left - right)) * (to - from) };
}

// Every curve is a list of [hours, chance done by then].
export function chanceCurves(curves, start, title) {
  const named = Object.entries(curves).filter(([, points]) => points.length);
  if (!named.length) return make("p", { class: "quiet" }, "No replication gets there before the horizon.");
  const all = named.flatMap(([, points]) => points.map(([h]) => h));
  const [low, high] = [Math.min(...all), Math.max(...all)];
  const pad = Math.max((high - low) * 0.06, 12);
  const height = 330;
  const { svg, x, hours } = frame(height, low - pad, high + pad, start);
  const y = (chance) => 12 + (1 - chance) * (height - 44);
  for (const chance of [0, 0.1, 0.25, 0.5, 0.75, 0.9, 1]) {
    svg.append(make("svg:line", { class: "grid", x1: 52, x2: W - 20, y1: y(chance), y2: y(chance) }),
      make("svg:text", { class: "q", x: 46, y: y(chance) + 4, "text-anchor": "end" }, `${Math.round(chance * 100)} %`));
  }
  named.forEach(([, points], place) => {
    let path = `M${x(points[0][0])},${y(0)}`;
    let before = 0;
    for (const [h, chance] of points) { path += `L${x(h).toFixed(1)},${y(before).toFixed(1)}L${x(h).toFixed(1)},${y(chance).toFixed(1)}`; before = chance; }
    svg.append(make("svg:path", { d: path, fill: "none", "stroke-width": 2.4, "stroke-dasharray": DASHES[place % 6], style: { stroke: `var(${COLOURS[place % 6]})` } }));
  });
  svg.append(make("svg:title", {}, title));
  tipFor(svg, (event) => {
    const box = svg.getBoundingClientRect();
    const at = hours(((event.clientX - box.left) / box.width) * W);
    const said = named.map(([name, points]) => `${name}: ${Math.round(100 * (points.filter(([h]) => h <= at).at(-1)?.[1] ?? 0))} %`);
    return at > low - pad && at < high + pad ? `Done by ${day(start, at)} \u2014 ${said.join("; ")}` : "";
  });
  const key = make("div", { class: "key" }, named.map(([name], place) => make("span", { style: { "--c": `var(${COLOURS[place % 6]})` } }, name + ["", " (dashed)", " (dotted)", " (dash and dot)", " (short dashes)", " (fine dots)"][place % 6])));
  return make("figure", { style: { margin: 0 } }, key, svg, make("figcaption", { class: "quiet" }, "Chance of being done by a date. Move over the picture to read it."));
}

export function levelCurve(points, start, lastHour) {
  if (!points.length) return make("p", { class: "quiet" }, "This plan states no water storage: it is never short of water.");
  const height = 200;
  const most = Math.max(...points.map(([, level]) => level), 1);
  const { svg, x, hours } = frame(height, 0, lastHour, start, 70);
  const y = (level) => 12 + (1 - level / most) * (height - 44);
  for (const part of [0, 0.5, 1]) svg.append(make("svg:line", { class: "grid", x1: 70, x2: W - 20, y1: y(most * part), y2: y(most * part) }),
    make("svg:text", { class: "q", x: 64, y: y(most * part) + 4, "text-anchor": "end" }, `${Math.round(most * part / 1000)} kbbl`));
  svg.append(make("svg:path", { d: points.map(([h, level], place) => `${place ? "L" : "M"}${x(h).toFixed(1)},${y(level).toFixed(1)}`).join(""), fill: "none", "stroke-width": 1.6, style: { stroke: "var(--water)" } }), make("svg:title", {}, "Level of the water storage over time"));
  tipFor(svg, (event) => {
    const box = svg.getBoundingClientRect();
    const at = hours(((event.clientX - box.left) / box.width) * W);
    return at >= 0 && at <= lastHour ? `${day(start, at)}: ${Math.round(levelAt(points, at) / 100) / 10} kbbl` : "";
  });
  return svg;
}

export function levelAt(points, hour) {
  let low = 0;
  let high = points.length - 1;
  if (high < 0 || hour <= points[0][0]) return points[0]?.[1] ?? 0;
  while (high - low > 1) { const middle = (low + high) >> 1; if (points[middle][0] <= hour) low = middle; else high = middle; }
  const [h0, l0] = points[low];
  const [h1, l1] = points[high];
  return hour >= h1 ? l1 : l0 + ((l1 - l0) * (hour - h0)) / Math.max(h1 - h0, 1e-9);
}
