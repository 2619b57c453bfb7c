// Parts, material, machine and paper; sheets and time; the files themselves.
import { $, choose, make, say } from "./dom.js";
import { ask } from "./ask.js";

const time = (seconds) => (seconds == null ? "time not known" : `about ${Math.floor(Math.round(seconds) / 60)} min ${String(Math.round(seconds) % 60).padStart(2, "0")} s by the machine’s profile, more for what that leaves out`);

export function files(start, store, { changed, sheets }) {
  const boxes = new Map();
  choose($("material"), [["", "as the design says"], ...start.materials.map((each) => [each.name, each.title])]);
  choose($("machine"), [["", "as the design says"], ...start.machines.map((each) => [each.name, each.title])]);
  choose($("paper-size"), start.papers.map((each) => [each, each.toUpperCase()]));

  const order = () => ({
    parts: [...boxes].filter(([, box]) => box.checked && !box.disabled).map(([name]) => name),
    material: $("material").value, machine: $("machine").value, paper: $("paper-size").value,
  });
  const wrong = (answer) => make("ul", {}, ...answer.faults.map((each) => make("li", { class: "fault" }, each.text)));

  async function busy(button, words, question) {
    const was = button.textContent;
    button.disabled = true; button.textContent = words;
    const answer = await ask({ text: store.text, ...order(), ...question });
    button.disabled = false; button.textContent = was;
    return answer;
  }

  $("lay").addEventListener("click", async () => {
    const answer = await busy($("lay"), "Laying…", { ask: "sheets" });
    if (answer.overtaken) return;
    if (!answer.ok) { $("sheets").replaceChildren(wrong(answer)); return; }
    $("sheets").replaceChildren(
      ...answer.sheets.map((sheet) => make("p", {}, make("strong", {}, `Sheet ${sheet.number}, ${sheet.width} × ${sheet.height} mm: `),
        `${sheet.parts.join(", ")}; ${(sheet.used * 100).toFixed(0)} % used; ${time(sheet.seconds)}. `,
        ...sheet.work.flatMap((work) => [swatch(work.colour), ` ${work.name} ${(work.length / 1000).toFixed(2)} m  `]))),
      ...answer.warnings.map((each) => make("p", { class: "fault" }, each)),
      ...answer.cautions.map((each) => make("p", { class: "say" }, `Caution: ${each}`)));
    sheets(answer.sheets.length);
  });

  function swatch(colour) {
    const box = make("span", { class: "swatch", "aria-hidden": "true" });
    box.style.backgroundColor = colour;
    return box;
  }

  $("make").addEventListener("click", async () => {
    const answer = await busy($("make"), "Making and measuring…", { ask: "files" });
    if (answer.overtaken) return;
    if (!answer.ok) { $("made").replaceChildren(wrong(answer)); return; }
    const link = (each) => each.name === "ticket.html"
      ? make("a", { href: answer.at + each.name, target: "_blank", rel: "noopener" }, `${each.name} (opens in a tab)`)
      : make("a", { href: answer.at + each.name, download: each.name }, `${each.name}, ${Math.ceil(each.bytes / 1000)} kB`);
    $("made").replaceChildren(make("p", {}, answer.verdict), make("ul", {}, ...answer.files.map((each) => make("li", {}, link(each)))));
    $("made").querySelector("a").click();
  });

  for (const name of ["material", "machine", "paper-size"]) $(name).addEventListener("change", changed);

  return {
    order,
    update(answer) {
      if (answer.command) say($("command"), answer.command);
      if (!answer.parts) return;
      if (!boxes.size) {
        $("parts").replaceChildren(...answer.parts.map((each) => {
          const box = make("input", { type: "checkbox" });
          boxes.set(each.name, box);
          box.addEventListener("change", changed);
          return make("label", { title: each.about }, box, make("span", {}, each.title));
        }), make("p", { class: "say" }, "With none chosen: what the design says, or the standard set."));
      }
      for (const each of answer.parts) {
        const box = boxes.get(each.name), label = box.parentElement;
        box.disabled = Boolean(each.not);
        label.classList.toggle("cannot", Boolean(each.not));
        label.title = each.not ? `${each.about}; ${each.not}` : each.about;
      }
    },
  };
}
