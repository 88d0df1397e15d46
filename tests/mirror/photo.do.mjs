// A photo's bytes as the phone keeps them, in base64 both ways; null where it would draw the picture anew.
import { asTaken } from "../../static/phone/taken.js";

export async function photoAsTaken(base64) {
  const kept = await asTaken(new Blob([Buffer.from(base64, "base64")]));
  return kept && Buffer.from(kept).toString("base64");
}
