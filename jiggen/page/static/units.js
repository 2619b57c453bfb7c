// Lengths in words, for what is measured on the screen.
const EXACT = 25.4;

/** `53.21 mm · 2 3/32 in (2.095)` */
export function both(mm) {
  const inch = mm / EXACT, sixtyFourths = Math.round(inch * 64);
  let top = sixtyFourths % 64, under = 64;
  while (top && top % 2 === 0) { top /= 2; under /= 2; }
  const whole = Math.floor(sixtyFourths / 64), part = top ? `${top}/${under}` : "";
  return `${mm.toFixed(2)} mm · ${[whole || !part ? whole : "", part].filter((each) => each !== "").join(" ")} in (${inch.toFixed(4)})`;
}
