// The words and pages of the app as the phone has them: Fluent and Mustache over the files that the server reads too.
import { readdirSync, readFileSync } from "node:fs";
import { FluentBundle, FluentResource } from "../../static/vendor/fluent/index.js";
import Mustache from "../../static/vendor/mustache.mjs";

const STATIC = new URL("../../static/", import.meta.url);
const SIGNS = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };

const bundle = new FluentBundle("en", { useIsolating: false });
bundle.addResource(new FluentResource(read("messages/en.ftl")));

function read(name) {
  return readFileSync(new URL(name, STATIC), "utf-8");
}

/** The message of that name with its variables filled in; as webapp/messages.py has it. */
export function say(name, args = {}) {
  const message = bundle.getMessage(name.replaceAll("_", "-"));
  if (!message?.value) throw new Error(`no message ${name}`);
  const wrong = [];
  const text = bundle.formatPattern(message.value, args, wrong);
  if (wrong.length) throw new Error(`${name}: ${wrong[0]}`);
  return text;
}

/** Every message that takes no variable, by name: what templates use as `t`. */
function plainWords() {
  const words = {};
  for (const [name, { value }] of bundle._messages) {
    const wrong = [];
    const text = value ? bundle.formatPattern(value, {}, wrong) : null;
    if (text !== null && !wrong.length) words[name] = text;
  }
  return words;
}

const t = plainWords();
const templates = Object.fromEntries(
  readdirSync(new URL("pages/", STATIC)).map((file) => [
    file.replace(".mustache", ""),
    read(`pages/${file}`).replace(/\s*\n\s*/g, ""),
  ]),
);

/** The page of that name as HTML. */
export function render(name, data) {
  const escape = (value) => String(value).replace(/[&<>"]/g, (sign) => SIGNS[sign]);
  return Mustache.render(templates[name], { t, lang: "en", ...data }, templates, { escape });
}
