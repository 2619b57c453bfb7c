// A whole design in the fragment of a link, which a browser never sends anywhere.
const LONGEST = 200_000;

async function through(stream, bytes) {
  const piped = new Blob([bytes]).stream().pipeThrough(stream);
  return new Uint8Array(await new Response(piped).arrayBuffer());
}

export async function linkTo(text) {
  const packed = await through(new CompressionStream("deflate-raw"), new TextEncoder().encode(text));
  const letters = btoa(String.fromCharCode(...packed)).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
  return `${location.origin}/#design=${letters}`;
}

/** Returns the design of a link, or null where it holds none. */
export async function designOf(letters) {
  if (!letters || letters.length > LONGEST) return null;
  try {
    const packed = Uint8Array.from(atob(letters.replaceAll("-", "+").replaceAll("_", "/")), (each) => each.charCodeAt(0));
    const text = new TextDecoder("utf-8", { fatal: true }).decode(await through(new DecompressionStream("deflate-raw"), packed));
    return text.length > LONGEST ? null : text;
  } catch {
    return null;
  }
}
