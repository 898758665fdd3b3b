// The sections of a plan: how they are grouped, their fields, what they leave unsaid, and their own text.
import { capital, make } from "/static/web.js";

const GROUPS = [
  ["The job", ["wells", "well_defaults", "units", "strategy", "shifts", "plan"]],
  ["Supplies", ["water", "proppant", "other_supplies", "facility"]],
  ["What may happen", ["weather", "troubles", "uncertain", "time_zone"]],
  ["Money", ["prices", "fuel"]],
  ["To decide", ["alternatives", "choices"]],
];
const SAID = {
  alternatives: "Other ways to do it, each by a name with what it changes in the plan. Decide sets them side by side.",
  uncertain: "Numbers that nobody knows exactly, each with how it may come out. Each replication draws them once.",
  choices: "Numbers that are still to be chosen, each with what it may be; padtempo size finds the cheapest that keeps a promise.",
};
const TITLES = { plan: "Title, start, horizon", well_defaults: "What all wells share", uncertain: "Uncertain numbers", choices: "Choices for sizing", text: "The whole file" };

export const titleOf = (key) => TITLES[key] ?? capital(key.replaceAll("_", " "));

// Every section with its key, title and whether anything is stated, in groups; `wrong` counts the mistakes by key.
export function grouped(plan) {
  const stated = new Map([["wells", true], ...(plan.sections ?? []).map((each) => [each.key, each.fields.length > 0])]);
  const known = GROUPS.flatMap(([, keys]) => keys);
  const groups = [...GROUPS, ["More", [...stated.keys()].filter((each) => !known.includes(each))]];
  const entries = plan.sections ? groups.map(([name, keys]) => [name, keys.filter((each) => stated.has(each)).map((each) => [each, stated.get(each)])]) : [];
  return [...entries, ["The file", [["text", true]]]].filter(([, keys]) => keys.length);
}

export function sectionNav(plan, chosen, choose) {
  const wrong = (key) => plan.problems.filter((each) => homeOf(each.where, plan) === key).length;
  const list = make("nav", { class: "side", "aria-label": "Sections of the plan" }, grouped(plan).map(([name, keys]) => [make("h3", {}, name), make("ul", {}, keys.map(([key, stated]) => {
    const count = wrong(key);
    return make("li", {}, make("button", { type: "button", class: stated ? null : "absent", "aria-current": key === chosen, "data-section": key, title: stated ? null : "not stated in this plan yet", onclick: () => choose(key) },
      stated ? "" : "+ ", titleOf(key), count ? make("span", { class: "count", "aria-label": `${count} to put right` }, String(count)) : null));
  }))]));
  const select = make("select", { id: "section-choice", "aria-label": "Section of the plan", onchange: (event) => choose(event.target.value) }, grouped(plan).map(([name, keys]) => make("optgroup", { label: name }, keys.map(([key, stated]) => make("option", { value: key }, `${stated ? "" : "+ "}${titleOf(key)}${wrong(key) ? ` (${wrong(key)} to put right)` : ""}`)))));
  select.value = chosen;
  return make("div", {}, make("div", { class: "pick" }, select), list);
}

// `plan` gives the plan as it is by then.
export function sectionCards(section, plan, sending) {
  const groups = new Map();
  for (const each of section.fields) groups.set(each.group, [...(groups.get(each.group) ?? []), each]);
  const fields = [...groups].map(([group, own]) => [
    group && group !== section.title ? make("h3", {}, capital(group.replace(`${section.title} \u00b7 `, ""))) : null,
    make("div", { class: "fields" }, own.map((each) => field(each, sending)))]);
  const cards = [make("div", { class: "card" },
    make("h2", {}, titleOf(section.key)), make("p", { class: "quiet" }, SAID[section.key] ?? capital(section.meaning)),
    section.fields.length ? fields : make("p", {}, "Nothing is stated here yet. Write it below, as it would stand in the file."))];
  if (section.key !== "plan") cards.push(ownText(section, plan, sending));
  if (section.unsaid.length) cards.push(unsaid(section, sending));
  return cards;
}

