// The plan: its wells as a sheet, every other value as a field, and the file's own text; checked as one types.
import { at, capital, get, make, post, say, tell } from "/static/web.js";
import { homeOf, sectionCards, sectionNav } from "/static/sections.js";
import { Sending } from "/static/sending.js";
import { showWell, wellSheet } from "/static/wells.js";

const REST_MS = 1200;

export class PlanPanel {
  constructor(root, page) {
    Object.assign(this, { root, page, plan: null, section: "plan", sending: null });
    document.addEventListener("visibilitychange", () => { if (document.hidden && this.sending?.pending) this.sending.now(); });
  }

  async open() {
    this.plan = this.page.shown = this.sending = null;
    clearTimeout(this.rest);
    this.root.replaceChildren();
    if (!this.page.plan) return this.teach();
    const name = this.page.plan;
    try {
      const plan = await get(`plans/${at(name)}`);
      if (this.page.plan !== name) return; // another was chosen meanwhile
      this.take(plan);
      this.section = this.plan.sections ? "wells" : "text";
      const own = (act) => (given) => { if (this.sending === sending) act(given); }; // of a plan that was left, nothing is shown
      const sending = (this.sending = new Sending(name, plan.version, {
        begun: own(() => { this.saved.textContent = "checking\u2026"; }),
        taken: own((given) => this.changed(given)),
        settled: own((anew) => { if (anew) this.draw(); else this.refresh(); this.look(); }),
      }));
      this.draw();
      if (!this.plan.saved) say("Changes of this plan that were not saved were kept, and are shown. Save them, or go back to the file.");
      this.sending.recall();
    } catch (refused) { say(refused.message); }
  }

  show() { if (this.plan) this.page.titled(this.plan.title ?? ""); }

  teach() {
    this.root.replaceChildren(make("div", { class: "empty" },
      make("h2", {}, "Begin with a plan"),
      make("p", {}, "A plan says which wells there are, when the drilling rig leaves each, which crews and units come, how much water there is, and in which order it is done. It is one text file that stays yours."),
      make("ol", {}, ["Plan: state it, and see at once what cannot be.", "Run: play it hundreds of times, stage by stage, with the luck that it may meet.", "See: by when each well has a 10, 50 or 90 % chance of being on production, and what it waits for.", "Decide: move the numbers that matter, and set alternatives side by side."].map((each) => make("li", {}, each))),
      make("button", { class: "main", type: "button", onclick: () => this.page.add("my pad.yaml") }, "Start from an example with remarks"),
      make("p", { class: "quiet" }, "Its numbers are invented: change each to yours. Or upload a plan above.")));
  }

  take(plan) {
    this.plan = plan;
    this.page.shown = plan;
    this.page.titled(plan.title ?? "");
  }

  changed(plan) {
    const formless = !this.plan.sections;
    const before = this.plan;
    this.take(plan.checked ? plan : { ...plan, strategy: before.strategy, averages: before.averages, starts: before.starts, stages: before.stages });
    if (formless && plan.sections && this.section !== "text") this.sending.redraw = true;
  }

  // A large plan is looked at throughout once nobody types.
  look() {
    clearTimeout(this.rest);
    if (this.plan.checked || this.sending.pending) return;
    const { version } = this.plan;
    this.rest = setTimeout(async () => {
      const whole = await get(`plans/${at(this.plan.name)}`).catch(() => null);
      if (whole?.version === version && this.plan.version === version && !this.sending.pending) { this.take(whole); this.refresh(); }
    }, REST_MS);
  }

  draw() {
    const held = this.held();
    this.bar = make("div", { class: "bar" });
    this.problems = make("div");
    this.side = make("div");
    this.body = make("div");
    this.root.replaceChildren(this.bar, this.problems, make("div", { class: "split" }, this.side, this.body));
    this.refresh();
    this.drawBody();
    held();
  }

  refresh() {
    this.drawBar();
    this.drawProblems();
    this.drawSide();
    this.mark();
  }

