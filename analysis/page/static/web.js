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
export const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

export class Refused extends Error {}

// The plan is safe on disk whatever happens to the server; what is not answered is asked again once it is back.
export class Gone extends Refused {}

async function asked(path, options) {
  let answer;
  try {
    answer = await fetch(path, { ...options, headers: { "X-Padtempo": "1", "Content-Type": "application/json" } });
  } catch {
    throw new Gone("padtempo does not answer. If it was stopped, start it again and use the new address; what was saved as a draft is kept.");
  }
  const text = await answer.text();
  if (answer.ok) return JSON.parse(text);
  let said = text.trim();
  try { said = JSON.parse(text).error; } catch { /* plain text */ }
  if (answer.status === 403) throw new Gone(capital(said));
  throw new Refused(said || `not answered (${answer.status})`);
}

export const get = (path) => asked(`/api/${path}`, {});
export const post = (path, body = {}) => asked(`/api/${path}`, { method: "POST", body: JSON.stringify(body) });
export const at = (name) => encodeURIComponent(name);

export function say(text) {
  find("notice").textContent = text;
}

// What went well: it need not stay.
export function tell(text) {
  say(text);
  setTimeout(() => { if (find("notice").textContent === text) say(""); }, 6000);
}

export function table(caption, headings, rows, right = 99) {
  return make("div", { class: "scroll wide" }, make("table", {},
    caption ? make("caption", {}, caption) : null,
    make("thead", {}, make("tr", {}, headings.map((each, place) => make("th", { scope: "col", class: place >= right ? "num" : null }, each)))),
    make("tbody", {}, rows.map((row) => make("tr", {}, row.map((cell, place) =>
      make(place ? "td" : "th", place ? { class: place >= right ? "num" : typeof cell === "string" && cell.length > 45 ? "words" : null } : { scope: "row" }, cell)))))));
}

export function tipFor(element, text) {
  let tip;
  const away = () => { tip?.remove(); tip = undefined; };
  element.addEventListener("pointermove", (event) => {
    const said = text(event, (more) => { if (tip) { tip.textContent = more; placed(event); } });
    if (!said) return away();
    tip ??= document.body.appendChild(make("div", { class: "tip", role: "presentation" }));
    tip.textContent = said;
    placed(event);
  });
  const placed = (event) => {
    tip.style.left = `${Math.max(4, Math.min(event.clientX + 14, innerWidth - tip.offsetWidth - 8))}px`;
    const below = event.clientY + 16;
    tip.style.top = `${below + tip.offsetHeight + 8 > innerHeight ? Math.max(4, event.clientY - tip.offsetHeight - 12) : below}px`;
  };
  element.addEventListener("pointerleave", away);
  return away;
}

// A picture drawn anew for whatever width there is, so that its words keep their size.
export function fitted(draw, least = 280) {
  const holder = make("div");
  let drawn = 0;
  new ResizeObserver(() => {
    const width = Math.max(Math.floor(holder.clientWidth), least);
    if (!holder.clientWidth || width === drawn) return;
    drawn = width;
    holder.replaceChildren(draw(width));
  }).observe(holder);
  return holder;
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
