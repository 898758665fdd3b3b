// Deciding: a few numbers moved under the same luck, the alternatives of the plan side by side, and what to hand on.
import { at, get, make, number, post, say, table } from "/static/web.js";
import { chanceCurves, spans } from "/static/chart.js";
import { handOn } from "/static/hand_on.js";
import { follow } from "/static/studies.js";

const SHORT = { "Every well on production": "Last well" };

export class DecidePanel {
  constructor(root, page) { Object.assign(this, { root, page }); }

  hide() { this.asking = null; this.mark = null; clearTimeout(this.timer); }

  async show() {
    const mark = (this.mark = {});
    const plan = this.page.shown;
    if (!plan || plan.problems.length) return this.teach(plan);
    this.moved = {};
    const whatIf = await this.whatIf(plan);
    if (mark !== this.mark) return;
    const handing = make("div", {});
    this.root.replaceChildren(whatIf, this.alternatives(plan, mark), handing);
    this.handing(plan, handing, mark);
  }

  teach(plan) {
    this.root.replaceChildren(make("div", { class: "empty" }, make("h2", {}, plan ? "First a plan without mistakes" : "First a plan"),
      make("p", {}, "Then you can move the numbers that matter here, such as water rate, storage or wireline units, and see within two seconds what that does to the dates; and you can set the alternatives of the plan side by side, under the same luck."),
      make("button", { type: "button", class: "main", onclick: () => this.page.go("plan") }, plan ? "Show the mistakes" : "To the plan")));
  }

  async whatIf(plan) {
    this.answer = make("div", { "aria-live": "polite", id: "what-if" });
    const back = make("button", { type: "button", id: "levers-back", onclick: () => this.putBack(plan) }, "Put all back");
    const holder = make("div", { class: "card" }, make("div", { class: "row ends" }, make("h2", {}, "What if"), back),
      make("p", { class: "quiet" }, "Move a number: a few replications answer at once, under the same luck as the plan, and more sharpen the answer while you look. The plan itself is not changed."));
    try {
      const levers = await get(`plans/${at(plan.name)}/levers`);
      this.levers = levers.map((each) => this.lever(plan, each));
      holder.append(make("div", { class: "levers" }, this.levers), this.answer);
      this.unmoved();
    } catch (refused) { say(refused.message); }
    return holder;
  }

  unmoved() { this.answer.removeAttribute("data-state"); this.answer.replaceChildren(make("p", { class: "quiet" }, "Nothing is moved yet.")); }

  putBack(plan) {
    for (const each of this.levers ?? []) each.putBack();
    this.ask(plan);
  }

  lever(plan, lever) {
    const said = (value) => `${value}${lever.unit ? ` ${lever.unit}` : ""}`;
    const output = make("output", {}, said(lever.now));
    const id = `lever-${lever.key}`;
    const take = () => {
      const moved = Number(input.value) !== lever.now;
      output.textContent = moved ? `${said(input.value)}, was ${said(lever.now)}` : said(lever.now);
      input.setAttribute("aria-valuetext", output.textContent);
      holder.classList.toggle("moved", moved);
      if (moved) this.moved[lever.key] = Number(input.value); else delete this.moved[lever.key];
    };
    const input = make("input", { type: "range", id, min: lever.low, max: lever.high, step: lever.step, oninput: () => { take(); clearTimeout(this.timer); this.timer = setTimeout(() => this.ask(plan), 200); } });
    input.value = lever.now;
    const holder = make("div", { class: "lever" }, make("div", { class: "row" }, make("label", { for: id }, lever.label), output), input,
      make("div", { class: "scale", "aria-hidden": "true" }, make("span", {}, said(lever.low)), make("span", {}, lever.stands_for), make("span", {}, said(lever.high))));
    holder.putBack = () => { input.value = lever.now; take(); };
    return holder;
  }

  async ask(plan) {
    const mine = (this.asking = {});
    const moved = { ...this.moved };
    if (!Object.keys(moved).length) return this.unmoved();
    this.answer.setAttribute("data-state", "asking");
    while (this.asking === mine) {
      try {
        const found = await post(`plans/${at(plan.name)}/what-if`, { moved });
        if (this.asking !== mine) return;
        this.answer.setAttribute("data-state", found.enough ? "enough" : "sharpening");
        this.answer.replaceChildren(...this.told(found));
        if (found.enough) return;
      } catch (refused) { if (this.asking === mine) this.answer.replaceChildren(make("p", { class: "wrong" }, refused.message)); return; }
    }
  }

