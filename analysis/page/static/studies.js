// Something that is played beside runs: asked for until it is there, with a bar meanwhile and a way to stop it.
import { make, number, post, say } from "/static/web.js";

const ASK_MS = 600;

// `wanted` says whether anybody still looks; `told` is given the answer.
export async function follow(path, body, holder, wanted, told) {
  try {
    const found = await post(path, body);
    if (!wanted()) return;
    if (found.answer) return void told(found.answer);
    if (found.message || found.state === "stopped") {
      holder.replaceChildren(make("p", { class: found.message ? "wrong" : "quiet" }, found.message || "Stopped."), make("button", { type: "button", onclick: () => follow(path, body, holder, wanted, told) }, "Try again"));
      return;
    }
    holder.replaceChildren(progress(found));
    setTimeout(() => { if (wanted()) follow(path, body, holder, wanted, told); }, ASK_MS);
  } catch (refused) { say(refused.message); }
}

function progress(found) {
  const waiting = found.state === "waiting";
  const said = waiting ? `In line, behind ${found.before === 1 ? "what is being played" : `${found.before} others`}.`
    : found.state === "stopping" ? "Stopping: what is being played is finished first."
    : `${number(Math.min(found.done, found.asked))} of ${number(found.asked)} replications.`;
  return make("div", {}, make("div", { class: "row" }, make("span", { class: "quiet" }, said),
    make("button", { type: "button", disabled: found.state === "stopping", onclick: (event) => { event.target.disabled = true; event.target.textContent = "Stopping\u2026"; post("studies/cancel", { key: found.key }).catch(() => {}); } }, found.state === "stopping" ? "Stopping\u2026" : "Stop")),
  make("progress", { max: found.asked, value: found.done, "aria-label": "replications played" }));
}
