// Pictures of dates: chances, levels, spans side by side, and how a date grows sure; each drawn for the width there is.
import { day, fitted, make, number, tipFor } from "/static/web.js";

const COLOURS = ["--one", "--two", "--three", "--four", "--five", "--six"];
const DASHES = ["", "7 4", "2 3", "10 3 2 3", "4 4", "1 4"];
const DASH_WORDS = ["", " (dashed)", " (dotted)", " (dash and dot)", " (short dashes)", " (fine dots)"];

export function dateTicks(from, to, most = 8) {
  const days = [1, 2, 5, 7, 14, 30, 61, 122, 365].find((each) => (to - from) / 24 / each <= most) ?? 730;
  const ticks = [];
  for (let at = Math.ceil(from / 24 / days) * days; at * 24 <= to; at += days) ticks.push(at * 24);
  return ticks;
}

function frame(width, height, from, to, start, left = 52, right = 24) {
  const svg = make("svg:svg", { viewBox: `0 0 ${width} ${height}`, role: "img", width, height });
  const x = (h) => left + ((h - from) / Math.max(to - from, 1e-9)) * (width - left - right);
  for (const tick of dateTicks(from, to, Math.max(3, Math.floor((width - left) / 68)))) {
    svg.append(make("svg:line", { class: "grid", x1: x(tick), x2: x(tick), y1: 8, y2: height - 26 }),
      make("svg:text", { class: "q", x: x(tick), y: height - 9, "text-anchor": "middle" }, day(start, tick)));
  }
  const hours = (event) => from + ((event.clientX - svg.getBoundingClientRect().left - left) / (width - left - right)) * (to - from);
  return { svg, x, hours };
}

function level(svg, width, left, y, text) {
  svg.append(make("svg:line", { class: "grid", x1: left, x2: width - 24, y1: y, y2: y }), make("svg:text", { class: "q", x: left - 6, y: y + 4, "text-anchor": "end" }, text));
}

// Every curve is a list of [hours, chance done by then].
export function chanceCurves(curves, start, title) {
  const named = Object.entries(curves).filter(([, points]) => points.length);
  if (!named.length) return make("p", { class: "quiet" }, "No replication gets there before the horizon.");
  const all = named.flatMap(([, points]) => points.map(([h]) => h));
  const [low, high] = [Math.min(...all), Math.max(...all)];
  const pad = Math.max((high - low) * 0.06, 12);
  const draw = (width) => {
    const height = width < 600 ? 260 : 320;
    const { svg, x, hours } = frame(width, height, low - pad, high + pad, start);
    const y = (chance) => 12 + (1 - chance) * (height - 44);
    for (const chance of [0, 0.1, 0.25, 0.5, 0.75, 0.9, 1]) level(svg, width, 52, y(chance), `${Math.round(chance * 100)} %`);
    named.forEach(([, points], place) => {
      let path = `M${x(points[0][0])},${y(0)}`;
      let before = 0;
      for (const [h, chance] of points) { path += `L${x(h).toFixed(1)},${y(before).toFixed(1)}L${x(h).toFixed(1)},${y(chance).toFixed(1)}`; before = chance; }
      svg.append(make("svg:path", { d: path, fill: "none", "stroke-width": 2.4, "stroke-dasharray": DASHES[place % 6], style: { stroke: `var(${COLOURS[place % 6]})` } }));
    });
    svg.append(make("svg:title", {}, title));
    const marker = svg.appendChild(make("svg:line", { y1: 8, y2: height - 26, visibility: "hidden", style: { stroke: "var(--quiet)" } }));
    svg.addEventListener("pointerleave", () => marker.setAttribute("visibility", "hidden"));
    tipFor(svg, (event) => {
      const at = hours(event);
      if (at <= low - pad || at >= high + pad) return "";
      for (const [key, value] of Object.entries({ x1: x(at), x2: x(at), visibility: "visible" })) marker.setAttribute(key, value);
      return `Done by ${day(start, at)}\n${named.map(([name, points]) => `${name}: ${Math.round(100 * (points.filter(([h]) => h <= at).at(-1)?.[1] ?? 0))} % chance`).join("\n")}`;
    });
    return svg;
  };
  const key = make("div", { class: "key" }, named.map(([name], place) => make("span", { style: { "--c": `var(${COLOURS[place % 6]})` } }, name + DASH_WORDS[place % 6])));
  return make("figure", {}, key, fitted(draw), make("figcaption", { class: "quiet" }, "Chance of being done by a date. Point at the picture to read it; a steep curve is a sure date."));
}

