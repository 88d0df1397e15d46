/** Requests to the shop's server, signed with this phone's own key, each with a limit of time. */

export const LIMIT_MS = 15_000;

/** What the server answered, where it refused. */
export class Refused extends Error {
  /** @param {number} status @param {{code: string, field: string, message: string}} error */
  constructor(status, error) {
    super(error.message);
    this.status = status;
    this.code = error.code;
  }
}

/** @typedef {{id: string, key: CryptoKey}} Me */

/**
 * Throws Refused, or what `fetch` throws where the server cannot be reached in time.
 * @param {Me} me @param {string} method @param {string} path @param {Uint8Array<ArrayBuffer>} [body]
 * @param {Record<string, string>} [headers] @param {number} [limit_ms]
 */
export async function send(me, method, path, body, headers = {}, limit_ms = LIMIT_MS) {
  const at = new Date().toISOString();
  const said = [method, path, at, await sha256(body ?? new Uint8Array())].join("\n");
  const mark = await crypto.subtle.sign({ name: "ECDSA", hash: "SHA-256" }, me.key, new TextEncoder().encode(said));
  const Authorization = `Baybook device=${me.id}, at=${at}, signature=${base64url(new Uint8Array(mark))}`;
  const app = self.APP ? { "Baybook-App": self.APP.version } : {};
  const signal = AbortSignal.timeout(limit_ms);
  const about = { ...headers, ...app, Authorization };
  const answer = await fetch(path, { method, body, signal, cache: "no-store", headers: about });
  if (answer.ok || answer.status === 304) return answer;
  const told = await answer.json().catch(() => ({}));
  const unsaid = { code: "http", field: "", message: `the server answered ${answer.status}` };
  throw new Refused(answer.status, told.error ?? unsaid);
}

/**
 * In hexadecimal.
 * @param {Uint8Array<ArrayBuffer> | ArrayBuffer | string} given
 */
export async function sha256(given) {
  const bytes = typeof given === "string" ? new TextEncoder().encode(given) : given;
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** @param {Uint8Array} bytes */
export function base64url(bytes) {
  return btoa(String.fromCharCode(...bytes))
    .replace(/\+/g, "-")
    .replace(/\//g, "_")
    .replace(/=+$/, "");
}