  told(found) {
    const names = Object.keys(found.plan);
    const hours = (side, name) => found[side][name].map((each) => each.hours);
    return [make("p", { class: "answer", id: "what-if-said" }, differing(found.days)),
      spans(names.flatMap((name) => [[`${SHORT[name] ?? name}, plan`, ...hours("plan", name)], [`${SHORT[name] ?? name}, what if`, ...hours("changed", name)]]), found.start, "P10 to P90 of the plan and of what if"),
      table("", ["", "P50, plan", "P50, what if", "P90, plan", "P90, what if"], names.map((name) => [name, ...[1, 2].flatMap((place) => [found.plan[name][place].date, found.changed[name][place].date])])),
      make("p", { class: "quiet" }, `${number(found.replications)} replications of both${found.enough ? "" : ", more are being played"}. P90: 90 % chance done by that date.`)];
  }

  alternatives(plan, mark) {
    const holder = make("div", { class: "card", id: "side-by-side" }, make("h2", {}, "Alternatives side by side"));
    if (!plan.alternatives.length) {
      holder.append(make("p", {}, "The plan names no alternatives yet. In its section Alternatives give each a name and what it changes, such as"), make("pre", {}, "alternatives:\n  sequential: {strategy.wells_in_rotation: 1}\n  second fleet: {units.pumping_fleets.count: 2}"), make("p", {}, "and they are played here under the same luck as the plan."));
      return holder;
    }
    const result = make("div");
    const boxes = plan.alternatives.map((each) => make("input", { type: "checkbox", value: each, checked: !plan.of_the_world.includes(each) }));
    const start = make("button", { type: "button", class: "main", id: "compare", onclick: () => {
      const chosen = boxes.filter((each) => each.checked).map((each) => each.value);
      if (!chosen.length) return result.replaceChildren(make("p", { class: "wrong" }, "Choose at least one alternative."));
      const mine = (this.comparing = {});
      follow(`plans/${at(plan.name)}/compare`, { replications: 200, alternatives: chosen }, result, () => this.mark === mark && this.comparing === mine, (answer) => result.replaceChildren(...sideBySide(answer)));
    } }, "Set side by side");
    holder.append(make("fieldset", {}, make("legend", {}, "The plan itself against"), boxes.map((box) => make("label", {}, box, ` ${box.value}`, plan.of_the_world.includes(box.value) ? make("span", { class: "quiet" }, " (nobody\u2019s to choose)") : null))), start, result);
    return holder;
  }

  // The three files to hand on, of the newest run of this plan.
  async handing(plan, holder, mark) {
    try {
      const run = (await get("runs")).find((each) => each.plan === plan.name && each.has_result);
      if (!run) { holder.replaceChildren(make("div", { class: "card" }, make("h2", {}, "Hand it on"), make("p", { class: "quiet" }, "Once this plan has been run, its report, workbook and calendar stand here."))); return; }
      const found = await get(`runs/${at(run.run)}/results`);
      if (mark === this.mark) holder.replaceChildren(make("div", { class: "card" }, make("h2", {}, "Hand it on"), make("p", { class: "quiet" }, `From the newest run of this plan, ${run.run}${run.alternative ? `, ${run.alternative}` : ""}.`), handOn(run.run, found.files, () => mark === this.mark)));
    } catch (refused) { say(refused.message); }
  }
}

function sideBySide({ sentences, plans, pairs, curves, start, replications }) {
  const order = plans.map((each) => each.plan);
  return [make("div", { class: "answer" }, sentences.map((each) => make("p", {}, each))),
    chanceCurves(Object.fromEntries(order.slice(0, 6).map((name) => [name, curves[name]])), start, "Chance that the last well is on production, by plan"),
    order.length > 6 ? make("p", { class: "quiet" }, "The picture shows the first six.") : null,
    rowsTable(`Last well on production, ${number(replications)} replications of each`, plans), make("p", { class: "quiet" }, "P90: 90 % chance done by that date. Brackets: 95 % confidence interval, in days from the start."),
    make("details", {}, make("summary", {}, "Every pair, under the same luck"), rowsTable("", pairs))].filter(Boolean);
}

function rowsTable(caption, rows) {
  if (!rows.length) return null;
  const headings = Object.keys(rows[0]);
  return table(caption, headings, rows.map((row) => headings.map((name) => row[name].split("\n").map((line, place) => (place ? make("small", {}, line) : line)))));
}

function differing(days) {
  if (!days) return "In some replications not every well is done by the horizon, so no mean difference is given.";
  const [mean, low, high] = days;
  const way = (value) => `${Math.abs(value).toFixed(1)} days ${value < 0 ? "earlier" : "later"}`;
  if (low === 0 && high === 0) return "It makes no difference to the last well: 0.0 days in every replication.";
  if (low <= 0 && high >= 0) return `No difference to be seen yet: the mean lies between ${way(low)} and ${way(high)} (95 % confidence).`;
  const [near, far] = [Math.abs(low), Math.abs(high)].sort((a, b) => a - b);
  return `The last well comes ${way(mean)} in the mean (95 % confidence: ${near.toFixed(1)} to ${far.toFixed(1)}).`;
}
