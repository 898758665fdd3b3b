// What can be taken away from a run: the report, the workbook, the calendar, and every table.
import { at, make } from "/static/web.js";
import { follow } from "/static/studies.js";

const FIRST = { "plan.xlsx": ["Workbook", "milestones, stages, costs, for a spreadsheet"], "plan.ics": ["Calendar", "dates of the plan, for a calendar"] };
const TABLES = { "dates.csv": "dates", "stages.csv": "stages", "costs.csv": "costs", "cost_lines.csv": "lines of costs", "cash.csv": "cash by month", "production.csv": "production", "fuel.csv": "fuel", "supplies.csv": "supplies", "summary.json": "summary (JSON)" };

export function handOn(run, files, wanted) {
  const link = (file, text, title, main) => make("a", { class: main ? "button main" : "button", href: `/files/${at(run)}/${file}`, download: "", title }, text);
  const report = make("span", {});
  const ready = () => report.replaceChildren(link("report.html", "Report", "one file to read, zoom and print, without a network", true));
  const ask = make("button", { type: "button", class: "main", id: "make-report", title: "one file to read, zoom and print; plays the alternatives too", onclick: () => follow(`runs/${at(run)}/report`, {}, report, wanted, ready) }, "Make the report");
  if (files.includes("report.html")) ready(); else report.append(ask);
  const rest = files.filter((each) => each in TABLES);
  return make("div", { class: "row", id: "hand-on" }, report,
    Object.keys(FIRST).filter((each) => files.includes(each)).map((each) => link(each, ...FIRST[each])),
    rest.length ? make("details", {}, make("summary", {}, "Every table"), make("div", { class: "row" }, rest.map((each) => link(each, TABLES[each])))) : null);
}
