// The plan: its wells as a sheet, every other value as a field, and the file's own text; checked as one types.
import { at, find, get, make, post, say } from "/static/web.js";
import { wellSheet } from "/static/wells.js";

const TYPING_MS = 350;

export class PlanPanel {
  constructor(root, page) {
    Object.assign(this, { root, page, plan: null, section: "plan", waiting: [], busy: false, unsent: null });
    document.addEventListener("visibilitychange", () => { if (document.hidden && this.plan) this.send(); });
  }

  async open() {
    this.plan = null;
    this.root.replaceChildren();
    if (!this.page.plan) return this.teach();
    try {
      this.take(await get(`plans/${at(this.page.plan)}`));
      this.section = this.plan.sections ? "wells" : "text";
      this.draw();
      if (!this.plan.saved) say("Unsaved changes of this plan were kept, and are shown. Save them, or go back to the file.");
    } catch (refused) { say(refused.message); }
  }

  show() { if (this.plan) this.page.titled(this.plan.title ?? ""); }

  teach() {
    this.root.replaceChildren(make("div", { class: "empty" },
      make("h2", {}, "Begin with a plan"),
      make("p", {}, "A plan says which wells there are, when the rig leaves each, which crews come, how much water there is, and in which order it is done. It is one text file that stays yours."),
      make("p", {}, "padtempo plays it hundreds of times, stage by stage, and says by when each well has a 10, 50 or 90 % chance of being on production."),
      make("button", { class: "main", type: "button", onclick: () => this.page.add("my pad.yaml") }, "Start from the annotated starter"),
      make("p", { class: "quiet" }, "Its numbers are invented: change each to yours. Or upload a plan above.")));
  }

  take(plan) {
    this.plan = plan;
    this.page.shown = plan;
    this.page.titled(plan.title ?? "");
  }

  draw() {
    this.bar = make("div", { class: "bar" });
    this.problems = make("div");
    this.side = make("nav", { class: "side", "aria-label": "Sections of the plan" });
    this.body = make("div");
    this.root.replaceChildren(this.bar, this.problems, make("div", { class: "split" }, this.side, this.body));
    this.drawBar();
    this.drawProblems();
    this.drawSide();
    this.drawBody();
  }

  refresh() {
    this.drawBar();
    this.drawProblems();
    this.drawSide();
    this.mark();
  }

  drawBar() {
    const { saved, problems, averages, strategy } = this.plan;
    const fine = !problems.length;
    this.bar.replaceChildren(make("div", { class: "row" },
      make("button", { type: "button", class: saved ? null : "main", id: "save", disabled: saved, onclick: () => this.save() }, "Save"),
      make("button", { type: "button", id: "discard", disabled: saved, onclick: () => this.discard() }, "Back to the file"),
      make("span", { class: "tag", id: "saved" }, this.busy ? "checking" : saved ? "as in the file" : "not saved; kept as a draft"),
      fine ? make("button", { type: "button", id: "to-run", onclick: () => this.page.go("run") }, "Run this plan") : null,
      make("span", { class: fine ? "fine" : "wrong", id: "verdict" }, fine
        ? `No mistakes. ${capital(strategy)}; a plan of averages would promise the last well by ${averages}.`
        : `${count(problems.length + this.plan.more_problems)} to put right before it can be played`)));
  }

  drawProblems() {
    const { problems, more_problems: more, warnings = [] } = this.plan;
    const parts = warnings.length ? [make("details", { class: "warn" }, make("summary", {}, warnings.length === 1 ? "One warning" : `${warnings.length} warnings`), warnings.map((each) => make("p", {}, each)))] : [];
    if (problems.length) parts.push(make("div", { class: "problems", role: "alert" },
      make("strong", {}, `${count(problems.length + more)} to put right`),
      make("ul", {}, problems.slice(0, 40).map((each) => make("li", {},
        make("button", { type: "button", class: "plain", onclick: () => this.goTo(each) }, each.where || `line ${each.line}`),
        ` ${each.message}`, each.line ? make("span", { class: "quiet" }, ` (line ${each.line})`) : null)))));
    this.problems.replaceChildren(...parts);
  }

