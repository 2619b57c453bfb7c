// The numbers: one field for each key, with what was understood, what is wrong, and why it is what it is.
import { $, make, say } from "./dom.js";
import { ask } from "./ask.js";

// Half a number is wrong for as long as it is being typed: so long, in ms, a field that was right waits before it complains.
const PAUSE = 600;
const id = (key) => `f-${key.replaceAll(".", "_")}`;

export function form(start, store) {
  const fields = new Map();
  const lists = { profile: "instruments", "make.material": "materials", "make.machine": "machines", "strings.set": "strings" };

  function field(each) {
    const name = id(each.key), state = make("span", { class: "state" });
    const described = `${name}-said ${name}-fault ${name}-doubt`;
    const label = make("label", { for: name, title: each.about }, `${each.label}`, state);
    const options = lists[each.key] ? start[lists[each.key]].map((one) => [one.name, one.title])
      : each.sort === "flag" ? [["true", "yes"], ["false", "no"]] : each.options.map((one) => [one, one]);
    const input = options.length
      ? make("select", { id: name, "aria-describedby": described }, make("option", { value: "" }, "–"),
          ...options.map(([value, text]) => make("option", { value }, text)))
      : make("input", { id: name, "aria-describedby": described, autocomplete: "off", spellcheck: "false" });
    const said = make("p", { id: `${name}-said` }), fault = make("p", { id: `${name}-fault`, class: "fault", role: "status" });
    const doubt = make("p", { id: `${name}-doubt`, class: "doubt" }), because = make("p", { class: "because", id: `${name}-why`, hidden: true });
    const why = make("button", { type: "button", class: "why", "aria-expanded": "false", "aria-controls": `${name}-why`, "aria-label": `Why is ${each.label} what it is?` }, "why");
    const box = make("div", { class: "field" }, label, input, why, said, fault, doubt, because);
    input.addEventListener("input", () => store.edit(each.key, input.value));
    input.addEventListener("blur", () => store.settle());
    why.addEventListener("click", async () => {
      because.hidden = !because.hidden;
      why.setAttribute("aria-expanded", String(!because.hidden));
      if (!because.hidden) say(because, await reason(each, fields.get(each.key).stand));
    });
    fields.set(each.key, { each, box, input, state, said, fault, doubt, because, why, stand: undefined });
    return box;
  }

  /** What `--explain` says of a number, after where it comes from. */
  async function reason(each, stand) {
    const lines = [each.about[0].toUpperCase() + each.about.slice(1) + "."];
    if (stand?.source) lines.push(`Source: ${stand.source}${stand.note ? `, ${stand.note}` : ""}.`);
    const answer = await ask({ ask: "derivation", text: store.text });
    const word = each.label.split(" ").slice(0, 3).join(" ");
    const at = each.key.startsWith("strings.") && each.label === "count" ? "string" : word;
    const steps = (answer.sections ?? []).flatMap((section) => section.steps)
      .filter((step) => step.name.toLowerCase().replaceAll("-", " ").includes(at));
    lines.push(...steps.slice(0, 6).map((step) => `${step.name} = ${step.line}  (${step.source})`));
    if (!stand) lines.push("Nobody has said anything of it, and nothing needs it yet.");
    return lines.join("\n");
  }

  const first = start.first.map((key) => start.fields.find((each) => each.key === key));
  $("first").replaceChildren(...first.map(field));
  const groups = Map.groupBy ? Map.groupBy(start.fields.filter((each) => !start.first.includes(each.key)), (each) => each.group)
    : start.fields.filter((each) => !start.first.includes(each.key)).reduce((all, each) => all.set(each.group, [...(all.get(each.group) ?? []), each]), new Map());
  $("groups").replaceChildren(...[...groups].map(([title, members]) =>
    make("details", {}, make("summary", {}, title), make("div", { class: "fields" }, ...members.map(field)))));

  return {
    /** Shows how every number stands, what is wrong and what is doubtful. */
    update(answer) {
      const own = answer.numbers ?? answer.own;
      if (own) for (const one of fields.values()) stand(one, own[one.each.key], Boolean(answer.numbers));
      const elsewhere = [];
      for (const one of fields.values()) {
        const faults = (answer.faults ?? []).filter((fault) => fault.keys.includes(one.each.key)).map((fault) => fault.text);
        const typing = document.activeElement === one.input && !one.box.classList.contains("wrong");
        clearTimeout(one.later);
        if (faults.length && typing) one.later = setTimeout(complain, PAUSE, one, faults); else complain(one, faults);
        if (answer.doubts) say(one.doubt, answer.doubts.filter((doubt) => doubt.key === one.each.key).map((doubt) => doubt.text).join(" "));
      }
      for (const fault of answer.faults ?? []) if (fault.keys.length !== 1 || !fields.has(fault.keys[0])) elsewhere.push(fault.text);
      const rest = (answer.doubts ?? []).filter((doubt) => !fields.has(doubt.key)).map((doubt) => doubt.text);
      if (answer.doubts) $("doubts").replaceChildren(...rest.map((text) => make("li", {}, text)));
      return elsewhere;
    },
  };

  function complain(one, faults) {
    say(one.fault, faults.join("\n"));
    one.box.classList.toggle("wrong", faults.length > 0);
    one.input.toggleAttribute("aria-invalid", faults.length > 0);
    if (!faults.length) return;
    one.input.setAttribute("aria-invalid", "true");
    const group = one.box.closest("details");
    if (group) group.open = true;
  }

  function stand(one, now, whole) {
    if (!whole && !now) return; // a broken design says nothing of what it leaves out
    one.stand = now;
    const given = now?.typed !== undefined;
    const value = given ? now.typed : "";
    if (document.activeElement !== one.input && one.input.value !== value) one.input.value = value;
    one.box.dataset.state = given ? "given" : (now?.state ?? "open");
    const told = given ? (now.source && now.source !== "chosen" ? now.source : "given") : (now?.state ?? "open");
    say(one.state, told);
    if (one.input.tagName === "INPUT") one.input.placeholder = given ? "" : (now?.value ?? `e.g. ${one.each.example}`);
    else one.input.options[0].textContent = given ? "–" : (now?.value ? `${now.value} (${now.state})` : "–");
    say(one.said, given ? (now.said ? `= ${now.said}` : "") : now ? `${now.state}: ${now.said || now.value}` : "");
  }
}
