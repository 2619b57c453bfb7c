// The sheet of paper: shows an SVG from which nothing but shapes was let in, and moves it under the eye.
import { $, draw } from "./dom.js";

const SHAPES = new Set(["svg", "g", "path", "circle", "rect", "title"]);
const WORDS = new Set(["d", "cx", "cy", "r", "x", "y", "width", "height", "fill", "stroke", "fill-rule",
  "stroke-linecap", "stroke-linejoin", "data-part", "data-feature"]);

/** Returns a copy of a parsed SVG that holds shapes and their looks, and no more. */
function admit(from) {
  const copy = draw(from.localName);
  for (const { name, value } of from.attributes) {
    if (name === "id") copy.dataset.id = value;
    else if (name === "stroke-width") copy.style.setProperty("--w", `${Number(value)}px`);
    else if (WORDS.has(name) && !(from.localName === "svg" && (name === "width" || name === "height"))) copy.setAttribute(name, value);
  }
  for (const child of from.children) if (SHAPES.has(child.localName)) copy.append(child.localName === "title" ? "" : admit(child));
  return copy;
}

export function drawing() {
  const sheet = $("sheet"), fingers = new Map(), watchers = [];
  let svg = null, size = [1, 1], box = null, shown = {}, moved = false, pinch = null;

  const scale = () => Math.max(box[2] / sheet.clientWidth, box[3] / sheet.clientHeight); // mm per pixel

  function look() {
    svg.setAttribute("viewBox", box.join(" "));
    svg.style.setProperty("--px", `${scale() * 0.8}px`);
  }
  const whole = () => { box = [0, 0, ...size]; moved = false; look(); };

  function zoom(by, at = [sheet.clientWidth / 2, sheet.clientHeight / 2]) {
    if (!svg) return;
    const [x, y] = point(...at), width = Math.min(Math.max(box[2] * by, 2), size[0] * 4), rate = width / box[2];
    box = [x - (x - box[0]) * rate, y - (y - box[1]) * rate, width, box[3] * rate];
    moved = true; look();
  }
  function pan(dx, dy) { if (svg) { box[0] -= dx * scale(); box[1] -= dy * scale(); moved = true; look(); } }

  /** From pixels of the sheet to mm of the drawing. */
  function point(px, py) {
    const mm = scale();
    return [box[0] + box[2] / 2 + (px - sheet.clientWidth / 2) * mm, box[1] + box[3] / 2 + (py - sheet.clientHeight / 2) * mm];
  }
  const place = (event) => { const at = sheet.getBoundingClientRect(); return [event.clientX - at.left, event.clientY - at.top]; };

  sheet.addEventListener("wheel", (event) => { event.preventDefault(); zoom(Math.exp(event.deltaY * 0.0015), place(event)); }, { passive: false });
  sheet.addEventListener("pointerdown", (event) => { sheet.setPointerCapture(event.pointerId); fingers.set(event.pointerId, place(event)); pinch = null; });
  sheet.addEventListener("pointermove", (event) => {
    const now = place(event), before = fingers.get(event.pointerId);
    if (!before || !svg) return;
    fingers.set(event.pointerId, now);
    if (fingers.size === 1) pan(now[0] - before[0], now[1] - before[1]);
    if (fingers.size === 2) {
      const [a, b] = [...fingers.values()], apart = Math.hypot(a[0] - b[0], a[1] - b[1]);
      if (pinch && apart) zoom(pinch / apart, [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2]);
      pinch = apart;
    }
  });
  for (const end of ["pointerup", "pointercancel"]) sheet.addEventListener(end, (event) => { fingers.delete(event.pointerId); pinch = null; });
  sheet.addEventListener("keydown", (event) => {
    const step = 60, keys = {
      "+": () => zoom(0.8), "=": () => zoom(0.8), "-": () => zoom(1.25), 0: whole,
      ArrowLeft: () => pan(step, 0), ArrowRight: () => pan(-step, 0), ArrowUp: () => pan(0, step), ArrowDown: () => pan(0, -step),
    };
    if (keys[event.key] && !event.ctrlKey && !event.metaKey) { event.preventDefault(); keys[event.key](); }
  });
  $("closer").addEventListener("click", () => zoom(0.7));
  $("farther").addEventListener("click", () => zoom(1.4));
  $("whole").addEventListener("click", () => svg && whole());
  new ResizeObserver(() => svg && look()).observe(sheet);

  return {
    sheet, point, place, scale,
    get svg() { return svg; },
    get shown() { return shown; },
    get titles() { return shown.title ?? ""; },
    onShow(watcher) { watchers.push(watcher); },
    show(next) {
      const parsed = new DOMParser().parseFromString(next.svg, "image/svg+xml").documentElement;
      if (parsed.localName !== "svg") return;
      const same = next.view === shown.view, wanted = parsed.getAttribute("viewBox").split(" ").slice(2).map(Number);
      svg = admit(parsed); shown = next; size = wanted;
      svg.setAttribute("role", "img"); svg.setAttribute("aria-label", next.title);
      sheet.replaceChildren(svg); sheet.classList.remove("stale");
      if (same && moved) look(); else whole();
      for (const watcher of watchers) watcher();
    },
    stale() { sheet.classList.add("stale"); },
  };
}