  drawSide() {
    const entries = [["wells", "wells", true], ...(this.plan.sections ?? []).map((each) => [each.key, each.title, each.fields.length > 0]), ["text", "the whole file", true]];
    const order = (entry) => (entry[2] ? 0 : 1);
    entries.sort((a, b) => order(a) - order(b));
    this.side.replaceChildren(make("ul", {}, entries.map(([key, title, stated]) => {
      const wrong = this.plan.problems.filter((each) => homeOf(each.where, this.plan) === key).length;
      return make("li", {}, make("button", {
        type: "button", class: stated ? null : "absent", "aria-current": key === this.section, "data-section": key,
        onclick: () => { this.section = key; this.drawSide(); this.drawBody(); },
      }, title, wrong ? make("span", { class: "count", "aria-label": `${wrong} to put right` }, String(wrong)) : null,
      stated ? null : make("span", { class: "small" }, "not stated")));
    })));
  }

  drawBody() {
    if (this.section === "text" || !this.plan.sections) return this.body.replaceChildren(this.wholeText());
    if (this.section === "wells") this.body.replaceChildren(wellSheet(this.plan.wells, (edits, redraw) => this.edit(edits, redraw)));
    else this.body.replaceChildren(...this.sectionCards(this.plan.sections.find((each) => each.key === this.section) ?? this.plan.sections[0]));
    this.mark();
  }

  sectionCards(section) {
    const groups = Map.groupBy ? Map.groupBy(section.fields, (each) => each.group) : grouped(section.fields);
    const fields = [...groups].map(([group, own]) => [
      group && group !== section.title ? make("h3", {}, capital(group.replace(`${section.title} \u00b7 `, ""))) : null,
      make("div", { class: "fields" }, own.map((each) => this.field(each)))]);
    const cards = [make("div", { class: "card" },
      make("h2", {}, capital(section.title)), make("p", { class: "quiet" }, capital(section.meaning)),
      section.fields.length ? fields : make("p", {}, "Nothing is stated here. Write it below, as it would stand in the file."))];
    if (section.key !== "plan") cards.push(this.ownText(section));
    if (section.unsaid.length) cards.push(this.unsaid(section));
    return cards;
  }

  field(field) {
    const id = `f-${field.where}`;
    const common = { id, "data-where": field.where, "aria-describedby": `${id}-hint` };
    const changed = (event) => this.typed(field.steps, event.target.value);
    const control = field.choices.length
      ? make("select", { ...common, onchange: changed }, ["", ...new Set([...field.choices, field.value].filter(Boolean))].map((each) => make("option", { value: each }, each || "not stated")))
      : make("input", { ...common, oninput: changed, autocomplete: "off", spellcheck: "false" });
    control.value = field.value;
    return make("div", { class: "field" }, make("label", { for: id }, field.label), control,
      make("span", { class: "hint", id: `${id}-hint` }, `Expected: ${field.expected}`));
  }

  unsaid(section) {
    return make("details", { class: "card" },
      make("summary", {}, `${section.unsaid.length} values are not stated; these are taken instead`),
      make("div", { class: "scroll" }, make("table", {},
        make("thead", {}, make("tr", {}, ["value", "taken instead", "source", ""].map((each) => make("th", { scope: "col" }, each)))),
        make("tbody", {}, section.unsaid.map((each) => make("tr", {},
          make("th", { scope: "row" }, each.label, each.meaning === each.label ? null : make("span", { class: "small" }, each.meaning)),
          make("td", {}, each.value), make("td", {}, each.source),
          make("td", {}, each.steps.length ? make("button", { type: "button", "aria-label": `State ${each.label}`, onclick: () => this.state(each) }, "State it") : null)))))));
  }

  state(each) {
    const value = prompt(`${each.label}\nExpected: ${each.expected}`, each.value);
    if (value?.trim()) this.edit([{ steps: each.steps, text: value }], true);
  }

  ownText(section) {
    const lines = this.plan.text.split("\n");
    const [first, end] = section.lines.length ? section.lines : [lines.length, lines.length];
    const area = make("textarea", {
      "aria-label": `${section.title} as text`, rows: 12, spellcheck: "false", class: "own",
      oninput: (event) => this.retype([...lines.slice(0, first), ...event.target.value.replace(/\n$/, "").split("\n"), ...lines.slice(end)].join("\n")),
    });
    area.value = section.lines.length ? lines.slice(first, end).join("\n") : "";
    area.placeholder = `${section.key}:\n  ...`;
    return make("details", { class: "card", open: !section.fields.length },
      make("summary", {}, `${capital(section.title)} as text, as it stands in the file`), area);
  }