function field(each, sending) {
  if (each.value === "{}") return asUsual(each, sending);
  const id = `f-${each.where}`;
  const common = { id, "data-where": each.where, "aria-describedby": `${id}-hint` };
  const changed = (event) => sending.typed(each.steps, event.target.value);
  const control = each.choices.length
    ? make("select", { ...common, onchange: changed }, ["", ...new Set([...each.choices, each.value].filter(Boolean))].map((choice) => make("option", { value: choice }, choice || "not stated")))
    : make("input", { ...common, oninput: changed, autocomplete: "off", spellcheck: "false" });
  control.value = each.value;
  control.title = each.value.length > 24 ? each.value : "";
  return make("div", { class: "field" }, make("label", { for: id }, each.label), control,
    make("span", { class: "hint", id: `${id}-hint` }, `Expected: ${each.expected}`));
}

// What is stated without figures of its own: it is there, and its figures are those taken instead.
function asUsual(each, sending) {
  const id = `f-${each.where}`;
  return make("div", { class: "field" }, make("span", { class: "quiet", id }, capital(each.label)),
    make("div", { class: "row" }, make("span", { "data-where": each.where }, "with its usual figures"), make("button", { type: "button", class: "plain", "aria-label": `Remove ${each.label}`, onclick: () => sending.edit([{ steps: each.steps, text: "", remove: true }], true) }, "remove")));
}

function unsaid(section, sending) {
  const n = section.unsaid.length;
  return make("details", { class: "card" },
    make("summary", {}, n === 1 ? "One value is not stated; what is taken instead" : `${n} values are not stated; what is taken instead`),
    make("div", { class: "scroll" }, make("table", {},
      make("thead", {}, make("tr", {}, ["value", "taken instead", "source", ""].map((each) => make("th", { scope: "col" }, each)))),
      make("tbody", {}, section.unsaid.map((each) => {
        const own = make("td", {}, each.value);
        const button = each.steps.length ? make("button", { type: "button", "aria-label": `State ${each.label}`, onclick: () => { own.replaceChildren(stating(each, sending)); own.querySelector("input").select(); button.remove(); } }, "State it") : null;
        return make("tr", {}, make("th", { scope: "row" }, each.label, each.label.endsWith(each.meaning) ? null : make("span", { class: "small" }, each.meaning)),
          own, make("td", { class: "words" }, each.source), make("td", {}, button));
      })))));
}

function stating(each, sending) {
  const input = make("input", { "aria-label": each.label, value: each.value, size: Math.max(12, each.value.length) });
  return make("form", { onsubmit: (event) => { event.preventDefault(); if (input.value.trim()) sending.edit([{ steps: each.steps, text: input.value }], true); } },
    make("div", { class: "row" }, input, make("button", { type: "submit" }, "State it")), make("span", { class: "small" }, `Expected: ${each.expected}`));
}

// The lines around a section in the plan as it is now; what is typed goes between them.
function around(key, { text, sections }) {
  const section = sections?.find((each) => each.key === key);
  if (!section) return null;
  const lines = text.split("\n");
  const [first, end] = section.lines.length ? section.lines : [lines.length, lines.length];
  return { before: lines.slice(0, first), own: section.lines.length ? lines.slice(first, end) : [], after: lines.slice(end) };
}

function ownText(section, plan, sending) {
  let known = around(section.key, plan());
  const area = make("textarea", {
    "aria-label": `${titleOf(section.key)} as text`, rows: 12, spellcheck: "false", class: "own",
    onfocus: () => { known = around(section.key, plan()) ?? known; if (!sending.pending) area.value = known.own.join("\n"); },
    oninput: () => { known = around(section.key, plan()) ?? known; sending.retyped([...known.before, ...area.value.replace(/\n$/, "").split("\n"), ...known.after].join("\n")); },
  });
  area.value = known.own.join("\n");
  area.placeholder = `${section.key}:\n  ...`;
  return make("details", { class: "card", open: !section.fields.length },
    make("summary", {}, `${titleOf(section.key)} as text, as it stands in the file`), area);
}

// Where a mistake is to be mended: the key of a section, or the whole text.
export function homeOf(where, plan) {
  const first = where.split(/[.[]/)[0];
  if (!first || !plan.sections) return "text";
  if (first === "wells") return "wells";
  if (plan.sections.some((each) => each.key === first)) return first;
  return ["title", "start", "horizon", "trouble_factor"].includes(first) ? "plan" : "text";
}
