// What is typed, on its way to the draft: one change at a time, and nothing is lost while the server does not answer.
import { at, get, Gone, post, say } from "/static/web.js";

const [TYPING_MS, AGAIN_MS] = [350, 2000];

export class Sending {
  // `taken` is given each answer and whether all is to be drawn anew; `settled` is called once nothing is on its way.
  constructor(name, version, { taken, settled, begun }) {
    Object.assign(this, { name, version, taken, settled, begun, edits: [], text: null, busy: null, redraw: false });
  }

  get pending() { return this.text !== null || this.edits.length > 0; }

  typed(steps, text) {
    this.edits = this.edits.filter((each) => JSON.stringify(each.steps) !== JSON.stringify(steps));
    this.edits.push({ steps, text });
    this.soon();
  }

  retyped(text) { this.text = text; this.soon(); }

  soon(wait = TYPING_MS) {
    this.begun();
    this.remember();
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.now(), wait);
  }

  edit(edits, redraw) {
    this.edits.push(...edits);
    this.remember();
    return this.now(redraw);
  }

  now(redraw = false) {
    clearTimeout(this.timer);
    this.redraw ||= redraw;
    this.busy ??= this.sending().finally(() => { this.busy = null; const anew = this.redraw; this.redraw = false; this.settled(anew); });
    return this.busy;
  }

  async sending() {
    while (this.pending) {
      const [text, edits] = [this.text, this.edits];
      [this.text, this.edits] = text !== null ? [null, edits] : [null, []];
      try {
        const plan = await post(`plans/${at(this.name)}/change`, { version: this.version, ...(text !== null ? { text } : { edits }) });
        this.version = plan.version;
        this.taken(plan);
        this.remember();
        say("");
      } catch (refused) {
        if (refused instanceof Gone) { this.putBack(text, edits); say(`${refused.message} What you type is kept here, and sent once it answers.`); this.soon(AGAIN_MS); return; }
        say(refused.message);
        this.remember();
        if (refused.message.includes("elsewhere")) await this.anew();
      }
    }
  }

  // What could not be sent goes before what was typed since.
  putBack(text, edits) {
    if (text !== null) this.text ??= text; else this.edits = [...edits, ...this.edits];
  }

  async anew() {
    const plan = await get(`plans/${at(this.name)}`).catch(() => null);
    if (!plan) return;
    this.version = plan.version;
    this.redraw = true;
    this.taken(plan);
  }

  // Kept in the browser until it is in the draft, should the tab be closed before the server answers.
  remember() {
    const key = `unsent ${this.name}`;
    if (!this.pending) return localStorage.removeItem(key);
    try { localStorage.setItem(key, JSON.stringify({ version: this.version, text: this.text, edits: this.edits })); } catch { /* too much for the browser to keep; the draft has all but the last change */ }
  }

  // Takes up what an earlier tab could not send, if the plan is still what it was typed into.
  recall() {
    const found = localStorage.getItem(`unsent ${this.name}`);
    if (!found) return;
    const { version, text, edits } = JSON.parse(found);
    if (version === this.version) { this.text = text; this.edits = edits; this.now(true); } else this.remember();
  }
}
