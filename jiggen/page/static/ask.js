// Asks the server. Knows the token of this run and the name of this page, and nothing else.
const KEEP = "jiggen-token";
const page = crypto.randomUUID();

/** Takes token and design out of the address, so that neither stays in the history. */
export function arrive() {
  const said = new URLSearchParams(location.hash.slice(1));
  if (said.get("token")) localStorage.setItem(KEEP, said.get("token"));
  if (said.has("token") || said.has("design")) history.replaceState(null, "", location.pathname);
  return said.get("design");
}

/** Returns the answer to a question; one with `faults` when it could not be given. */
export async function ask(question) {
  let response;
  try {
    response = await fetch("/ask", {
      method: "POST",
      headers: {
        "Content-Type": "application/json",
        "X-Jiggen-Token": localStorage.getItem(KEEP) ?? "",
        "X-Jiggen-Page": page,
      },
      body: JSON.stringify(question),
    });
  } catch {
    return wrong("jiggen is not running any more. Your design is still here: save it, then start jiggen page again.");
  }
  try {
    return await response.json();
  } catch {
    return wrong(`jiggen gave no answer (${response.status}).`);
  }
}

const wrong = (text) => ({ ok: false, faults: [{ keys: [], text }] });
