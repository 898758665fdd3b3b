// Deciding: a few numbers moved under the same luck, and the alternatives of the plan side by side.
import { at, get, make, number, post, say, table } from "/static/web.js";
import { chanceCurves } from "/static/chart.js";

export class DecidePanel {
  constructor(root, page) { Object.assign(this, { root, page }); }

  hide() { this.asking = null; clearTimeout(this.timer); clearTimeout(this.comparing); }

  async show() {
    const plan = this.page.shown;
    if (!plan || plan.problems.length) {
      this.root.replaceChildren(make("div", { class: "empty" }, make("h2", {}, "First a plan without mistakes"), make("p", {}, "Then its numbers can be moved here, and its alternatives set side by side.")));
      return;
    }
    this.moved = {};
    this.root.replaceChildren(await this.whatIf(plan), this.alternatives(plan));
  }

  async whatIf(plan) {
    this.answer = make("div", { "aria-live": "polite", id: "what-if" });
    const holder = make("div", { class: "card" }, make("h2", {}, "What if"),
      make("p", { class: "quiet" }, "Move a number: a few replications answer at once under the same luck as the plan, and more sharpen the answer while you look. Nothing is changed in the plan."));
    try {
      const levers = await get(`plans/${at(plan.name)}/levers`);
      holder.append(make("div", { class: "levers" }, levers.map((each) => this.lever(plan, each))), this.answer);
    } catch (refused) { say(refused.message); }
    return holder;
  }

  lever(plan, lever) {
    const said = (value) => `${value} ${lever.unit}`.trim();
    const output = make("output", {}, said(lever.now));
    const id = `lever-${lever.key}`;
    const input = make("input", {
      type: "range", id, min: lever.low, max: lever.high, step: lever.step,
      oninput: () => {
        output.textContent = said(input.value);
        input.setAttribute("aria-valuetext", output.textContent);
        if (Number(input.value) === lever.now) delete this.moved[lever.key]; else this.moved[lever.key] = Number(input.value);
        clearTimeout(this.timer);
        this.timer = setTimeout(() => this.ask(plan), 200);
      },
    });
    input.value = lever.now;
    return make("div", {}, make("label", { for: id }, lever.label), output, input);
  }

  async ask(plan) {
    const mine = (this.asking = {});
    const moved = { ...this.moved };
    if (!Object.keys(moved).length) { this.answer.replaceChildren(); return; }
    this.answer.setAttribute("data-state", "asking");
    while (this.asking === mine) {
      try {
        const found = await post(`plans/${at(plan.name)}/what-if`, { moved });
        if (this.asking !== mine) return;
        this.answer.setAttribute("data-state", found.enough ? "enough" : "sharpening");
        this.answer.replaceChildren(...this.told(found));
        if (found.enough) return;
      } catch (refused) { this.answer.replaceChildren(make("p", { class: "wrong" }, refused.message)); return; }
    }
  }

  told(found) {
    const rows = Object.keys(found.plan).map((name) => [name, ...[1, 2].flatMap((place) => [found.plan[name][place], found.changed[name][place]])]);
    return [make("p", { class: "answer", id: "what-if-said" }, differing(found.days)),
      table("", ["", "P50, plan", "P50, what if", "P90, plan", "P90, what if"], rows),
      make("p", { class: "quiet" }, `${number(found.replications)} replications of both${found.enough ? "" : ", more are being played"}. P90: 90 % chance done by that date.`)];
  }

  alternatives(plan) {
    const holder = make("div", { class: "card", id: "side-by-side" }, make("h2", {}, "Alternatives side by side"));
    if (!plan.alternatives.length) {
      holder.append(make("p", {}, "The plan names no alternatives. Write some in its section 'alternatives', such as"), make("pre", {}, "alternatives:\n  sequential: {strategy.wells_in_rotation: 1}"), make("p", {}, "and they are played here under the same luck as the plan."));
      return holder;
    }
    const result = make("div");
    holder.append(make("div", { class: "row" },
      make("span", {}, `The plan against: ${plan.alternatives.join("; ")}.`),
      make("button", { type: "button", class: "main", id: "compare", onclick: () => this.compare(plan, result) }, "Set side by side")), result);
    return holder;
  }

  async compare(plan, holder) {
    try {
      const told = await post(`plans/${at(plan.name)}/compare`, { replications: 200 });
      if (told.message) { holder.replaceChildren(make("p", { class: "wrong" }, told.message)); return; }
      if (!told.answer) {
        holder.replaceChildren(make("p", { class: "quiet" }, `${told.state}: ${number(told.done)} of ${number(told.asked)} replications`), make("progress", { max: told.asked, value: told.done, "aria-label": "replications played" }));
        this.comparing = setTimeout(() => this.compare(plan, holder), 600);
        return;
      }
      const { sentences, plans, pairs, curves, start, replications } = told.answer;
      const order = plans.map((each) => each.plan);
      holder.replaceChildren(make("div", { class: "answer" }, sentences.map((each) => make("p", {}, each))),
        chanceCurves(Object.fromEntries(order.slice(0, 6).map((name) => [name, curves[name]])), start, "Chance that the last well is on production, by plan"),
        rowsTable(`Last well on production, ${number(replications)} replications of each`, plans), make("p", { class: "quiet" }, "P90: 90 % chance done by that date. Brackets: 95 % confidence interval, in days from the start."),
        make("details", {}, make("summary", {}, "Every pair, under the same luck"), rowsTable("", pairs)));
    } catch (refused) { say(refused.message); }
  }
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
