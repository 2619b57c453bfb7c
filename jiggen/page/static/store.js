// The text of the design, its past and future, and the one question about it that is on its way.
import { ask } from "./ask.js";

const MOST = 300;

export function store({ more, show }) {
  const past = [], future = [];
  let text = "", saved = "", last = "", busy = false;
  const waiting = new Map(); // values typed, by key, in the order in which they came; the newest of each

  function keep(key) {
    if (key && key === last) return; // one field typed into is one step back
    past.push(text);
    if (past.length > MOST) past.shift();
    last = key;
  }

  async function run() {
    if (busy) return;
    busy = true;
    while (waiting.size) {
      const [key, edit] = waiting.entries().next().value;
      waiting.delete(key);
      const answer = await ask({ ask: "design", text, ...edit, ...more() });
      if (answer.overtaken) continue;
      if (answer.text !== undefined && answer.text !== text && edit.key) {
        keep(edit.key);
        future.length = 0;
        text = answer.text;
      }
      show(answer, waiting.size > 0);
    }
    busy = false;
  }

  const put = (next) => { text = next; last = ""; waiting.clear(); waiting.set("", {}); run(); };

  return {
    get text() { return text; },
    get dirty() { return text !== saved; },
    get canUndo() { return past.length > 0; },
    get canRedo() { return future.length > 0; },
    edit(key, typed, source = "") { waiting.set(key, { key, typed, source }); run(); },
    refresh() { waiting.set("", {}); run(); },
    settle() { last = ""; },
    replace(next, key = "") {
      if (next === text) return;
      keep(key); future.length = 0;
      text = next; waiting.clear(); waiting.set("", {}); run();
    },
    open(next) { past.length = future.length = 0; saved = next; put(next); },
    undo() { if (past.length) { future.push(text); put(past.pop()); } },
    redo() { if (future.length) { past.push(text); put(future.pop()); } },
    save() { saved = text; last = ""; },
  };
}