  drawSide() {
    keepingFocus(this.side, () => this.side.replaceChildren(sectionNav(this.plan, this.section, (key) => this.choose(key))));
  }

  choose(key) {
    this.section = key;
    this.drawSide();
    const onItsWay = this.sending.pending || this.sending.busy; // then all is drawn once more, with what was typed last
    if (onItsWay && key === "text") this.body.replaceChildren(); else this.drawBody();
    if (onItsWay) this.sending.now(true);
  }

  // What is being typed in stays what and where it is while all around it is drawn anew.
  held() {
    const was = document.activeElement;
    if (!this.root.contains(was) || !was.dataset?.where) return () => {};
    const { value, selectionStart } = was;
    const scroll = was.closest(".scroll");
    const [top, left] = [scroll?.scrollTop ?? 0, scroll?.scrollLeft ?? 0];
    const line = was.dataset.row === undefined ? `[data-where="${CSS.escape(was.dataset.where)}"]` : `[data-row="${was.dataset.row}"][data-column="${was.dataset.column}"]`;
    return () => {
      const now = this.body.querySelector(line);
      if (!now) return;
      now.value = value;
      now.focus({ preventScroll: true });
      try { now.setSelectionRange(selectionStart, selectionStart); } catch { /* a choice has none */ }
      now.closest(".scroll")?.scrollTo(left, top);
    };
  }

  drawBar() {
    const { saved, problems, averages, strategy, starts, stages, wells, checked } = this.plan;
    const fine = !problems.length;
    this.saved = make("span", { class: "tag", id: "saved" }, this.sending?.pending ? "checking\u2026" : saved ? "as in the file" : "not saved; kept as a draft");
    const facts = fine && starts ? [["Wells", wells?.rows.length], ["Stages", stages], ["Starts", starts], ["Strategy", capital(strategy)], ["A plan of averages promises the last well by", averages]] : [];
    keepingFocus(this.bar, () => this.bar.replaceChildren(make("div", { class: "row" },
      make("button", { type: "button", class: saved ? null : "main", id: "save", disabled: saved, onclick: () => this.save() }, "Save"),
      make("button", { type: "button", id: "discard", disabled: saved, onclick: () => this.discard() }, "Back to the file"),
      this.saved,
      fine ? make("button", { type: "button", class: saved ? "main" : null, id: "to-run", onclick: () => this.page.go("run") }, "Run this plan") : null,
      make("span", { class: fine ? "fine" : "wrong", id: "verdict" }, fine ? (checked ? "No mistakes." : "No mistakes so far; still looking at the alternatives\u2026") : `${count(problems.length + this.plan.more_problems)} to put right before it can be played`))));
    this.facts = facts;
  }

  drawProblems() {
    const { problems, more_problems: more, warnings = [] } = this.plan;
    const parts = this.facts.length ? [make("dl", { class: "facts" }, this.facts.map(([name, value]) => make("div", {}, make("dt", {}, name), make("dd", {}, String(value)))))] : [];
    if (warnings.length) parts.push(make("details", { class: "warn" }, make("summary", {}, warnings.length === 1 ? "One warning" : `${warnings.length} warnings`), warnings.map((each) => make("p", {}, each))));
    if (problems.length) parts.push(make("div", { class: "problems", role: "alert" },
      make("strong", {}, `${count(problems.length + more)} to put right`),
      make("ul", {}, problems.slice(0, 40).map((each) => make("li", {},
        make("button", { type: "button", class: "plain", onclick: () => this.goTo(each) }, each.where || `line ${each.line}`),
        ` ${each.message}`, each.line ? make("span", { class: "quiet" }, ` (line ${each.line})`) : null))),
      more + Math.max(0, problems.length - 40) ? make("p", { class: "quiet" }, `and ${more + Math.max(0, problems.length - 40)} more`) : null));
    this.problems.replaceChildren(...parts);
  }

