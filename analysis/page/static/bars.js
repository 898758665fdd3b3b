// Who was where and when in one replication: a row each, with zoom; pointing at a piece says what it is and why so long.
import { day, make, tipFor } from "/static/web.js";
import { dateTicks } from "/static/chart.js";
import { colourOf, inWords, isReckoned, now, whyItTakes } from "/static/pieces.js";

const [ROW, TOP] = [26, 24];

export function bars(rows, start, lastHour, label, explain) {
  let [from, to] = [0, lastHour];
  const names = Object.keys(rows);
  const picked = { row: 0, piece: null };
  const canvas = make("canvas", { tabindex: 0, role: "application", "aria-roledescription": "bars over time", "aria-label": `${label}. Up and down choose a row, left and right go from piece to piece, Enter shows its arithmetic, plus and minus zoom.` });
  const holder = make("div", { class: "scroll tall" }, make("div", { class: "drawn" }, canvas), make("div", { style: { height: "0px" } }));
  const read = make("p", { class: "read", "aria-live": "polite" });
  const sum = make("div");
  const width = () => Math.max(holder.clientWidth - 2, 300);
  const left = () => (width() < 560 ? 96 : 160);
  const whole = names.length * ROW + TOP + 6;
  const height = Math.min(whole, Math.round(innerHeight * 0.66));
  const x = (h) => left() + ((h - from) / (to - from)) * (width() - left() - 8);

  const draw = () => {
    if (!holder.isConnected || !holder.clientWidth) return;
    const colour = colours();
    canvas.width = width() * devicePixelRatio;
    canvas.height = height * devicePixelRatio;
    canvas.style.width = `${width()}px`;
    canvas.style.height = `${height}px`;
    const pen = canvas.getContext("2d");
    pen.scale(devicePixelRatio, devicePixelRatio);
    pen.font = "12px system-ui, sans-serif";
    const first = Math.floor(holder.scrollTop / ROW);
    names.slice(first, first + Math.ceil(height / ROW)).forEach((name, k) => drawRow(pen, colour, name, TOP + k * ROW, first + k));
    drawDates(pen, colour);
  };

  function drawRow(pen, colour, name, top, place) {
    for (const piece of rows[name]) {
      if (piece[1] < from || piece[0] > to) continue;
      const kind = colourOf(piece);
      const [begin, end] = [Math.max(x(piece[0]), left()), Math.min(x(piece[1]), width() - 8)];
      pen.fillStyle = colour(kind);
      pen.fillRect(begin, kind === "wait" ? top + 8 : top + 3, Math.max(end - begin, 0.6), kind === "wait" ? ROW - 17 : ROW - 7);
      if (picked.row !== place || picked.piece !== piece) continue;
      pen.strokeStyle = colour("focus");
      pen.lineWidth = 2.5;
      pen.strokeRect(begin - 1.5, top + 1.5, Math.max(end - begin, 0.6) + 3, ROW - 4);
    }
    pen.fillStyle = colour("ink");
    const letters = Math.floor(left() / 7.2);
    pen.fillText(name.length > letters ? `${name.slice(0, letters - 1)}\u2026` : name, 0, top + ROW / 2 + 2);
  }

  function drawDates(pen, colour) {
    pen.textAlign = "center";
    for (const tick of dateTicks(from, to, Math.floor((width() - left()) / 80))) {
      pen.fillStyle = colour("quiet");
      pen.fillText(day(start, tick), x(tick), 14);
      pen.globalAlpha = 0.35;
      pen.fillRect(x(tick), 20, 1, height);
      pen.globalAlpha = 1;
    }
    pen.textAlign = "left";
  }

  const zoom = (factor, middle = (from + to) / 2) => {
    const span = Math.min(Math.max((to - from) * factor, 6), lastHour);
    from = Math.min(Math.max(middle - (span * (middle - from)) / (to - from), 0), lastHour - span);
    to = from + span;
    draw();
  };
  const show = (begin) => { const span = to - from; from = Math.min(Math.max(begin, 0), lastHour - span); to = from + span; draw(); };
  const shift = (part) => show(from + part * (to - from));

  function pick(row, piece, aloud = true) {
    Object.assign(picked, { row, piece });
    if (piece && (piece[1] < from || piece[0] > to)) show(piece[0] - (to - from) / 3);
    const out = row * ROW - holder.scrollTop;
    if (out < 0 || out > height - TOP - ROW) holder.scrollTop = Math.max(0, row * ROW - height / 2);
    if (aloud) read.textContent = piece ? `${names[row]}: ${inWords(piece, start)}` : "";
    draw();
  }

  function step(by) {
    const own = rows[names[picked.row]];
    const place = own.indexOf(picked.piece);
    pick(picked.row, own[Math.min(Math.max(place < 0 ? own.findIndex((each) => each[1] > from) : place + by, 0), own.length - 1)]);
  }

  function change(by) {
    const row = Math.min(Math.max(picked.row + by, 0), names.length - 1);
    const hour = picked.piece?.[0] ?? from;
    pick(row, now(rows[names[row]], hour) ?? rows[names[row]].find((each) => each[0] >= hour) ?? rows[names[row]].at(-1));
  }

  async function reckon() {
    const piece = picked.piece;
    if (!piece || !isReckoned(piece)) return sum.replaceChildren(piece ? make("p", { class: "quiet" }, "Pumping and wireline runs have their arithmetic; this piece has a length of its own.") : "");
    const { well, lines } = await explain(names[picked.row], piece);
    sum.replaceChildren(make("div", { class: "sum" },
      make("h3", {}, `The arithmetic of ${well}, stage ${piece[4]}, at the means`), make("p", { class: "quiet" }, `In this replication, with its luck, it took ${(piece[1] - piece[0]).toFixed(2)} h. Rates and speeds are those of the first fleet and wireline unit.`),
      make("div", { class: "scroll" }, make("table", {}, make("tbody", {}, lines.map(([topic, reckoning, result]) => make("tr", {}, make("th", { scope: "row" }, topic), make("td", {}, reckoning), make("td", { class: "num" }, result))))))));
  }

  canvas.addEventListener("keydown", (event) => {
    const act = { "+": () => zoom(0.6), "=": () => zoom(0.6), "-": () => zoom(1.7), ArrowLeft: () => step(-1), ArrowRight: () => step(1), ArrowUp: () => change(-1), ArrowDown: () => change(1), Enter: reckon }[event.key];
    if (act) { event.preventDefault(); act(); }
  });
  const under = (event) => {
    const box = canvas.getBoundingClientRect();
    if (event.clientY - box.top < TOP || event.clientX - box.left < left()) return null;
    const row = Math.floor((event.clientY - box.top - TOP) / ROW) + Math.floor(holder.scrollTop / ROW);
    const piece = names[row] && now(rows[names[row]], from + ((event.clientX - box.left - left()) / (width() - left() - 8)) * (to - from));
    return piece ? { row, piece } : null;
  };
  let grip = null;
  canvas.addEventListener("pointerdown", (event) => { grip = { x: event.clientX, moved: 0 }; });
  canvas.addEventListener("pointermove", (event) => {
    if (!grip || !event.buttons) return;
    grip.moved += Math.abs(event.clientX - grip.x);
    shift((grip.x - event.clientX) / (width() - left()));
    grip.x = event.clientX;
  });
  canvas.addEventListener("pointerup", (event) => {
    const found = under(event);
    if (grip && grip.moved < 5 && found) { pick(found.row, found.piece); reckon(); }
    grip = null;
  });
  canvas.addEventListener("wheel", (event) => { if (event.ctrlKey) { event.preventDefault(); zoom(event.deltaY < 0 ? 0.8 : 1.25); } }, { passive: false });
  holder.addEventListener("scroll", draw);
  let pointed = null;
  tipFor(canvas, (event, more) => {
    const found = grip?.moved > 5 ? null : under(event);
    pointed = found?.piece ?? null;
    if (!found) return "";
    const said = `${names[found.row]}: ${inWords(found.piece, start)}`;
    if (!isReckoned(found.piece)) return said;
    if (found.piece.why) return `${said}\n${found.piece.why}`;
    explain(names[found.row], found.piece).then(({ lines }) => { found.piece.why = `At the means: ${whyItTakes(found.piece, lines)}`; if (pointed === found.piece) more(`${said}\n${found.piece.why}`); }).catch(() => {});
    return said;
  });
  holder.lastChild.style.height = `${whole - height}px`;
  new ResizeObserver(draw).observe(holder);
  new MutationObserver(draw).observe(document.documentElement, { attributeFilter: ["data-look"] });
  const button = (text, said, act) => make("button", { type: "button", "aria-label": said, title: said, onclick: act }, text);
  return make("div", {}, make("div", { class: "row" },
    button("+", "Closer", () => zoom(0.6)), button("\u2212", "Further", () => zoom(1.7)), button("\u2190", "Earlier", () => shift(-0.3)), button("\u2192", "Later", () => shift(0.3)), button("All", "The whole time", () => zoom(1e6)),
    make("span", { class: "quiet" }, "Drag to move. Point at a piece to read it; click it for the arithmetic.")), holder, read, sum);
}

function colours() {
  const css = getComputedStyle(document.documentElement);
  return (name) => css.getPropertyValue(`--${name}`).trim();
}
