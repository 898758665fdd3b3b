// The tables of a finished run.
import { make, number, table } from "/static/web.js";

const [MOST_ROWS, MOST_PARTS] = [200, 10];
const KINDS = { work: "work", wait: "waits for", trouble: "trouble" };
const COLOUR = { work: "--fracturing", wait: "--wait", trouble: "--trouble" };

const cellOf = (cell) => [cell.date, make("small", {}, cell.between)];

export function dateTable(found) {
  const rows = Object.entries(found.pad).map(([name, row]) => [name, ...row.cells.map(cellOf), [row.averages, make("small", {}, row.later === null ? "beyond the horizon" : `too early in ${number(row.later)} of ${number(found.replications)}`)]]);
  return make("div", {}, table("The pad", ["milestone", "P10", "P50", "P90", "plan of averages"], rows),
    make("p", { class: "quiet" }, `${found.convention} Below each: the 95 % confidence interval. ${number(found.replications)} replications.`));
}

export function wellTable(found) {
  const wells = Object.entries(found.wells);
  const rows = wells.slice(0, MOST_ROWS).map(([well, row]) => [well, ...["Fracturing starts", "Fracturing ends", "On production"].flatMap((name) => [row[name].cells[1].date, row[name].cells[2].date])]);
  return make("div", {}, table("The wells", ["well", "fracturing starts, P50", "P90", "fracturing ends, P50", "P90", "on production, P50", "P90"], rows),
    wells.length > MOST_ROWS ? make("p", { class: "quiet" }, `The first ${MOST_ROWS} of ${number(wells.length)} wells; all of them stand in the workbook.`) : null);
}

export function shares(units) {
  const some = Object.entries(units).slice(0, 60);
  return make("div", {},
    make("div", { class: "key" }, [["work", "work"], ["wait", "waiting"], ["trouble", "trouble of its own"]].map(([kind, said]) => make("span", { style: { "--c": `var(${COLOUR[kind]})` } }, said))),
    some.map(([unit, found]) => make("div", { class: "share" }, make("span", {}, unit),
      make("div", { class: "whole", role: "img", "aria-label": `${unit}: ${inShares(found)}` }, ordered(found).map(([kind, reason, mean]) => make("i", { title: `${KINDS[kind]} ${reason === kind ? "" : reason}: ${percent(mean)}`, style: { "--c": `var(${COLOUR[kind]})`, width: `${100 * mean}%` } }))))),
    make("details", {}, make("summary", {}, "In figures"), make("div", { class: "twin" }, some.map(([unit, found]) => table(unit, ["", "", "share"], found.filter(([, , mean]) => mean >= 0.005).slice(0, 7).map(([kind, reason, mean]) => [KINDS[kind], reason, percent(mean)]), 2)))));
}

const percent = (mean) => `${(100 * mean).toFixed(0)} %`;
const ordered = (found) => ["work", "wait", "trouble"].flatMap((kind) => found.filter((each) => each[0] === kind));
const inShares = (found) => ordered(found).filter(([, , mean]) => mean >= 0.005).map(([kind, reason, mean]) => `${KINDS[kind]} ${reason} ${percent(mean)}`).join(", ");

export function supplyTable(found) {
  if (!found.supplies.length) return null;
  return table("Supplies over the whole plan, P50, in thousand bbl; proppant in thousand lb", ["supply", "offered", "used", "turned away", "lowest in storage", "hours without"], found.supplies.map((each) => [each.supply, ...["offered", "used", "turned_away", "lowest_level"].map((name) => (each[name] === undefined ? "" : number(each[name] / 1000))), each.starved_h === undefined ? "" : number(each.starved_h)]), 1);
}

const sum = (value) => (value === null ? "unknown" : number(value));

export function costTable(found) {
  const listed = (caption, rows) => table(caption, ["of", "what", "P10", "P50", "P90", "unit"], rows.map((each) => [each.of, each.name, sum(each.P10), sum(each.P50), sum(each.P90), each.unit]), 2);
  const sums = found.costs.filter((each) => each.of === "all");
  return make("div", {}, table("Sums", ["what", "P10", "P50", "P90", "unit"], sums.map((each) => [each.name, sum(each.P10), sum(each.P50), sum(each.P90), each.unit]), 1),
    make("details", {}, make("summary", {}, "By kind of cost, by unit, and by what was waited for"), listed("", found.costs.filter((each) => each.of !== "all"))), make("p", { class: "quiet" }, found.of_amounts));
}

export function daysTable(answer) {
  const parts = [...answer.parts].sort((one, other) => other.mean - one.mean);
  const most = Math.max(...parts.map((each) => each.mean), 1);
  const colour = (kind) => ({ Work: "--fracturing", Waiting: "--quiet", Trouble: "--trouble" })[kind] ?? "--other";
  const row = (each) => make("tr", {}, make("th", { scope: "row" }, each.name), make("td", {}, each.kind.toLowerCase()), make("td", { class: "num" }, `${each.days}${each.spread}`),
    make("td", { class: "bars" }, make("span", { class: "long", "aria-hidden": "true", style: { "--c": `var(${colour(each.kind)})`, width: `${(100 * Math.max(each.mean, 0)) / most}%` } })));
  const rows = (some, caption) => make("div", { class: "scroll" }, make("table", { class: "full" }, caption ? make("caption", {}, caption) : null,
    make("thead", {}, make("tr", {}, ["what", "kind", "days", ""].map((each, place) => make("th", { scope: "col", class: place === 2 ? "num" : null }, each)))), make("tbody", {}, some.map(row))));
  return [make("div", { class: "answer" }, answer.sentences.map((each) => make("p", {}, each))),
    rows(parts.slice(0, MOST_PARTS), `Mean days on the way to the last well, ${number(answer.replications)} replications`),
    ...(parts.length > MOST_PARTS ? [make("details", {}, make("summary", {}, `${parts.length - MOST_PARTS} smaller ones`), rows(parts.slice(MOST_PARTS), ""))] : [])];
}
