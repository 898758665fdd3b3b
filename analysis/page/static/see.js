// What a run says: dates with their chances, who was where and when, where the days go, water, money, files.
import { at, get, make, number, post, say, table } from "/static/web.js";
import { bars, colourKey } from "/static/bars.js";
import { chanceCurves, levelCurve } from "/static/chart.js";
import { replay } from "/static/replay.js";
import { labelled } from "/static/runs.js";

const FILE_WORDS = { "plan.xlsx": "Workbook", "plan.ics": "Calendar", "report.html": "Report", "dates.csv": "Dates (CSV)", "stages.csv": "Stages (CSV)", "costs.csv": "Costs (CSV)", "cash.csv": "Cash (CSV)", "summary.json": "Summary (JSON)" };

export class SeePanel {
  constructor(root, page) { Object.assign(this, { root, page }); }

  hide() { this.gone = true; }

  async show() {
    this.gone = false;
    const mark = (this.mark = {});
    try {
      const runs = (await get("runs")).filter((each) => each.has_result);
      if (mark !== this.mark) return;
      if (!runs.length) return this.teach();
      const run = runs.find((each) => each.run === this.page.run) ?? runs.find((each) => each.plan === this.page.plan) ?? runs[0];
      this.page.run = run.run;
      await this.draw(run, runs, mark);
    } catch (refused) { say(refused.message); }
  }

  teach() {
    this.root.replaceChildren(make("div", { class: "empty" }, make("h2", {}, "Nothing to see yet"),
      make("p", {}, "Here stand the dates with their chances, the bars of every unit and well, a replay on the pad, where the days go, the water and the money of a finished run."),
      make("button", { type: "button", class: "main", onclick: () => this.page.go("run") }, "Play the plan first")));
  }

  async draw(run, runs, mark) {
    const path = `runs/${at(run.run)}`;
    const [found, played] = await Promise.all([get(`${path}/results`), get(`${path}/replay`).catch(() => null)]);
    if (mark !== this.mark) return;
    const choice = make("select", { id: "see-run", onchange: (event) => { this.page.run = event.target.value; this.page.go("see"); } }, runs.map((each) => make("option", { value: each.run }, `${each.run}${each.alternative ? `, ${each.alternative}` : ""}`)));
    choice.value = run.run;
    const where = make("div", {}, make("button", { type: "button", id: "ask-where", onclick: () => this.where(path, where) }, "Follow the days back"));
    this.root.replaceChildren(
      make("div", { class: "row" }, labelled("Run", choice), found.files.filter((each) => each in FILE_WORDS).map((each) => make("a", { class: "button", href: `/files/${at(run.run)}/${each}`, download: "" }, FILE_WORDS[each]))),
      jumps(["Dates and their chances", ...(played ? ["Units, one replication", "Wells, the same replication", "Replay on the pad"] : []), "Where the days go", "Time on location", "Water", "Money"]),
      make("div", { class: "card answer" }, make("h2", {}, "The answer"), [...found.answer, ...found.money_answer].map((each) => make("p", {}, each)), make("p", { class: "quiet" }, found.caution)),
      card("Dates and their chances", chanceCurves(found.curves, found.start, "Chance of being done by a date"), dateTable("The pad", found.pad, found), wellTable(found)),
      ...(played ? [
        card("Units, one replication", colourKey(played.units), bars(played.units, played.start, played.last_h, "Bars of every unit over time"), this.one(played)),
        card("Wells, the same replication", colourKey(played.wells), bars(played.wells, played.start, played.last_h, "Bars of every well over time")),
        card("Replay on the pad", make("p", { class: "quiet" }, `The same replication, number ${played.replication}, from its log. The sketch is no map: wells stand in the order of the plan.`), replay(played)),
      ] : []),
      card("Where the days go", make("p", { class: "quiet" }, "What the last well waited for, followed back to the start, in every replication."), where),
      card("Time on location", make("p", { class: "quiet" }, "What it goes to, unit by unit, in the mean of all replications."), make("details", {}, make("summary", {}, "Every unit"), shares(found.units))),
      card("Water", played ? levelCurve(played.storage, played.start, played.last_h) : null, supplyTable(found)),
      card("Money", found.costs.length ? costTable(found) : make("p", { class: "quiet" }, "The plan states no prices; state some in its section 'prices', and every cost is reckoned here.")));
  }

