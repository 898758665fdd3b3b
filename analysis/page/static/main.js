// The page as a whole: which plan, which step, light or dark.
import { at, find, get, make, post, say, tell } from "/static/web.js";
import { PlanPanel } from "/static/plan.js";
import { RunPanel } from "/static/runs.js";
import { SeePanel } from "/static/see.js";
import { DecidePanel } from "/static/decide.js";

const STEPS = ["plan", "run", "see", "decide"];
export const page = { plan: null, step: "plan", run: null };
const panels = {
  plan: new PlanPanel(find("panel-plan"), page),
  run: new RunPanel(find("panel-run"), page),
  see: new SeePanel(find("panel-see"), page),
  decide: new DecidePanel(find("panel-decide"), page),
};

page.go = (step) => {
  page.step = step;
  say("");
  for (const each of STEPS) {
    const tab = find(`tab-${each}`);
    tab.setAttribute("aria-selected", each === step);
    tab.tabIndex = each === step ? 0 : -1;
    find(`panel-${each}`).hidden = each !== step;
  }
  remember();
  for (const each of STEPS) if (each !== step) panels[each].hide?.();
  panels[step].show();
};
page.see = (run) => { page.run = run; page.go("see"); };
page.titled = (title) => { find("plan-title").textContent = title; };

function remember() {
  const parts = [page.step, page.plan, page.run].map((part) => encodeURIComponent(part ?? ""));
  history.replaceState(null, "", `#${parts.join("/")}`);
}

async function choose(plan) {
  page.plan = plan;
  find("plan-choice").value = plan ?? "";
  page.titled("");
  await panels.plan.open();
  if (page.plan === plan) page.go(page.step);
}

async function listPlans(chosen) {
  const desk = await get("desk");
  const choice = find("plan-choice");
  choice.replaceChildren(...desk.plans.map((name) => make("option", { value: name }, name)));
  choice.disabled = !desk.plans.length;
  if (!desk.plans.length) choice.append(make("option", {}, "no plan yet"));
  find("cautions").querySelector("summary").textContent = desk.caution;
  find("cautions").querySelector("ul").replaceChildren(...desk.cautions.map((each) => make("li", {}, each)));
  page.folder = desk.folder;
  await choose(desk.plans.includes(chosen) ? chosen : desk.plans[0] ?? null);
}

page.add = async (name, text) => {
  try {
    await post(`plans/${at(name)}/add`, text === undefined ? {} : { text });
    page.step = "plan";
    await listPlans(name);
    tell(`${name} was added to ${page.folder}.`);
  } catch (refused) { say(refused.message); }
};

function asName(text) {
  const name = text.trim();
  return /\.ya?ml$/.test(name) ? name : `${name}.yaml`;
}

const naming = find("naming");
find("new-plan").addEventListener("click", () => { naming.showModal(); find("new-name").select(); });
find("naming-not").addEventListener("click", () => naming.close());
naming.querySelector("form").addEventListener("submit", (event) => {
  event.preventDefault();
  naming.close();
  page.add(asName(find("new-name").value));
});
find("upload").addEventListener("change", async (event) => {
  const [file] = event.target.files;
  event.target.value = "";
  if (!file) return;
  if (/\.csv$/i.test(file.name)) return say(`${file.name}: a table; put it into ${page.folder} beside the plan that names it, or paste its rows into the wells`);
  if (file.size > 2_000_000) return say(`${file.name}: larger than 2 MB; expected a scenario file`);
  try {
    await page.add(asName(file.name), new TextDecoder("utf-8", { fatal: true }).decode(await file.arrayBuffer()));
  } catch { say(`${file.name}: not UTF-8 text; expected a scenario file, saved as UTF-8`); }
});
find("plan-choice").addEventListener("change", (event) => choose(event.target.value));
find("tabs").addEventListener("click", (event) => {
  const step = event.target.closest("[role=tab]")?.id.replace("tab-", "");
  if (STEPS.includes(step)) page.go(step);
});
find("tabs").addEventListener("keydown", (event) => {
  const move = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
  if (!move) return;
  const next = STEPS[(STEPS.indexOf(page.step) + move + STEPS.length) % STEPS.length];
  page.go(next);
  find(`tab-${next}`).focus();
});

function look(value) {
  document.documentElement.dataset.look = value;
  localStorage.setItem("look", value);
}
look(localStorage.getItem("look") ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light"));
find("look").addEventListener("click", () => look(document.documentElement.dataset.look === "dark" ? "light" : "dark"));

const [step, plan, run] = location.hash.slice(1).split("/").map(decodeURIComponent);
page.step = STEPS.includes(step) ? step : "plan";
page.run = run || null;
listPlans(plan).catch((refused) => say(refused.message));