  drawBody() {
    if (this.section === "text" || !this.plan.sections) this.body.replaceChildren(this.wholeText());
    else if (this.section === "wells") this.body.replaceChildren(wellSheet(this.plan.wells, this.cellEdits(), () => this.mark()));
    else this.body.replaceChildren(...sectionCards(this.plan.sections.find((each) => each.key === this.section) ?? this.plan.sections[0], () => this.plan, this.sending));
    this.mark();
  }

  cellEdits() {
    const { sending } = this;
    return Object.assign((edits, redraw) => sending.edit(edits, redraw), { typed: (steps, text) => sending.typed(steps, text) });
  }

  wholeText() {
    const area = make("textarea", { id: "whole", "aria-label": "The whole plan as text", rows: 32, spellcheck: "false", oninput: (event) => this.sending.retyped(event.target.value) });
    area.value = this.plan.text;
    return make("div", { class: "card" }, make("h2", {}, "The whole file"),
      make("p", { class: "quiet" }, this.plan.sections ? "The file is the plan: remarks behind # are kept." : "This text cannot be read as a plan yet: put right what is named above, and the forms come back."), area);
  }

  // Each message beside the field that it is about; what is inside a field counts for the field.
  mark() {
    for (const old of this.body.querySelectorAll(".wrong")) old.remove();
    for (const old of this.body.querySelectorAll(".bad")) old.classList.remove("bad");
    for (const control of this.body.querySelectorAll("[aria-invalid]")) { control.removeAttribute("aria-invalid"); control.removeAttribute("aria-errormessage"); }
    this.plan.problems.forEach((each, place) => {
      const control = fieldOf(this.body, each.where);
      if (!control) return;
      const holder = control.closest("td, .field");
      holder.classList.add("bad");
      control.setAttribute("aria-invalid", "true");
      control.setAttribute("aria-errormessage", `wrong-${place}`);
      holder.append(make("p", { class: "wrong", id: `wrong-${place}` }, each.message));
    });
  }

  goTo(problem) {
    const well = this.plan.wells?.rows.findIndex((row) => problem.where === row.where || problem.where.startsWith(`${row.where}.`)) ?? -1;
    if (well >= 0) showWell(well);
    this.choose(homeOf(problem.where, this.plan));
    const control = fieldOf(this.body, problem.where) ?? this.body.querySelector("textarea");
    control?.closest("details")?.setAttribute("open", "");
    control?.focus();
    if (control?.id === "whole" && problem.line) {
      const before = this.plan.text.split("\n").slice(0, problem.line - 1).join("\n").length;
      control.setSelectionRange(before + 1, before + 1 + (this.plan.text.split("\n")[problem.line - 1] ?? "").length);
      control.scrollTop = Math.max(0, (problem.line - 6) * 20);
    }
  }

  async save() {
    try {
      await this.sending.now();
      this.take(await post(`plans/${at(this.page.plan)}/save`, { version: this.plan.version }));
      this.refresh();
      tell(`Saved ${this.plan.name}.`);
    } catch (refused) { say(refused.message); }
  }

  async discard() {
    if (!confirm("Throw away all changes that are not saved?")) return;
    try {
      this.take(await post(`plans/${at(this.page.plan)}/discard`));
      this.sending.version = this.plan.version;
      this.draw();
    } catch (refused) { say(refused.message); }
  }
}

// Who works by keyboard stays on the button that is drawn anew; where it can no longer be pressed, on the next that can.
function keepingFocus(holder, redraw) {
  const was = holder.contains(document.activeElement) ? document.activeElement : null;
  const known = was?.dataset.section ? `[data-section="${was.dataset.section}"]` : was?.id ? `#${was.id}` : null;
  redraw();
  const now = known && holder.querySelector(known);
  (now?.disabled ? holder.querySelector("button:not(:disabled)") : now)?.focus({ preventScroll: true });
}

function fieldOf(body, where) {
  for (let part = where; part; part = part.includes(".") ? part.slice(0, part.lastIndexOf(".")) : "") {
    const found = [...body.querySelectorAll("[data-where]")].find((each) => each.dataset.where === part);
    if (found) return found;
  }
  return null;
}

const count = (n) => (n === 1 ? "1 mistake" : `${n} mistakes`);