  one(played) {
    return make("p", { class: "quiet" }, `Replication ${played.replication}: the one in the middle by its last well. Another would differ.${played.thinned ? " Short pieces are gathered." : ""}`);
  }

  async where(path, holder) {
    try {
      const told = await post(`${path}/where`);
      if (told.message) { holder.replaceChildren(make("p", { class: "wrong" }, told.message)); return; }
      if (!told.answer) {
        holder.replaceChildren(make("progress", { max: told.asked, value: told.done, "aria-label": "replications followed" }));
        if (!this.gone) setTimeout(() => this.where(path, holder), 600);
        return;
      }
      holder.replaceChildren(...daysTable(told.answer));
    } catch (refused) { say(refused.message); }
  }
}

const card = (title, ...parts) => make("section", { class: "card", "aria-label": title }, make("h2", { tabindex: -1 }, title), ...parts);

function jumps(titles) {
  return make("p", { class: "row", "aria-label": "On this page" }, titles.map((title) => make("button", { type: "button", class: "plain", onclick: (event) => {
    const heading = [...event.target.closest("[role=tabpanel]").querySelectorAll("h2")].find((each) => each.textContent === title);
    heading?.scrollIntoView();
    heading?.focus({ preventScroll: true });
  } }, title)));
}

function dateCell(cell) { return [cell.date, make("small", {}, cell.between)]; }

function dateTable(caption, rows, found) {
  return make("div", {}, table(caption, ["milestone", "P10", "P50", "P90", "plan of averages"], Object.entries(rows).map(([name, row]) => [
    name, ...row.cells.map(dateCell), [row.averages, make("small", {}, `too early in ${number(row.later)} of ${number(found.replications)}`)]])),
  make("p", { class: "quiet" }, `${found.convention} Below each: the 95 % confidence interval. ${number(found.replications)} replications.`));
}

function wellTable(found) {
  const rows = Object.entries(found.wells).slice(0, 200).map(([well, row]) => [well, ...["Fracturing starts", "Fracturing ends", "On production"].flatMap((name) => [row[name].cells[1].date, row[name].cells[2].date])]);
  return table("The wells", ["well", "fracturing starts, P50", "P90", "fracturing ends, P50", "P90", "on production, P50", "P90"], rows);
}

function shares(units) {
  return make("div", { class: "twin" }, Object.entries(units).slice(0, 60).map(([unit, found]) => table(unit, ["", "", "share"], found.filter(([, , mean]) => mean >= 0.005).slice(0, 7).map(([kind, reason, mean]) => [{ work: "work", wait: "waits for", trouble: "trouble" }[kind], reason, `${(100 * mean).toFixed(0)} %`]), 2)));
}

function supplyTable(found) {
  if (!found.supplies.length) return null;
  return table("Supplies, P50, in thousand bbl, of proppant thousand lb", ["supply", "offered", "used", "turned away", "lowest level", "hours starved"], found.supplies.map((each) => [each.supply, ...["offered", "used", "turned_away", "lowest_level"].map((name) => number(each[name] / 1000)), number(each.starved_h)]), 1);
}

function costTable(found) {
  const listed = (caption, rows) => table(caption, ["of", "what", "P10", "P50", "P90", "unit"], rows.map((each) => [each.of, each.name, number(each.P10), number(each.P50), number(each.P90), each.unit]), 2);
  const sums = found.costs.filter((each) => each.of === "all");
  return make("div", {}, listed("Sums", sums), make("details", {}, make("summary", {}, "By kind of cost, by unit, and by what was waited for"), listed("", found.costs.filter((each) => each.of !== "all"))), make("p", { class: "quiet" }, found.of_amounts));
}

function daysTable(answer) {
  const most = Math.max(...answer.parts.map((each) => each.mean), 1);
  return [make("div", { class: "answer" }, answer.sentences.map((each) => make("p", {}, each))),
    table(`Mean days on the way to the last well, ${number(answer.replications)} replications`, ["", "what", "days", ""], answer.parts.map((each) => [each.kind, each.name, `${each.days}${each.spread}`, make("progress", { max: most, value: Math.max(each.mean, 0), "aria-hidden": true })]))];
}
