// Runs: start one, watch its dates sharpen, stop it, go on with it.
import { at, get, make, number, post, say, tell } from "/static/web.js";
import { sharpening } from "/static/chart.js";

const MOVING = ["waiting", "playing", "stopping", "making files"];
const PRECISE = ["P90 +-1 day", "P90 +-0.5 day", "P50 +-0.5 day", "mean +-0.25 day"];

export class RunPanel {
  constructor(root, page) { Object.assign(this, { root, page, runs: [], paces: new Map() }); }

  show() {
    this.shown = true;
    this.list = make("div", { id: "runs" });
    this.root.replaceChildren(this.page.shown ? this.form(this.page.shown) : "", this.list);
    this.look();
  }

  hide() { this.shown = false; clearTimeout(this.timer); }

  form(plan) {
    if (plan.problems.length) return make("div", { class: "problems" }, make("strong", {}, "This plan has mistakes; put them right first, then it can be played. "), make("button", { type: "button", onclick: () => this.page.go("plan") }, "Show them"));
    const alternative = make("select", { id: "alternative" }, make("option", { value: "" }, "the plan itself"), plan.alternatives.map((each) => make("option", { value: each }, each)));
    const replications = make("input", { id: "replications", type: "number", min: 1, max: 1000000, value: 300 });
    const until = make("select", { id: "until" }, make("option", { value: "" }, "a number of replications"),
      PRECISE.map((each) => make("option", { value: each }, `until ${each.replace("mean", "the mean").replace(" +-", " is known to \u00b1 ")}`)));
    const seed = make("input", { id: "seed", type: "number", min: 0, value: 0 });
    const many = labelled("Replications", replications);
    until.addEventListener("change", () => {
      many.firstChild.textContent = until.value ? "Replications, at most" : "Replications";
      replications.value = until.value ? Math.max(10000, Number(replications.value)) : 300;
    });
    const start = async (event) => {
      event.preventDefault();
      try {
        const { run } = await post(`plans/${at(plan.name)}/run`, { alternative: alternative.value, replications: Number(replications.value), until: until.value, seed: Number(seed.value) });
        tell(`${run} is in line.`);
        this.look();
      } catch (refused) { say(refused.message); }
    };
    return make("form", { class: "card", onsubmit: start },
      make("h2", {}, "Run this plan"),
      make("p", { class: "quiet" }, "A replication plays the whole pad once, stage by stage, with weather, troubles and durations as luck may have them. 300 of them give dates to about a day; more make the dates surer, not earlier. Several runs may wait in line."),
      make("div", { class: "row low" }, labelled("Play", alternative), labelled("How long", until), many,
        make("button", { class: "main", id: "start", type: "submit" }, "Run")),
      make("details", {}, make("summary", { class: "quiet" }, "Other luck"), labelled("Seed: another number meets other luck; the same number meets the same", seed)));
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
        make("p", {}, this.page.shown ? "Run the plan above. Its dates appear here after the first few replications and sharpen while it goes on. You may close this page meanwhile, and stop a run without losing what was played." : "Begin with a plan; its runs then stand here."),
        this.page.shown ? null : make("button", { type: "button", class: "main", onclick: () => this.page.go("plan") }, "To the plan")));
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
    const act = (path) => async (event) => { event.target.disabled = true; if (path === "cancel") event.target.textContent = "Stopping\u2026"; try { await post(`runs/${at(run.run)}/${path}`); } catch (refused) { say(refused.message); } this.look(); };
    return make("article", { class: "card", "data-run": run.run, "data-state": run.state },
      make("div", { class: "row ends" },
        make("div", { class: "row" }, make("h2", {}, run.run), make("span", { class: "tag" }, run.alternative ?? "the plan itself"),
          make("span", { class: run.state === "done" ? "tag done" : "tag" }, `${stateOf(run)}: ${number(run.done)} of ${run.until ? "at most " : ""}${number(run.asked)} replications`)),
        make("div", { class: "row" },
          run.has_result && !moving ? make("button", { type: "button", class: "main", onclick: () => this.page.see(run.run) }, "See it") : null,
          moving ? make("button", { type: "button", class: "stop", disabled: run.state === "stopping" || run.state === "making files", onclick: act("cancel") }, run.state === "stopping" ? "Stopping\u2026" : "Stop") : null,
          !moving && run.done < run.asked && !run.until && run.plan ? make("button", { type: "button", onclick: act("go-on") }, "Go on with it") : null)),
      moving ? make("progress", { max: Math.max(run.asked, 1), value: run.done, "aria-label": `${run.run}: replications played` }) : null,
      moving ? make("p", { class: "quiet" }, this.remark(run)) : null,
      run.message ? make("p", { class: "wrong" }, run.message) : null,
      run.dates ? dateCards(run.dates) : null,
      moving || run.trace.length < 2 ? sharpening(run.trace, run.start) : make("details", {}, make("summary", { class: "quiet" }, "How the date grew sure"), sharpening(run.trace, run.start)));
  }

  // What goes on, and how long it may still take at the pace so far.
  remark(run) {
    if (run.state === "stopping") return "Stopping: the replications that are being played are finished, then the files of what was played are made. Nothing of it is lost.";
    if (run.state === "waiting") return run.before ? `In line behind ${run.before === 1 ? "one other" : `${run.before} others`}.` : "In line.";
    if (run.state === "making files") return "All are played; the workbook, the calendar and the pictures are being made.";
    const pace = this.paces.get(run.run) ?? this.paces.set(run.run, { from: performance.now(), done: run.done }).get(run.run);
    const each = (performance.now() - pace.from) / 1000 / Math.max(run.done - pace.done, 1e-9);
    const left = each * (run.asked - run.done);
    return run.done - pace.done < 5 ? "Playing." : `Playing; ${run.until ? "at most " : "about "}${left < 90 ? `${Math.ceil(left)} s` : `${Math.ceil(left / 60)} min`} left.`;
  }
}

const stateOf = (run) => ({ waiting: "in line", stopped: run.has_result ? "stopped" : "stopped, can go on" })[run.state] ?? run.state;

export function dateCards(dates) {
  return make("div", { class: "dates" }, Object.entries(dates).map(([name, [, p50, p90]]) => make("div", { class: "date", "data-date": name },
    make("span", { class: "quiet" }, name), make("b", {}, p90.date),
    make("span", {}, "90 % chance done by then (P90)"),
    make("span", { class: "small" }, [p90.low, p90.high].includes("unknown") ? "too few replications yet for an interval" : p90.low === p90.high ? "known to the day" : `95 % interval ${p90.between ?? `${p90.low} to ${p90.high}`}`),
    make("span", {}, `50 % chance done by ${p50.date} (P50)`))));
}

export function labelled(text, control) {
  return make("label", { class: "field" }, make("span", { class: "quiet" }, text), control);
}