// Rows of [name, P10, P50, P90 in hours]: a bar from P10 to P90 with a mark at P50.
export function spans(rows, start, title) {
  const known = rows.filter(([, ...hours]) => hours.every((each) => each !== null));
  if (!known.length) return null;
  const all = known.flatMap(([, ...hours]) => hours);
  const pad = Math.max((Math.max(...all) - Math.min(...all)) * 0.12, 14);
  const draw = (width) => {
    const above = width < 560; // no room for names beside the bars
    const [left, row] = above ? [8, 50] : [190, 34];
    const height = known.length * row + 36;
    const { svg, x } = frame(width, height, Math.min(...all) - pad, Math.max(...all) + pad, start, left, 30);
    known.forEach(([name, p10, p50, p90], place) => {
      const top = 12 + place * row + (above ? 16 : 0);
      const letters = Math.floor((above ? width : left) / 7);
      svg.append(make("svg:text", { x: 0, y: above ? top - 4 : top + 15 }, name.length > letters ? `${name.slice(0, letters - 1)}\u2026` : name, make("svg:title", {}, name)),
        make("svg:rect", { x: x(p10), y: top + 3, width: Math.max(x(p90) - x(p10), 2), height: 15, rx: 3, style: { fill: `var(${place % 2 ? "--two" : "--one"})`, opacity: 0.38 } }),
        make("svg:rect", { x: x(p50) - 1.5, y: top, width: 3, height: 21, style: { fill: `var(${place % 2 ? "--two" : "--one"})` } }));
    });
    svg.append(make("svg:title", {}, title));
    return svg;
  };
  return make("figure", {}, fitted(draw), make("figcaption", { class: "quiet" }, "Each bar reaches from P10 to P90; the mark is P50."));
}

// How P90 grew sure: rows of [replications, low, P90, high] in hours.
export function sharpening(trace, start) {
  if (trace.length < 2) return null;
  const lows = trace.map((each) => each[1]);
  const highs = trace.map((each) => each[3]);
  const [low, high] = [Math.min(...lows), Math.max(...highs)];
  const pad = Math.max((high - low) * 0.1, 6);
  const draw = (width) => {
    const [height, left] = [130, 60];
    const svg = make("svg:svg", { viewBox: `0 0 ${width} ${height}`, width, height, role: "img" }, make("svg:title", {}, "P90 of the last well with its interval, as replications were played"));
    const x = (n) => left + (Math.log(n / trace[0][0]) / Math.log(trace.at(-1)[0] / trace[0][0])) * (width - left - 50);
    const y = (h) => 10 + ((high + pad - h) / (high - low + 2 * pad)) * (height - 36);
    const ticks = dateTicks(low - pad, high + pad, 4);
    for (const tick of ticks.length > 1 ? ticks : [low, high]) level(svg, width, left, y(tick), day(start, tick));
    const line = (place) => trace.map((each) => `${x(each[0]).toFixed(1)},${y(each[place]).toFixed(1)}`);
    svg.append(make("svg:path", { d: `M${line(1).join("L")}L${line(3).reverse().join("L")}Z`, style: { fill: "var(--one)", opacity: 0.22 } }),
      make("svg:path", { d: `M${line(2).join("L")}`, fill: "none", "stroke-width": 2.2, style: { stroke: "var(--one)" } }));
    svg.append(make("svg:text", { class: "q", x: x(trace[0][0]), y: height - 8 }, `${number(trace[0][0])} replications`), make("svg:text", { class: "q", x: x(trace.at(-1)[0]), y: height - 8, "text-anchor": "end" }, number(trace.at(-1)[0])));
    return svg;
  };
  return make("figure", {}, fitted(draw), make("figcaption", { class: "quiet" }, "P90 of the last well, with its 95 % interval, by replications played: the band narrows as the date grows sure."));
}

export function levelCurve(points, start, lastHour) {
  if (!points.length) return make("p", { class: "quiet" }, "This plan states no water storage: it is never short of water.");
  const most = Math.max(...points.map(([, volume]) => volume), 1);
  const draw = (width) => {
    const [height, left] = [200, 70];
    const { svg, x, hours } = frame(width, height, 0, lastHour, start, left);
    const y = (volume) => 12 + (1 - volume / most) * (height - 44);
    for (const part of [0, 0.5, 1]) level(svg, width, left, y(most * part), `${Math.round(most * part / 1000)} kbbl`);
    svg.append(make("svg:path", { d: points.map(([h, volume], place) => `${place ? "L" : "M"}${x(h).toFixed(1)},${y(volume).toFixed(1)}`).join(""), fill: "none", "stroke-width": 1.6, style: { stroke: "var(--water)" } }), make("svg:title", {}, "Water in storage over time"));
    tipFor(svg, (event) => (hours(event) >= 0 && hours(event) <= lastHour ? `${day(start, hours(event))}: ${Math.round(levelAt(points, hours(event)) / 100) / 10} kbbl` : ""));
    return svg;
  };
  return make("figure", {}, fitted(draw), make("figcaption", { class: "quiet" }, "Water in storage, in the same replication as the bars above."));
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
