// Where two phones crossed, and what a job's page shows of it.
import { crossings } from "../../static/core/crossing.js";
import { apartView } from "../../static/core/view/apart.js";
import { render, say } from "./words.mjs";

export function crossed({ sheet, events }) {
  return crossings(sheet, events);
}

export function apart({ sheet, found, names }) {
  const view = apartView(sheet, found, names, say);
  return { view, html: view.apart ? render("apart", view.apart) : "" };
}
