// Small pictures of numbers: curves over frets, and bars. Every curve has its name at its end and a dash of its own.
import { draw, make } from "./dom.js";

const WIDE = 640, HIGH = 240, LEFT = 44, RIGHT = 74, TOP = 14, BOTTOM = 30;
const DASHES = ["", "7 3", "2 3", "10 3 2 3", "4 4", "1 4"];

const text = (x, y, words, anchor = "start") => draw("text", { x, y, "text-anchor": anchor }, words);

/** Curves: `lines` is [[name, [y, …]], …], from the first fret on. */
export function curves(title, lines, labels, unit) {
  const all = lines.flatMap(([, values]) => values), most = Math.max(1, ...all.map(Math.abs));
  const step = most > 20 ? 10 : most > 8 ? 5 : most > 3 ? 2 : most > 1.2 ? 1 : 0.5, reach = Math.ceil(most / step) * step;
  const x = (index) => LEFT + (index * (WIDE - LEFT - RIGHT)) / Math.max(1, labels.length - 1);
  const y = (value) => TOP + ((reach - value) * (HIGH - TOP - BOTTOM)) / (2 * reach);
  const svg = draw("svg", { viewBox: `0 0 ${WIDE} ${HIGH}`, role: "img", "aria-label": `${title}; the table has the figures` });
  for (let value = -reach; value <= reach + 1e-9; value += step) svg.append(
    draw("path", { class: "axis", d: `M ${LEFT} ${y(value)} H ${WIDE - RIGHT}`, "stroke-dasharray": Math.abs(value) < 1e-9 ? null : "1 4" }),
    text(LEFT - 6, y(value) + 4, `${value > 0 ? "+" : ""}${+value.toFixed(1)}`, "end"));
  labels.forEach((label, index) => { if (index % Math.ceil(labels.length / 14) === 0) svg.append(text(x(index), HIGH - 10, label, "middle")); });
  const names = lines.map(([name, values]) => ({ name, at: y(values.at(-1)) })).sort((a, b) => a.at - b.at);
  names.forEach((each, index) => { if (index) each.at = Math.max(each.at, names[index - 1].at + 12); });
  lines.forEach(([, values], index) => svg.append(draw("path", {
    class: `curve c${index % 3}`, "stroke-dasharray": DASHES[index % DASHES.length],
    d: values.map((value, at) => `${at ? "L" : "M"} ${x(at).toFixed(1)} ${y(value).toFixed(1)}`).join(" "),
  })));
  svg.append(...names.map((each) => text(WIDE - RIGHT + 6, each.at + 4, each.name)));
  return make("figure", {}, make("figcaption", {}, `${title}, ${unit}`), svg);
}

/** Bars: `rows` is [[name, value], …]. */
export function bars(title, rows, unit) {
  const most = Math.max(...rows.map(([, value]) => value)), high = rows.length * 24 + 8;
  const svg = draw("svg", { viewBox: `0 0 ${WIDE} ${high}`, role: "img", "aria-label": `${title}; the table has the figures` });
  rows.forEach(([name, value], index) => svg.append(
    text(LEFT + 24, index * 24 + 19, name, "end"),
    draw("rect", { class: "bar-fill", x: LEFT + 32, y: index * 24 + 6, height: 16, width: ((WIDE - LEFT - 130) * value) / most }),
    text(LEFT + 38 + ((WIDE - LEFT - 130) * value) / most, index * 24 + 19, value.toFixed(1))));
  return make("figure", {}, make("figcaption", {}, `${title}, ${unit}`), svg);
}
