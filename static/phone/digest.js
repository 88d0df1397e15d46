/** What two sides compare to see that they hold the same events of a job. */

import { readAll } from "./database.js";
import { sha256 } from "./signed.js";

/** Of all that this phone knows of a job. @param {string} job */
export async function digestOf(job) {
  return digest(await readAll("events", "job", job));
}

/**
 * SHA-256 over a line `DEVICE SEQ SHA256` for each event, by device and seq: as webapp/storage/arrivals.py has it.
 * @param {any[]} events
 */
export async function digest(events) {
  const inOrder = [...events].sort((one, other) =>
    one.device === other.device ? one.seq - other.seq : one.device < other.device ? -1 : 1,
  );
  const lines = [];
  for (const { device, seq, sha256: known, line } of inOrder) {
    lines.push(`${device} ${seq} ${known ?? (await sha256(line))}\n`);
  }
  return sha256(lines.join(""));
}
