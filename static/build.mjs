/*
 * Makes static/app/, what a phone really loads, out of the plain modules that are written here: fewer files, without
 * comments, and the worker as a classic script, since not every browser starts a module as a service worker.
 *
 * A dynamic import becomes a part of its own. A service worker knows no import(): its parts are scripts that it takes
 * in while it is installed, and runs when they are first needed (`need` below).
 *
 *   node static/build.mjs FOLDER      (.ci/app.py calls it when a source has changed)
 */
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { FluentResource } from "@fluent/bundle";
import { nodeResolve } from "@rollup/plugin-node-resolve";
import terser from "@rollup/plugin-terser";
import { rollup } from "rollup";

const STATIC = import.meta.dirname;
const FOLDER = process.argv[2];
const SMALL = terser({ compress: { passes: 2 }, mangle: true, ecma: 2022 });
const NEED = `self.parts = {};
self.need = (part) => {
  const name = part.slice(2);
  if (!self.parts[name]) importScripts("/static/app/worker/" + name);
  return self.parts[name];
};
`;

/**
 * @param {string | string[]} input @param {string} folder @param {import("rollup").OutputOptions} output
 */
async function build(input, folder, output) {
  const made = await rollup({ input, onLog: refuse, plugins: [nodeResolve()] });
  await made.write({ dir: join(FOLDER, folder), sourcemap: true, plugins: [SMALL], ...output });
  await made.close();
}

/**
 * What the bundler warns of is a mistake of ours; but in what circles the modules of a package import each other is theirs.
 * @param {string} level @param {import("rollup").RollupLog} log
 */
function refuse(level, log) {
  const theirs = log.code === "CIRCULAR_DEPENDENCY" && log.ids?.every((one) => one.includes("node_modules"));
  if (level === "warn" && !theirs) throw new Error(log.message);
}

await build(join(STATIC, "sw.js"), "worker", {
  format: "cjs",
  entryFileNames: "sw.js",
  chunkFileNames: "[name]-[hash].js",
  banner: ({ isEntry }) => `${isEntry ? NEED : ""}((exports, require) => {`,
  footer: ({ fileName }) => `})((self.parts["${fileName}"] = {}), self.need);`,
});

await build(join(STATIC, "phone/camera/worker.js"), "reader", { format: "iife", entryFileNames: "worker.js" });

// For the shop's own pages of times. It lies in a folder of its own, since no phone keeps it.
await build(join(STATIC, "charts/charts.js"), "charts", { format: "es", entryFileNames: "charts.js" });

const pages = readdirSync(join(STATIC, "phone/page")).map((name) => join(STATIC, "phone/page", name));
await build([join(STATIC, "phone/hands.js"), ...pages], "", {
  format: "es",
  entryFileNames: "[name].js",
  chunkFileNames: "shared-[name].js",
});

// Messages as their library has parsed them: a worker is started anew all day long and need not parse them each time.
// What a language lacks is there in English.
const messages = (/** @type {string} */ name) =>
  new FluentResource(readFileSync(join(STATIC, "messages", name), "utf-8")).body;
const english = messages("en.ftl");
for (const name of readdirSync(join(STATIC, "messages")).filter((one) => one.endsWith(".ftl"))) {
  const own = messages(name);
  const known = new Set(own.map(({ id }) => id));
  const body = [...own, ...english.filter(({ id }) => !known.has(id))];
  writeFileSync(join(FOLDER, name.replace(/\.ftl$/, ".json")), JSON.stringify(body));
}
