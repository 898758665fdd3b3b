// Elements, requests and messages: what every part of the page uses.

export function make(tag, attributes = {}, ...children) {
  const element = tag.startsWith("svg:")
    ? document.createElementNS("http://www.w3.org/2000/svg", tag.slice(4))
    : document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === null || (value === false && !name.startsWith("aria-"))) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (name === "style") Object.entries(value).forEach(([key, to]) => element.style.setProperty(key, to));
    else if (name === "value") element.value = value;
    else element.setAttribute(name, value === true && !name.startsWith("aria-") ? "" : value);
  }
  element.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

export const find = (id) => document.getElementById(id);

export class Refused extends Error {}

async function asked(path, options) {
  let answer;
  try {
    answer = await fetch(path, { ...options, headers: { "X-Padtempo": "1", "Content-Type": "application/json" } });
  } catch {
    throw new Refused("padtempo does not answer. If it was stopped, start it again and use the new address; nothing is lost.");
  }
  const text = await answer.text();
  if (answer.ok) return JSON.parse(text);
  let said = text.trim();
  try { said = JSON.parse(text).error; } catch { /* plain text */ }
  throw new Refused(said || `not answered (${answer.status})`);
}

export const get = (path) => asked(`/api/${path}`, {});
export const post = (path, body = {}) => asked(`/api/${path}`, { method: "POST", body: JSON.stringify(body) });
export const at = (name) => encodeURIComponent(name);

export function say(text) {
  find("notice").textContent = text;
}

export function table(caption, headings, rows, right = 99) {
  return make("div", { class: "scroll" }, make("table", {},
    caption ? make("caption", {}, caption) : null,
    make("thead", {}, make("tr", {}, headings.map((each) => make("th", { scope: "col" }, each)))),
    make("tbody", {}, rows.map((row) => make("tr", {}, row.map((cell, place) =>
      make(place ? "td" : "th", place ? { class: place >= right ? "num" : null } : { scope: "row" }, cell)))))));
}

export function tipFor(element, text) {
  let tip;
  const away = () => { tip?.remove(); tip = undefined; };
  element.addEventListener("pointermove", (event) => {
    const said = text(event);
    if (!said) return away();
    tip ??= document.body.appendChild(make("div", { class: "tip", role: "presentation" }));
    tip.textContent = said;
    tip.style.left = `${Math.min(event.clientX + 14, innerWidth - tip.offsetWidth - 8)}px`;
    tip.style.top = `${Math.min(event.clientY + 16, innerHeight - tip.offsetHeight - 8)}px`;
  });
  element.addEventListener("pointerleave", away);
}

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

// Local time at the location: the zone of this machine must not shift it, so it is kept as if it were UTC.
export function moment(start, hours) {
  return new Date(Date.parse(`${start.length > 10 ? start : `${start}T00:00`}Z`) + hours * 3600e3);
}
export function day(start, hours) {
  const at = moment(start, hours);
  return `${at.getUTCDate()} ${MONTHS[at.getUTCMonth()]}`;
}
export function dayAndTime(start, hours) {
  return `${day(start, hours)}, ${moment(start, hours).toISOString().slice(11, 16)}`;
}
export const number = (value) => Math.round(value).toLocaleString("en-GB");
