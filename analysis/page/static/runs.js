// Runs: start one, watch its dates sharpen, stop it, go on with it.
import { at, get, make, number, post, say } from "/static/web.js";

const MOVING = ["waiting", "playing", "stopping", "making files"];

export class RunPanel {
  constructor(root, page) { Object.assign(this, { root, page, runs: [] }); }

  show() {
    this.shown = true;
    this.draw();
    this.look();
  }

  hide() { this.shown = false; clearTimeout(this.timer); }

  draw() {
    const plan = this.page.shown;
    this.list = make("div", { id: "runs" });
    this.root.replaceChildren(plan ? this.form(plan) : "", this.list);
  }

  form(plan) {
    if (plan.problems.length) return make("div", { class: "problems" }, "This plan has mistakes; put them right first, then it can be played.");
    const alternative = make("select", { id: "alternative" }, make("option", { value: "" }, "the plan itself"), plan.alternatives.map((each) => make("option", { value: each }, each)));
    const replications = make("input", { id: "replications", type: "number", min: 1, max: 1000000, value: 300, size: 8 });
    const until = make("select", { id: "until" },
      make("option", { value: "" }, "this many"),
      ["P90 +-1 day", "P90 +-0.5 day", "P50 +-0.5 day", "mean +-0.25 day"].map((each) => make("option", { value: each }, `until the ${each.replace("+-", "is known within \u00b1 ")}`)));
    until.addEventListener("change", () => { if (until.value && Number(replications.value) < 2000) replications.value = 10000; });
    const seed = make("input", { id: "seed", type: "number", min: 0, value: 0, size: 6 });
    const start = async (event) => {
      event.preventDefault();
      try {
        const { run } = await post(`plans/${at(plan.name)}/run`, { alternative: alternative.value, replications: Number(replications.value), until: until.value, seed: Number(seed.value) });
        say(`${run} is in line.`);
        this.look();
      } catch (refused) { say(refused.message); }
    };
    return make("form", { class: "card", onsubmit: start },
      make("h2", {}, "Play this plan"),
      make("p", { class: "quiet" }, "Each replication plays the whole pad once, stage by stage, with the luck that it may meet. More of them make the dates surer, not earlier. Several runs may wait in line."),
      make("div", { class: "row" },
        labelled("Which", alternative), labelled("How long", until), labelled("Replications, at most", replications), labelled("Luck (seed)", seed),
        make("button", { class: "main", id: "start", type: "submit" }, "Play")));
  }

  async look() {
    clearTimeout(this.timer);
    try {
      this.runs = await get("runs");
      this.page.runs = this.runs;
      if (this.shown) this.drawList();
    } catch (refused) { say(refused.message); }
    const busy = this.runs.some((each) => MOVING.includes(each.state));
    if (this.shown && !document.hidden) this.timer = setTimeout(() => this.look(), busy ? 500 : 3000);
    else if (this.shown) document.addEventListener("visibilitychange", () => this.look(), { once: true });
  }

  drawList() {
    if (!this.runs.length) {
      this.list.replaceChildren(make("div", { class: "empty" }, make("h2", {}, "No runs yet"),
        make("p", {}, "Play the plan above. Its dates appear here after the first few replications and sharpen while it goes on; you may close this page meanwhile, and stop a run without losing what was played.")));
      return;
    }
    const known = new Map([...this.list.querySelectorAll("[data-run]")].map((each) => [each.dataset.run, each]));
    this.list.replaceChildren(...this.runs.map((each) => {
      const said = JSON.stringify(each);
      const old = known.get(each.run);
      if (old?.said === said) return old;
      const card = this.card(each);
      card.said = said;
      if (old?.contains(document.activeElement)) setTimeout(() => card.querySelector("button")?.focus());
      return card;
    }));
  }

  card(run) {
    const moving = MOVING.includes(run.state);
    const act = (path) => async () => { try { await post(`runs/${at(run.run)}/${path}`); } catch (refused) { say(refused.message); } this.look(); };
    return make("article", { class: "card", "data-run": run.run, "data-state": run.state },
      make("div", { class: "row" },
        make("h2", {}, run.run), make("span", { class: "tag" }, run.alternative ?? "the plan itself"),
        make("span", { class: "tag" }, `${run.state}: ${number(run.done)} of ${run.until ? "at most " : ""}${number(run.asked)} replications`),
        run.has_result && !moving ? make("button", { type: "button", class: "main", onclick: () => this.page.see(run.run) }, "See it") : null,
        moving ? make("button", { type: "button", class: "stop", disabled: run.state === "stopping" || run.state === "making files", onclick: act("cancel") }, "Stop") : null,
        !moving && run.done < run.asked && !run.until && run.plan ? make("button", { type: "button", onclick: act("go-on") }, "Go on with it") : null),
      moving ? make("progress", { max: Math.max(run.asked, 1), value: run.done, "aria-label": `${run.run}: replications played` }) : null,
      run.message ? make("p", { class: "wrong" }, run.message) : null,
      run.dates ? dateCards(run.dates) : null);
  }
}

export function dateCards(dates) {
  return make("div", { class: "dates" }, Object.entries(dates).map(([name, [, p50, p90]]) => make("div", { class: "date", "data-date": name },
    make("span", { class: "quiet" }, name), make("b", {}, p90.date),
    make("span", { class: "small" }, `90 % chance done by then (P90); ${[p90.low, p90.high].includes("unknown") ? "too few replications yet for an interval" : `95 % interval ${p90.low} to ${p90.high}`}`),
    make("span", {}, `50 % chance done by ${p50.date} (P50)`))));
}

export function labelled(text, control) {
  return make("label", { class: "field" }, make("span", { class: "quiet" }, text), control);
}
