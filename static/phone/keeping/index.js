/**
 * The phone's own pages: what lies on it, what is still to be sent, and its journal as a file. Answered without any
 * network; and as far as it goes without the phone's own storage, where that is what is wrong.
 */

import { againView, shopPage } from "../../core/view/shop.js";
import { headers } from "../answer.js";
import { read } from "../database.js";
import { isAnotherHere } from "../files.js";
import { isOurs, saidIn } from "../forms.js";
import { forgetSecond, secondCopies } from "../second.js";
import { setKeepDays } from "../tidy.js";
import { StorageTrouble } from "../trouble.js";
import { told, truthOfAll } from "../truth.js";
import { gather } from "./gather.js";
import { journalFile } from "./journal-file.js";
import { DAYS, keptView, lostView } from "./view.js";

/** @import { Words } from "../render.js" */

const PAGE = "/phone/kept";
const JOURNAL = "/phone/kept/journal";

/** Sending is waited for so long, so that the page can say what came of it. */
const PATIENCE_MS = 4_000;

/** Whether this phone knows who it is. */
async function isPaired() {
  return (await read("device", "me")) !== undefined;
}

/**
 * @param {Request} request @param {() => Promise<Words>} find @param {string} version @param {() => Promise<void>} send
 * @returns {Promise<Response?>} null where the shop has to answer
 */
export async function answerKept(request, find, version, send) {
  const { pathname, searchParams } = new URL(request.url);
  if (pathname === JOURNAL) return journal(searchParams.get("of"));
  if (pathname !== PAGE) return null;
  const words = await find();
  const form = request.method === "POST" ? await request.formData() : null;
  if (form && !(await isOurs(form))) return again(form, words);
  if (form?.get("do") === "forget") return forget(form);
  if (!(await isPaired())) return lost(words);
  if (form) return act(form, send);
  return page(words, version, searchParams.has("sending"));
}

/** This worker runs only where a phone was paired: one that does not know who it is has lost its storage. @param {Words} words */
async function lost({ say, render, policy }) {
  const view = shopPage(PAGE, say("kept-title"), null, { lost: lostView(await secondCopies(), say) }, say);
  return new Response(render("shop", view), { headers: headers(policy) });
}

/** @param {string?} of the phone whose second copy alone is wanted */
async function journal(of) {
  const { name, text } = await journalFile(of);
  const saved = { "Content-Type": "application/jsonl", "Content-Disposition": `attachment; filename="${name}"` };
  return new Response(text, { headers: { ...saved, "Cache-Control": "no-store" } });
}

/** A form without its token: nothing is done, and it is offered once more. @param {FormData} form @param {Words} words */
function again(form, { say, render, policy }) {
  const { texts, files } = saidIn(form);
  const view = shopPage(PAGE, say("again-title"), null, againView(PAGE, texts, files, say), say);
  return new Response(render("shop", view), { status: 403, headers: headers(policy) });
}

/** The shop has brought that second copy in. @param {FormData} form */
async function forget(form) {
  await forgetSecond(String(form.get("of")));
  return Response.redirect(PAGE, 303);
}

/** @param {FormData} form @param {() => Promise<void>} send */
async function act(form, send) {
  if (form.get("do") === "keep") {
    const days = Number(form.get("days"));
    if (DAYS.includes(days)) await setKeepDays(days);
    return Response.redirect(PAGE, 303);
  }
  const enough = new Promise((resolve) => setTimeout(() => resolve("sending"), PATIENCE_MS));
  const came = await Promise.race([send(), enough]);
  return Response.redirect(came ? `${PAGE}?sending` : PAGE, 303);
}

/** @param {Words} words @param {string} version @param {boolean} sending */
async function page({ say, render, policy }, version, sending) {
  const kept = await gather();
  const about = { now: new Date(), version, sending, waiting: await isAnotherHere() };
  const content = { kept: keptView(kept, say, about) };
  const view = shopPage(PAGE, say("kept-title"), kept.who, content, say);
  const html = render("shop", { ...view, truth: told(await truthOfAll(), say) });
  return new Response(html, { headers: headers(policy) });
}

/**
 * What is wrong with the phone's storage, on a page of its own, with the way to save what can still be read.
 * @param {unknown} error @param {Request} request @param {Words} words
 */
export function troublePage(error, request, { say, render, policy, sentence }) {
  if (!(error instanceof StorageTrouble)) throw error;
  // Part of a page was asked for: the whole of it has to give way.
  if (request.headers.has("HX-Request")) return new Response("", { headers: { "HX-Redirect": PAGE } });
  const content = {
    storage: { message: sentence(error.message), full: error.code === "storage-full" },
  };
  const html = render("shop", shopPage(PAGE, say("storage-title"), null, content, say));
  return new Response(html, { status: 503, headers: headers(policy) });
}
