// A piece of a log, [from, to, what, with whom, stage, kind, cause], as a colour and in words.
import { dayAndTime, make } from "/static/web.js";

const TRADES = {
  "nipple up": "preparation", "pressure test": "preparation", "toe preparation": "preparation", "injection test": "preparation", "watch pressure": "preparation",
  "lay water line": "water", "erect storage": "water", "fill storage": "water", "fill proppant storage": "proppant", "haul proppant": "proppant",
  "plug and perforate": "wireline", "pump stage": "fracturing", "trip in": "drill-out", "mill plugs": "drill-out", "sweep": "drill-out", "trip out": "drill-out",
  "flow back": "flowback", "turn in line": "flowback", "swap": "moving", "rig up": "moving", "rig down": "moving", "move between groups": "moving", "arrive": "moving",
};
const ORDER = ["preparation", "water", "proppant", "wireline", "fracturing", "drill-out", "flowback", "moving", "other", "trouble", "wait"];
const WORDS = { moving: "moving, rigging, swapping", wait: "waiting", other: "drilling rig on the well, other" };
const RECKONED = ["plug and perforate", "pump stage"]; // what the arithmetic of a stage is about

export const colourOf = (piece) => (piece[5] === "wait" ? "wait" : piece[5] === "trouble" ? "trouble" : TRADES[piece[2]] ?? "other");
export const isReckoned = (piece) => RECKONED.includes(piece[2]) && piece[4] > 0 && piece[5] !== "wait";

export function doing(piece) {
  if (piece[5] === "wait") return `waits for ${piece[6] || "the next job"}`;
  return `${piece[5] === "trouble" ? `trouble: ${piece[6]}, during ${piece[2]}` : piece[2]}${piece[4] ? `, stage ${piece[4]}` : ""}`;
}

export function inWords(piece, start) {
  const hours = piece[1] - piece[0];
  const long = hours >= 48 ? `${(hours / 24).toFixed(1)} days` : `${hours.toFixed(1)} h`;
  return `${doing(piece)}${piece[3] ? ` (${piece[3]})` : ""}: ${dayAndTime(start, piece[0])} to ${dayAndTime(start, piece[1])}, ${long}`;
}

// Lines of the arithmetic that say why a piece takes as long as it does at its means.
export function whyItTakes(piece, lines) {
  const topics = piece[2] === "pump stage" ? ["fluid", "rate", "rate held", "pumping"] : ["run in to the heel", "pumped down", "set plug and perforate", "pull out", "turnaround", "wireline run", "wireline"];
  return lines.filter(([topic]) => topics.includes(topic)).map(([topic, reckoning, result]) => `${topic}: ${reckoning} = ${result}`).join("\n");
}

export function colourKey(rows) {
  const used = new Set(Object.values(rows).flat().map(colourOf));
  return make("div", { class: "key" }, ORDER.filter((each) => used.has(each)).map((each) => make("span", { style: { "--c": `var(--${each})` } }, WORDS[each] ?? each)));
}

// The piece that is under way at an hour, by halving.
export function now(pieces, hour) {
  let [low, high] = [0, pieces.length - 1];
  while (low <= high) {
    const middle = (low + high) >> 1;
    if (pieces[middle][1] <= hour) low = middle + 1;
    else if (pieces[middle][0] > hour) high = middle - 1;
    else return pieces[middle];
  }
  return null;
}
