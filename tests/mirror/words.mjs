// The words and pages of the app as the phone's worker has them, over the files that the server reads too.
import { readdirSync, readFileSync } from "node:fs";
import { wordsOf } from "../../static/phone/render.js";
import { FluentResource } from "../../static/vendor/fluent/index.js";

const STATIC = new URL("../../static/", import.meta.url);

const read = (name) => readFileSync(new URL(name, STATIC), "utf-8");
export const templates = Object.fromEntries(
  readdirSync(new URL("pages/", STATIC)).map((file) => [
    file.replace(".mustache", ""),
    read(`pages/${file}`).replace(/\s*\n\s*/g, ""),
  ]),
);

export const languages = { en: "English", es: "Español" };
const english = new FluentResource(read("messages/en.ftl")).body;

export const { say, render } = wordsOf({ templates, languages, policy: "" }, { lang: "en", messages: english });
