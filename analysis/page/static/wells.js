// The wells as a sheet: a row each. Cells take what a spreadsheet pastes; arrows move between rows. What is typed in the
// first column waits until it is left: a well is addressed by its name.
import { capital, make } from "/static/web.js";

const ROWS = 100;
let first = 0;

// The page of the sheet on which a well stands is the one that is drawn next.
export function showWell(line) { if (line < first || line >= first + ROWS) first = Math.floor(line / ROWS) * ROWS; }

export function wellSheet(wells, edit, drawn) {
  if (wells.table) return card(`The wells stand in the table ${wells.table} beside the plan: change them there, in a spreadsheet, and save it as CSV.`, rows(wells, edit, true), pages(wells, edit, drawn));
  const adding = make("button", { type: "button", id: "add-well", onclick: () => { showWell(wells.rows.length); edit([{ steps: ["wells", wells.rows.length, "name"], text: nextName(wells) }], true); } }, "Add a well");
  if (!wells.rows.length) return card("No wells are stated yet.", adding);
  return card("A row for each well. Blank cells take what all wells share, shown in italics. Paste cells from a spreadsheet anywhere: rows below the last become new wells.", rows(wells, edit, false), make("div", { class: "row" }, adding, pages(wells, edit, drawn)));
}

function card(text, ...parts) {
  return make("div", { class: "card", id: "wells" }, make("h2", {}, "Wells"), make("p", { class: "quiet" }, text), ...parts);
}

function rows(wells, edit, fixed) {
  if (first >= wells.rows.length) first = 0;
  const shown = wells.rows.slice(first, first + ROWS);
  const sizes = wells.columns.map((each, column) => Math.min(28, Math.max(5, each.shared.length, ...shown.map((row) => row.cells[column].length)) + 1));
  const cell = (row, text, column, line) => {
    const path = wells.columns[column].path;
    const input = make("input", {
      "data-where": `${row.where}.${path}`, "data-row": line, "data-column": column, "aria-label": `${wells.columns[column].label} of ${row.cells[0] || `well ${line + 1}`}`,
      placeholder: wells.columns[column].shared, autocomplete: "off", spellcheck: "false", readonly: fixed, style: { "min-width": `calc(${sizes[column]}ch + .7rem)` }, title: `Expected: ${wells.columns[column].expected}`,
      oninput: column ? (event) => { sent = event.target.value; edit.typed(steps(line, path), sent); } : null,
      onchange: (event) => { if (event.target.value !== sent) edit([{ steps: steps(line, path), text: event.target.value }], column === 0); },
    });
    let sent = text;
    input.value = text;
    return make("td", {}, input);
  };
  const sheet = make("table", { class: "sheet" },
    make("thead", {}, make("tr", {}, wells.columns.map((each) => make("th", { scope: "col", title: `Expected: ${each.expected}` }, capital(each.label))), fixed ? null : make("th", {}, make("span", { class: "small" }, "")))),
    make("tbody", {}, shown.map((row, place) => make("tr", {}, row.cells.map((text, column) => cell(row, text, column, first + place)),
      fixed ? null : make("td", { class: "tool" }, make("button", { type: "button", "aria-label": `Remove ${row.cells[0]}`, title: "Remove this well", onclick: () => edit([{ steps: ["wells", first + place], remove: true }], true) }, "\u2715"))))));
  if (!fixed) sheet.addEventListener("paste", (event) => pasted(event, wells, edit));
  sheet.addEventListener("keydown", (event) => move(event, sheet));
  return make("div", { class: "scroll tall" }, sheet);
}

const steps = (line, path) => ["wells", line, ...path.split(".")];

function pasted(event, wells, edit) {
  const text = event.clipboardData.getData("text/plain");
  if (!/[\t\n]/.test(text.trimEnd())) return;
  event.preventDefault();
  const { row, column } = event.target.dataset;
  let lines = text.replace(/\r/g, "").replace(/\n+$/, "").split("\n").map((line) => line.split("\t"));
  let columns = lines[0].map((_, place) => Number(column) + place);
  const said = (each) => each.trim().toLowerCase().replaceAll("_", " ");
  const named = lines[0].map((each) => wells.columns.findIndex((known) => [said(known.path), said(known.label)].includes(said(each))));
  if (lines.length > 1 && named.every((each) => each >= 0)) { columns = named; lines = lines.slice(1); }
  const edits = [];
  lines.forEach((cells, down) => {
    const line = Number(row) + down;
    const order = cells.map((cell, place) => [columns[place], cell.trim()]).filter(([to]) => to < wells.columns.length);
    if (line >= wells.rows.length && !order.some(([to, cell]) => to === 0 && cell)) edits.push({ steps: ["wells", line, "name"], text: `Well ${line + 1}` });
    for (const [to, cell] of order.sort((a, b) => a[0] - b[0])) if (cell || line < wells.rows.length) edits.push({ steps: steps(line, wells.columns[to].path), text: cell });
  });
  edit(edits, true);
}

function move(event, sheet) {
  const down = { ArrowDown: 1, Enter: 1, ArrowUp: -1 }[event.key];
  if (!down) return;
  const { row, column } = event.target.dataset;
  const next = sheet.querySelector(`[data-row="${Number(row) + down}"][data-column="${column}"]`);
  if (next) { event.preventDefault(); next.focus(); next.select(); }
}

function pages(wells, edit, drawn) {
  if (wells.rows.length <= ROWS) return null;
  const turn = (by) => (event) => { first = Math.max(0, Math.min(first + by, wells.rows.length - 1)); event.target.closest("#wells").replaceWith(wellSheet(wells, edit, drawn)); drawn(); };
  return make("span", { class: "row" },
    make("button", { type: "button", onclick: turn(-ROWS), disabled: first === 0 }, "Wells before"),
    make("span", { class: "quiet" }, `Wells ${first + 1} to ${Math.min(first + ROWS, wells.rows.length)} of ${wells.rows.length}`),
    make("button", { type: "button", onclick: turn(ROWS), disabled: first + ROWS >= wells.rows.length }, "Wells after"));
}

function nextName(wells) {
  const last = wells.rows.at(-1)?.cells[0] ?? "";
  const counted = last.match(/^(.*?)(\d+)$/);
  return counted ? `${counted[1]}${Number(counted[2]) + 1}` : `Well ${wells.rows.length + 1}`;
}
