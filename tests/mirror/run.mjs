// Answers questions about static/core on standard input, one JSON line each: {"do": NAME, "in": VALUE} ->
// {"out": VALUE} or {"error": {"code", "field", "message"}}. What can be asked stands in the *.do.mjs files beside it.
// Any other error is a mistake of the mirror itself and is told as {"broken": TEXT}.
import { readdirSync } from "node:fs";
import { createInterface } from "node:readline";
import { bringSums } from "../../static/core/late.js";

await bringSums();

const known = new Map();
for (const file of readdirSync(import.meta.dirname).filter((name) => name.endsWith(".do.mjs"))) {
  for (const [name, rule] of Object.entries(await import(`./${file}`))) known.set(name, rule);
}

for await (const line of createInterface({ input: process.stdin })) {
  process.stdout.write(`${JSON.stringify(await answer(line))}\n`);
}

async function answer(line) {
  try {
    const { do: name, in: given } = JSON.parse(line);
    if (!known.has(name)) throw new Error(`do=${name} is not known; known are ${[...known.keys()].join(", ")}`);
    return { out: (await known.get(name)(given)) ?? null };
  } catch (error) {
    return error.asDict ? error.asDict() : { broken: error.stack };
  }
}
