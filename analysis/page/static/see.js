// What a run says: dates with their chances, who was where and when, where the days go, water, money, files.
import { at, get, make, post, say } from "/static/web.js";
import { bars } from "/static/bars.js";
import { chanceCurves, levelCurve } from "/static/chart.js";
import { handOn } from "/static/hand_on.js";
import { colourKey } from "/static/pieces.js";
import { replay } from "/static/replay.js";
import { dateCards, labelled } from "/static/runs.js";
import { costTable, dateTable, daysTable, shares, supplyTable, wellTable } from "/static/see_tables.js";
import { follow } from "/static/studies.js";

export class SeePanel {
  constructor(root, page) { Object.assign(this, { root, page }); }

  hide() { this.mark = null; }

  async show() {
    const mark = (this.mark = {});
    try {
      const all = await get("runs");
      const runs = all.filter((each) => each.has_result);
      if (mark !== this.mark) return;
      if (!runs.length) return this.teach(all.length > 0);
      const run = runs.find((each) => each.run === this.page.run) ?? runs.find((each) => each.plan === this.page.plan) ?? runs[0];
      this.page.run = run.run;
      await this.draw(run, runs, mark, all.every((each) => !["waiting", "playing", "stopping", "making files"].includes(each.state)));
    } catch (refused) { say(refused.message); }
  }

  teach(begun) {
    this.root.replaceChildren(make("div", { class: "empty" }, make("h2", {}, "Nothing to see yet"),
      make("p", {}, begun ? "No run has come to its end yet. Its dates stand under Run meanwhile; the rest follows here:" : "Once a run has come to its end, this is what you find here:"),
      make("ol", {}, ["The dates with a 10, 50 and 90 % chance, for the pad and for every well.", "Bars of every unit and every well, with the arithmetic behind each stage.", "A replay on a sketch of the pad.", "Where the days go, and what each unit waits for.", "Water, proppant and money.", "A report, a workbook and a calendar to hand on."].map((each) => make("li", {}, each))),
      make("button", { type: "button", class: "main", onclick: () => this.page.go("run") }, begun ? "Look at the runs" : "Run the plan first")));
  }

  async draw(run, runs, mark, idle) {
    const path = `runs/${at(run.run)}`;
    const [found, played] = await Promise.all([get(`${path}/results`), get(`${path}/replay`).catch(() => null)]);
    if (mark !== this.mark) return;
    const wanted = () => this.mark === mark;
    const choice = make("select", { id: "see-run", onchange: (event) => { this.page.run = event.target.value; this.page.go("see"); } }, runs.map((each) => make("option", { value: each.run }, `${each.run}${each.alternative ? `, ${each.alternative}` : ""}`)));
    choice.value = run.run;
    const where = make("div", { id: "where" });
    const asking = () => follow(`${path}/where`, {}, where, wanted, (answer) => where.replaceChildren(...daysTable(answer)));
    if (idle) asking(); else where.append(make("button", { type: "button", id: "ask-where", onclick: asking }, "Work it out"));
    const explain = explaining(path);
    const cards = [
      card("The answer", dateCards(run.dates), make("div", { class: "answer" }, [...found.answer, ...found.money_answer].map((each) => make("p", {}, each))), make("p", { class: "quiet" }, `${found.convention} ${found.caution}`)),
      card("Dates and chances", chanceCurves(found.curves, found.start, "Chance of being done by a date"), dateTable(found), wellTable(found)),
      ...(played ? [
        card("Units over time", one(played), colourKey(played.units), bars(played.units, played.start, played.last_h, "Bars of every unit over time", explain)),
        card("Wells over time", make("p", { class: "quiet" }, "The same replication, well by well."), colourKey(played.wells), bars(played.wells, played.start, played.last_h, "Bars of every well over time", explain)),
        card("Replay on the pad", make("p", { class: "quiet" }, `The same replication, number ${played.replication}, from its log. The sketch is no map: wells stand in the order of the plan.`), colourKey(played.units), replay(played)),
      ] : []),
      card("Where the days go", make("p", { class: "quiet" }, "What the last well waited for, followed back to the start, in every replication."), where),
      card("Time of each unit", make("p", { class: "quiet" }, "What a unit's time on location goes to, in the mean of all replications."), shares(found.units)),
      card("Water and proppant", played ? levelCurve(played.storage, played.start, played.last_h) : null, supplyTable(found)),
      card("Money", found.costs.length ? costTable(found) : make("p", { class: "quiet" }, "The plan states no prices. State some in its section Prices, and every cost is reckoned here.")),
    ];
    this.root.replaceChildren(
      make("div", { class: "row low", style: { "margin-bottom": ".9rem" } }, labelled("Run", choice), handOn(run.run, found.files, wanted)),
      make("div", { class: "split" }, jumps(cards), make("div", {}, cards)));
  }
}

function one(played) {
  return make("p", { class: "quiet" }, `Replication ${played.replication} of this run: the one in the middle by its last well. Another would differ.${played.thinned ? " Short pieces are gathered." : ""}`);
}

// The arithmetic of a stage, asked for once.
function explaining(path) {
  const known = new Map();
  return (name, piece) => {
    const key = `${piece[3]} ${name} ${piece[4]}`;
    if (!known.has(key)) known.set(key, asked(path, [piece[3], name], piece[4]));
    return known.get(key);
  };
}

// On the bars of units the well stands in the piece, on those of wells it is the row.
async function asked(path, names, stage) {
  for (const well of names) {
    try { return { well, lines: (await post(`${path}/explain`, { well, stage })).lines }; } catch { /* the other is the well */ }
  }
  return { well: names[0], lines: [] };
}

const card = (title, ...parts) => make("section", { class: "card", "aria-label": title }, make("h2", { tabindex: -1 }, title), ...parts);

function jumps(cards) {
  const go = (heading) => { heading.scrollIntoView({ block: "start" }); heading.focus({ preventScroll: true }); };
  const headings = cards.map((each) => each.querySelector("h2"));
  const chooser = make("select", { "aria-label": "Go to a part of the results", onchange: (event) => { go(headings[event.target.selectedIndex - 1] ?? headings[0]); event.target.selectedIndex = 0; } }, ["Go to \u2026", ...headings.map((each) => each.textContent)].map((each) => make("option", {}, each)));
  return make("div", {}, make("div", { class: "pick" }, chooser), make("nav", { class: "side", "aria-label": "Parts of the results" }, make("ul", {}, headings.map((heading) => make("li", {}, make("button", { type: "button", onclick: () => go(heading) }, heading.textContent))))));
}