  wholeText() {
    const area = make("textarea", { id: "whole", "aria-label": "The whole plan as text", rows: 32, spellcheck: "false", oninput: (event) => this.retype(event.target.value) });
    area.value = this.plan.text;
    return make("div", { class: "card" }, make("h2", {}, "The whole file"),
      make("p", { class: "quiet" }, this.plan.sections ? "The file is the plan: remarks behind # are kept." : "This text cannot be read as a plan yet: put right what is named above, and the forms come back."), area);
  }

  typed(steps, text) {
    this.waiting = this.waiting.filter((each) => JSON.stringify(each.steps) !== JSON.stringify(steps));
    this.waiting.push({ steps, text });
    this.soon();
  }

  retype(text) { this.unsent = text; this.soon(); }

  soon() {
    find("saved").textContent = "checking";
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.send(), TYPING_MS);
  }

  edit(edits, redraw) {
    this.waiting.push(...edits);
    return this.send(redraw);
  }

  // One change at a time: what is typed meanwhile goes with the next one.
  async send(redraw = false) {
    clearTimeout(this.timer);
    this.redraw ||= redraw;
    if (this.busy) return this.under;
    this.busy = true;
    this.under = this.sending();
    return this.under;
  }

  async sending() {
    try {
      while (this.unsent !== null || this.waiting.length) {
        const body = this.unsent !== null ? { text: this.unsent } : { edits: this.waiting };
        if (this.unsent !== null) this.unsent = null; else this.waiting = [];
        const formless = !this.plan.sections;
        this.take(await post(`plans/${at(this.page.plan)}/change`, { version: this.plan.version, ...body }));
        this.wrongEdit = null;
        if (formless && this.plan.sections && this.section !== "text") this.redraw = true;
        say("");
      }
    } catch (refused) {
      say(refused.message);
      if (refused.message.includes("elsewhere")) { this.take(await get(`plans/${at(this.page.plan)}`)); this.redraw = true; }
      else this.wrongEdit = refused.message;
    }
    this.busy = false;
    if (this.redraw) { this.redraw = false; this.draw(); } else this.refresh();
  }

  // Each message beside the field that it is about; what is inside a field counts for the field.
  mark() {
    for (const old of this.body.querySelectorAll(".wrong")) old.remove();
    for (const old of this.body.querySelectorAll(".bad")) old.classList.remove("bad");
    for (const each of this.plan.problems) {
      const control = fieldOf(this.body, each.where);
      if (!control) continue;
      const holder = control.closest("td, .field");
      holder.classList.add("bad");
      control.setAttribute("aria-invalid", "true");
      if (holder.matches(".field")) holder.append(make("p", { class: "wrong" }, each.message));
      else control.title = each.message;
    }
    for (const control of this.body.querySelectorAll("[aria-invalid]")) if (!control.closest(".bad")) { control.removeAttribute("aria-invalid"); control.removeAttribute("title"); }
  }

  goTo(problem) {
    this.section = homeOf(problem.where, this.plan);
    this.drawSide();
    this.drawBody();
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
      await this.send();
      this.take(await post(`plans/${at(this.page.plan)}/save`, { version: this.plan.version }));
      this.refresh();
      say(`Saved ${this.plan.name}.`);
    } catch (refused) { say(refused.message); }
  }

  async discard() {
    if (!confirm("Throw away all changes that are not saved?")) return;
    this.take(await post(`plans/${at(this.page.plan)}/discard`));
    this.draw();
  }
}

function fieldOf(body, where) {
  for (let part = where; part; part = part.includes(".") ? part.slice(0, part.lastIndexOf(".")) : "") {
    const found = [...body.querySelectorAll("[data-where]")].find((each) => each.dataset.where === part);
    if (found) return found;
  }
  return null;
}

function homeOf(where, plan) {
  const first = where.split(/[.[]/)[0];
  if (!first || !plan.sections) return "text";
  if (first === "wells") return "wells";
  if (plan.sections.some((each) => each.key === first)) return first;
  return ["title", "start", "horizon", "trouble_factor"].includes(first) ? "plan" : "text";
}

function grouped(fields) {
  const groups = new Map();
  for (const each of fields) groups.set(each.group, [...(groups.get(each.group) ?? []), each]);
  return groups;
}

const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);
const count = (n) => (n === 1 ? "1 mistake" : `${n} mistakes`);
