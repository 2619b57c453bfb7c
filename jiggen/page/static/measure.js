// The tape: from one feature to another, in mm, inches and cents; and what lies under the pointer, in words.
import { $, choose, draw, say } from "./dom.js";
import { both } from "./units.js";

const NEAR = 14; // pixels

/** Returns the corners of path data of ours: absolute M, L and A. */
function corners(data) {
  const found = [];
  for (const [, letter, rest] of data.matchAll(/([MLA])([^MLAZ]*)/g)) {
    const numbers = rest.trim().split(/[ ,]+/).map(Number);
    found.push({ at: numbers.slice(-2), move: letter === "M", straight: letter === "L" });
  }
  return found;
}

export function measure(paper, numbersOf) {
  const { sheet } = paper;
  let on = false, ends = [], spots = [], lines = [], lit = null, fret = -1;

  const words = (id) => id.replace(/^(.*)\.(fret|string|pin|inlay)/, "$1 $2").replaceAll(".", " ").replaceAll("-", " ");

  function learn() {
    spots = []; lines = []; ends = []; lit = null;
    for (const each of paper.svg.querySelectorAll("[data-id]")) {
      const name = words(each.dataset.feature ?? each.dataset.id);
      if (each.localName === "g" || name === "frame") continue;
      if (each.localName === "circle") { spots.push({ name, at: [Number(each.getAttribute("cx")), Number(each.getAttribute("cy"))] }); continue; }
      let before = null;
      for (const { at, move, straight } of corners(each.getAttribute("d") ?? "")) {
        if (!at.every(Number.isFinite)) continue;
        spots.push({ name, at });
        if (before && !move && straight) { lines.push({ name, a: before, b: at }); spots.push({ name, at: [(before[0] + at[0]) / 2, (before[1] + at[1]) / 2], middle: true }); }
        before = at;
      }
    }
    const places = reachable();
    choose($("from"), [["", "–"], ...places.map(([name]) => [name, name])]);
    choose($("to"), [["", "–"], ...places.map(([name]) => [name, name])]);
    say($("reading"), "");
  }

  /** Names to measure between without a pointer, each with the place that stands for it. */
  function reachable() {
    const found = new Map();
    for (const spot of spots) if (!found.has(spot.name) || spot.middle) found.set(spot.name, spot.at);
    return [...found].slice(0, 400);
  }

  function snap(px) {
    const at = paper.point(...px), reach = NEAR * paper.scale();
    const far = (one) => Math.hypot(one[0] - at[0], one[1] - at[1]);
    const spot = spots.reduce((best, each) => (far(each.at) < (best ? far(best.at) : reach) ? each : best), null);
    if (spot) return spot;
    let best = null, nearest = reach * 0.7;
    for (const { name, a, b } of lines) {
      const run = [b[0] - a[0], b[1] - a[1]], long = run[0] ** 2 + run[1] ** 2;
      const t = long ? Math.min(1, Math.max(0, ((at[0] - a[0]) * run[0] + (at[1] - a[1]) * run[1]) / long)) : 0;
      const foot = [a[0] + t * run[0], a[1] + t * run[1]];
      if (far(foot) < nearest) { nearest = far(foot); best = { name, at: foot }; }
    }
    return best ?? { name: "a free place", at };
  }

  function read() {
    paper.svg.querySelectorAll(".tape, .tape-end").forEach((each) => each.remove());
    const radius = paper.scale() * 5;
    paper.svg.append(...ends.map(({ at }) => draw("circle", { class: "tape-end", cx: at[0], cy: at[1], r: radius })));
    if (ends.length < 2) { say($("reading"), ends.length ? `From ${ends[0].name} to …` : ""); return; }
    const [a, b] = ends;
    paper.svg.append(draw("path", { class: "tape", d: `M ${a.at.join(" ")} L ${b.at.join(" ")}` }));
    const across = Math.abs(a.at[1] - b.at[1]), along = Math.abs(a.at[0] - b.at[0]);
    let text = `${a.name} to ${b.name}: ${both(Math.hypot(along, across))}`;
    if (along > 0.005 && across > 0.005) text += `; along ${along.toFixed(2)}, across ${across.toFixed(2)} mm`;
    const cents = centsBetween(a.at[0], b.at[0]);
    if (cents !== null && along > 0.005) text += `; ${cents.toFixed(1)} cents`;
    say($("reading"), text);
  }

  /** Cents between two stops on a string of the middle scale; null where that has no meaning. */
  function centsBetween(x, y) {
    const origin = paper.shown.origin, scale = numbersOf()?.numbers?.scale?.value;
    if (!origin || !scale) return null;
    const rest = [x, y].map((each) => scale - (each - origin[0]));
    return Math.min(...rest) > 1 ? Math.abs(1200 * Math.log2(rest[0] / rest[1])) : null;
  }

  function tell(one) {
    const tables = numbersOf();
    if (!tables) return;
    const shown = tables.frets[one];
    lit?.classList.remove("lit");
    if (!shown) { fret = -1; return; }
    fret = one;
    lit = paper.svg.querySelector(`[data-id="fret.${shown.fret}"]`);
    lit?.classList.add("lit");
    const before = one > 0 ? `fret ${tables.frets[one - 1].label}` : "the nut";
    say($("reading"), `Fret ${shown.label}: ${both(shown["from-nut"])} from the nut, ${shown["from-previous"].toFixed(2)} mm from ${before}, `
      + `board ${shown["board-width"].toFixed(2)} mm wide, strings ${shown["string-spread"].toFixed(2)} mm`);
  }

  function under(px) {
    const origin = paper.shown.origin, tables = numbersOf();
    if (!origin || !tables) return;
    const [x, y] = paper.point(...px), away = tables.frets.map((each) => {
      const [[bx, by], [tx, ty]] = [each["bass-end"], each["treble-end"]], up = origin[1] - y;
      const t = by === ty ? 0 : Math.min(1, Math.max(0, (up - by) / (ty - by)));
      return Math.abs(x - origin[0] - (bx + t * (tx - bx)));
    });
    const nearest = away.indexOf(Math.min(...away));
    if (away[nearest] <= Math.max(NEAR * paper.scale(), 4)) { if (nearest !== fret) tell(nearest); }
  }

  let down = null;
  sheet.addEventListener("pointerdown", (event) => { down = paper.place(event); });
  sheet.addEventListener("pointermove", (event) => { if (paper.svg && !on && event.buttons === 0) under(paper.place(event)); });
  sheet.addEventListener("pointerup", (event) => {
    const up = paper.place(event);
    if (!paper.svg || !down || Math.hypot(up[0] - down[0], up[1] - down[1]) > 6) return;
    if (!on) { under(up); return; }
    if (ends.length === 2) ends = [];
    ends.push(snap(up)); read();
  });
  sheet.addEventListener("keydown", (event) => {
    const frets = numbersOf()?.frets.length ?? 0;
    if (event.key === "]" && fret < frets - 1) tell(fret + 1);
    if (event.key === "[" && fret > 0) tell(fret - 1);
    if (event.key === "Escape" && paper.svg) { ends = []; read(); }
  });
  $("measure").addEventListener("click", () => {
    on = !on; ends = [];
    $("measure").setAttribute("aria-pressed", String(on));
    sheet.classList.toggle("measuring", on);
    if (paper.svg) { read(); say($("reading"), on ? "Click two places; they snap to what is drawn." : ""); }
  });
  for (const name of ["from", "to"]) $(name).addEventListener("change", () => {
    const places = new Map(reachable());
    ends = ["from", "to"].map((each) => $(each).value).filter((each) => places.has(each)).map((each) => ({ name: each, at: places.get(each) }));
    read();
  });
  paper.onShow(learn);
}
