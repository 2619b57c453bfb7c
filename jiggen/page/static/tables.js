// Frets, strings, tension and saddle in tables, with pictures of what is easier seen than read.
import { $, make } from "./dom.js";
import { bars, curves } from "./plots.js";

function table(caption, head, rows) {
  return make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": caption },
    make("table", {}, make("caption", {}, caption),
      make("thead", {}, make("tr", {}, ...head.map((each) => make("th", { scope: "col" }, each)))),
      make("tbody", {}, ...rows.map(([first, ...rest]) => make("tr", {}, make("th", { scope: "row" }, first), ...rest.map((each) => make("td", {}, each)))))));
}

const mm = (value, places = 3) => (value == null ? "–" : value.toFixed(places));
const signed = (value, places = 2) => `${value >= 0 ? "+" : "−"}${Math.abs(value).toFixed(places)}`;

export function tables() {
  const place = $("tables");
  let latest = null;

  function fill() {
    if (!latest || !place.open) return;
    const { frets, strings, tension, saddle, remarks } = latest, inside = [];
    const skewed = frets.some((each) => Math.abs(each["skew-degrees"]) > 1e-9);
    if (frets.length) inside.push(table(`Frets, mm (${latest["fret-rule"]})`,
      ["fret", "from nut", "from previous", "to saddle", "board", "strings", ...(skewed ? ["skew °"] : []), "wire"],
      frets.map((each) => [each.label, mm(each["from-nut"]), mm(each["from-previous"]), mm(each["to-saddle"]), mm(each["board-width"]),
        mm(each["string-spread"]), ...(skewed ? [signed(each["skew-degrees"], 3)] : []), mm(each["wire-length"], 1)])));
    inside.push(table("Strings, mm from the centre line, + toward the treble", ["string", "at nut", "at saddle", "length", "gauge"],
      strings.map((each) => [String(each.string), signed(each["at-nut"], 3), signed(each["at-saddle"], 3), mm(each.scale), mm(each.gauge)])));
    if (tension) inside.push(
      table(`Tension, ${tension.set}: ${tension["total-newtons"].toFixed(0)} N in all`, ["string", "note", "pull N", "of strength"],
        tension.strings.map((each) => [String(each.string), each.pitch, each.newtons.toFixed(1), each["share-of-strength"] == null ? "–" : `${(each["share-of-strength"] * 100).toFixed(0)} %`])),
      bars("Pull", tension.strings.map((each) => [`${each.string} ${each.pitch}`, each.newtons]), "newtons"));
    if (saddle) {
      inside.push(table(`Saddle, by ${saddle.by}: ${saddle["setback-at-centre"].toFixed(2)} mm behind its line at the centre, slanted ${signed(saddle["slant-degrees"])}°`,
        ["string", "saddle back", "its own"], saddle.strings.map((each) => [String(each.string), mm(each.setback, 2), mm(each["own-setback"], 2)])));
      const left = saddle.strings.filter((each) => each["residual-cents"]);
      if (left.length) {
        const count = left[0]["residual-cents"].length, labels = Array.from({ length: count }, (_, index) => frets[index + frets.length - count]?.label ?? String(index + 1));
        inside.push(curves("Still off at each fret, with the straight saddle", left.map((each) => [`string ${each.string}`, each["residual-cents"]]), labels, "cents"),
          table("Cents off, by fret and string", ["fret", ...left.map((each) => `string ${each.string}`)],
            labels.map((label, index) => [label, ...left.map((each) => signed(each["residual-cents"][index], 1))])));
      }
    }
    const notes = [...remarks, ...(saddle ? [saddle.caution] : []), ...(tension?.cautions ?? [])];
    inside.push(...notes.map((each) => make("p", { class: "say" }, each)));
    $("tabled").replaceChildren(...inside);
  }

  place.addEventListener("toggle", fill);
  return { update(next) { latest = next; fill(); } };
}
