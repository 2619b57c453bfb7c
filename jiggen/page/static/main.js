// Puts the page together.
import { arrive, ask } from "./ask.js";
import { $, choose, hand, make, say } from "./dom.js";
import { drawing } from "./drawing.js";
import { files } from "./files.js";
import { form } from "./form.js";
import { measure } from "./measure.js";
import { designOf, linkTo } from "./share.js";
import { store as keep } from "./store.js";
import { tables } from "./tables.js";

const linked = arrive();
const status = (text, wrong = false) => { $("status").classList.toggle("wrong", wrong); say($("status"), text); };

function fail(answer) { status(answer.faults.map((each) => each.text).join("\n"), true); }

async function begin() {
  const start = await ask({ ask: "start" });
  if (!start.ok) { fail(start); return; }
  let latest = null, sheetCount = 0, file = "design.toml";
  const paper = drawing();
  const store = keep({ more: () => ({ view: live() ? $("view").value : "neck", ...made.order() }), show });
  const fields = form(start, store), numbers = tables();
  const made = files(start, store, { changed: () => store.refresh(), sheets: (count) => { sheetCount = count; views(); } });
  const live = () => $("view").value === "" || $("view").value === "neck" || $("view").value.startsWith("part:");

  function show(answer, more) {
    if (answer.faults?.length) {
      const elsewhere = fields.update(answer);
      status(elsewhere.length ? elsewhere.join("\n") : "Something is to mend: see the field marked.", true);
      if (!answer.numbers) paper.stale();
    } else if (answer.numbers) { fields.update(answer); status("All numbers agree."); }
    if (answer.numbers) {
      latest = answer.tables; file = answer.file;
      numbers.update(latest); made.update(answer); views(answer.parts);
      say($("design-name"), latest.design.name); say($("design-id"), latest.design.id);
      say($("file-name"), file);
      document.title = `${store.dirty ? "• " : ""}${latest.design.name}, jiggen`;
      if (answer.shown.svg && live()) paper.show(answer.shown); else if (!more) see();
      if ($("derivation").open) derive();
    }
    if (document.activeElement !== $("source")) $("source").value = store.text;
    $("undo").disabled = !store.canUndo; $("redo").disabled = !store.canRedo;
    document.documentElement.dataset.drawn = String(Number(document.documentElement.dataset.drawn ?? 0) + 1);
  }

  function views(parts = null) {
    if (parts) views.parts = parts.filter((each) => !each.not).map((each) => [`part:${each.name}`, each.title]);
    const options = [["neck", "The neck"], ["plan", "Working plan"], ...(views.parts ?? []),
      ...Array.from({ length: sheetCount || 1 }, (_, index) => [[`sheet:${index + 1}`, `Sheet ${index + 1} as cut`], [`cut:${index + 1}`, `What falls out of sheet ${index + 1}`]]).flat()];
    const now = options.map(([value]) => value).join();
    if (views.now !== now) { views.now = now; choose($("view"), options); }
  }

  async function see() {
    if (live()) { store.refresh(); return; }
    status("Drawing…");
    const answer = await ask({ ask: "view", text: store.text, view: $("view").value, ...made.order() });
    if (answer.overtaken) return;
    if (answer.ok) { paper.show(answer.shown); status(`${answer.shown.title}.`); } else { fail(answer); paper.stale(); }
  }

  async function derive() {
    const answer = await ask({ ask: "derivation", text: store.text });
    if (answer.ok) $("derived").replaceChildren(...answer.sections.flatMap((section) => [make("h3", {}, section.title),
      make("ol", { class: "steps" }, ...section.steps.map((step) => make("li", {}, `${step.name}${step.line ? ` = ${step.line}` : ""} `, make("em", {}, `(${step.source})`))))]));
  }

  const sure = () => !store.dirty || confirm("The design has changes that are not saved. Leave them?");
  const load = (text, name) => { if (sure()) { store.open(text); status(`Opened ${name}.`); } };

  measure(paper, () => latest);
  choose($("profile"), start.instruments.map((each) => [each.name, each.title]));
  $("view").addEventListener("change", see);
  $("derivation").addEventListener("toggle", () => $("derivation").open && derive());
  $("undo").addEventListener("click", () => store.undo());
  $("redo").addEventListener("click", () => store.redo());
  $("source").addEventListener("input", () => store.replace($("source").value, "source"));
  $("source").addEventListener("blur", () => store.settle());
  $("open").addEventListener("click", () => $("file").click());
  $("file").addEventListener("change", async () => { const one = $("file").files[0]; $("file").value = ""; if (one) load(await one.text(), one.name); });
  $("save").addEventListener("click", () => { hand(file.split(/[\\/]/).pop(), store.text, "application/toml"); store.save(); status(`Saved ${file} among your downloads.`); });
  $("link").addEventListener("click", async () => {
    const link = await linkTo(store.text);
    try { await navigator.clipboard.writeText(link); status("Copied a link that holds the whole design. It opens wherever jiggen page runs; nothing leaves this machine."); }
    catch { prompt("The link holds the whole design:", link); }
  });
  $("big").addEventListener("click", () => $("big").setAttribute("aria-pressed", String(document.documentElement.classList.toggle("big"))));
  $("print").addEventListener("click", () => { $("tables").open = true; print(); });
  $("new").addEventListener("click", async () => {
    const answer = await ask({ ask: "new", profile: $("profile").value, name: $("new-name").value });
    if (answer.ok) load(answer.text, "a new design"); else fail(answer);
  });
  addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || /TEXTAREA/.test(event.target.tagName)) return;
    const key = event.key.toLowerCase();
    const does = key === "z" ? (event.shiftKey ? "redo" : "undo") : key === "y" ? "redo" : key === "s" ? "save" : "";
    if (does) { event.preventDefault(); document.activeElement?.blur?.(); $(does).click(); }
  });
  addEventListener("beforeunload", (event) => { if (store.dirty) event.preventDefault(); });
  addEventListener("dragover", (event) => { event.preventDefault(); document.body.classList.add("over"); });
  addEventListener("dragleave", () => document.body.classList.remove("over"));
  addEventListener("drop", async (event) => {
    event.preventDefault(); document.body.classList.remove("over");
    const one = event.dataTransfer.files[0];
    if (one) load(await one.text(), one.name);
  });

  const shared = await designOf(linked);
  if (linked && shared === null) status("The link holds no design that can be read.", true);
  views([]);
  store.open(shared ?? start.text);
}

begin();
