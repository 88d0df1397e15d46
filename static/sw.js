/*
 * The phone's own server. It answers the pages of a job that lies whole on this phone, always locally first, and lets
 * everything else through to the shop. `self.APP` is written above by the route that serves this file; build.mjs tells
 * what becomes of import().
 *
 * A new version fetches its own files beside the one that runs, touches nothing else, and takes over only where nobody
 * is at work (phone/at-work.js). Until then its install is refused, since one that waited would be started with the app,
 * in the middle of a job whose phone has died.
 */

import { headers, isFragment, routeOf, show } from "./phone/answer.js";
import { decoderFile, isDecoder } from "./phone/decoder.js";
import { earlyRoute } from "./phone/early.js";
import { file, isFile } from "./phone/file.js";
import { holds } from "./phone/journal.js";
import { words } from "./phone/render.js";
import { told, truthFor } from "./phone/truth.js";
import { underway } from "./phone/underway.js";

/** @type {Promise<void>?} */
let telling = null;

/** @type {Promise<void>?} */
let soon = null;

/** Taps that were handed over, by the name their page gave them: one that is fetched after all is not done twice. */
const taps = new Map();
const TOLD_MS = 60_000;

/** So long after a tap the journal begins its way home; and after a page the first tap is made ready for. */
const QUIET_MS = 300;

/** A tap waits at most so long for a packet that is on its way. */
const PATIENCE_MS = 5_000;

/** Of a shop that has said nothing for so long a page says that it is out of reach: a network may be up and carry nothing. */
const SHOP_MS = 15_000;

self.addEventListener("install", (event) => event.waitUntil(keepApp()));
self.addEventListener("activate", (event) => event.waitUntil(settleIn()));

const home = () => import("./phone/home.js");
const begin = () => import("./phone/begin/index.js");
const tapping = () => import("./phone/taps.js");
const files = () => import("./phone/files.js");
const learnToken = async () => (await import("./phone/forms.js")).learnToken();

/** The worker's parts are taken in now, since later none can be; the files of its pages go into a cache. */
async function keepApp() {
  for (const part of self.APP.parts) self.need(`./${part}`);
  await (await files()).keepFiles();
  await learnToken().catch(() => undefined); // it is asked for again where the shop refuses a form without it
  const { isAtWork } = await home();
  if (self.registration.active && (await isAtWork())) throw new Error("a job is in hand: this version comes later");
  await self.skipWaiting();
}

async function settleIn() {
  await (await files()).clearFiles();
  await self.clients.claim();
}

/** A page says that now is a good time: it was loaded, came to the front, found the network, or a minute went by. */
self.addEventListener("message", (event) => {
  if (event.data.tap) event.waitUntil(handed(event));
  if (event.data === "sync") event.waitUntil(bringHome().then(mendFiles));
});

/** What the phone lacks of the app, and of its reader of codes. */
async function mendFiles() {
  await (await files()).mendFiles();
  const { keepDecoder } = await import("./phone/decoder-kept.js");
  await keepDecoder();
}

/** Sync; every open page is told before and after where its data is. */
async function bringHome() {
  await tellPages();
  await (await home()).sync();
  await tellPages(true);
}

async function tellPages(synced = false) {
  const { say } = await app();
  for (const client of await self.clients.matchAll()) {
    const job = routeOf(new URL(client.url))?.job ?? null;
    const truth = await truthFor(job);
    if (truth) client.postMessage({ job, truth: told(truth, say), synced });
  }
}

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (url.origin !== self.location.origin) return;
  if (isFile(url.pathname)) {
    event.respondWith(file(url.pathname));
    return;
  }
  if (isDecoder(url.pathname)) {
    event.respondWith(decoderFile(url.pathname));
    return;
  }
  const answer = answerOf(event, url);
  if (answer) event.respondWith(answer.catch((error) => troubled(error, event.request)));
});

/** Who answers: null where the browser does by itself. */
function answerOf(event, url) {
  const { method, mode } = event.request;
  const early = earlyRoute(url);
  if (early) return beforeJob(event, early);
  const route = routeOf(url);
  if (route && method === "GET") return page(event, route);
  if (route && method === "POST" && !route.panel) return tapped(event, route);
  if (/^\/phone\/kept(\/|$)/.test(url.pathname)) return kept(event);
  return mode === "navigate" ? fromShop(event.request) : null;
}

function app() {
  return words(file);
}

/** A job's page from the disk; or from the shop, and then its packet is fetched for the next time. */
async function page(event, route) {
  const own = await show(event.request, route, await app());
  if (own) {
    setTimeout(tapping, QUIET_MS); // it is not needed to show a step, and is there for the first tap
    return own;
  }
  const plan = route.panel ? null : await (await begin()).toPlan(route.job);
  if (plan) return plan;
  const answer = await fromShop(event.request);
  if (answer.ok && !answer.redirected) event.waitUntil(load(route.job).catch(() => undefined));
  return answer;
}

async function load(job) {
  await (await home()).loadPacket(job);
  await bringHome();
}

/** A tap, fetched: by a browser without our script, or since nothing was heard of one that was handed over. */
async function tapped(event, route) {
  const { request } = event;
  const passed = request.clone();
  const tap = request.headers.get("Baybook-Tap");
  const before = await taps.get(tap);
  if (before) return before.clone();
  const own = await taken(tap, isFragment(request), () => request.formData(), route);
  event.waitUntil(bringHomeSoon());
  return own ?? fromShop(passed);
}

/** A tap, handed over by a page (phone/hand.js). Told null, the page fetches it: that says what is wrong, too. */
async function handed({ data: { tap, path, fields }, ports: [port] }) {
  const route = routeOf(new URL(path, self.location.origin));
  const answered = taken(tap, true, () => formOf(fields), route);
  taps.set(tap, answered);
  setTimeout(() => taps.delete(tap), TOLD_MS);
  const own = await answered.catch(() => null);
  port.postMessage(own && { status: own.status, html: await own.clone().text() });
  await bringHomeSoon();
}

function formOf(fields) {
  const form = new FormData();
  for (const [name, value] of fields) form.append(name, value);
  return form;
}

/** Once the phone holds the job nothing is asked of the shop; until then everything is, and the answer is null. */
async function taken(tap, part, form, route) {
  if (!route || route.panel) return null;
  await arrived(route.job);
  if (!(await holds(route.job))) return null;
  const { take } = await tapping();
  return take(tap, part, await form(), route, await app());
}

/** The page that answers a tap is drawn first, and the next tap comes before a run that reads the same storage. */
function bringHomeSoon() {
  soon ??= new Promise((resolve) => setTimeout(resolve, QUIET_MS)).then(() => {
    soon = null;
    return bringHome();
  });
  return soon;
}

/** Wait for the packet if it is on its way: a tap that went past it would be missing in it. */
function arrived(job) {
  const coming = underway(job);
  if (!coming) return undefined;
  const enough = new Promise((resolve) => setTimeout(resolve, PATIENCE_MS));
  return Promise.race([coming.catch(() => undefined), enough]);
}

/** What lies on this phone; the shop answers a browser that is not paired. */
async function kept({ request }) {
  const passed = request.clone();
  const { answerKept } = await home();
  return (await answerKept(request, app, self.APP.version, bringHome)) ?? fromShop(passed);
}

/**
 * What is wrong with the phone's own storage is said on a page. Whatever else it is, a page is answered all the same, with
 * one that needs no file; and of a part of one the page that asked for it tells.
 */
async function troubled(error, request) {
  try {
    return (await home()).troublePage(error, request, await app());
  } catch (other) {
    self.reportError(other);
    if (request.mode !== "navigate") return Response.error();
    const { html, policy } = self.APP.bare;
    return new Response(html, { status: 500, headers: headers(policy) });
  }
}

/** What comes before a job: from the shelf, where the phone holds one; a job planned at the shop is asked for there. */
async function beforeJob(event, route) {
  const { request } = event;
  const passed = request.clone();
  const { answerEarly } = await begin();
  const own = await answerEarly(request, route, await app());
  if (!own) return ofShop(event, route, passed);
  if (request.method === "POST") event.waitUntil(afterwards(route.what));
  return own;
}

/** Of a draft nothing is the shop's to hear: only of who works, and of what was started. */
function afterwards(what) {
  if (what === "badge" || what === "language") return tellShop();
  return what === "start" || what === "check" ? bringHome() : Promise.resolve();
}

/** The shop's own pages go by its cookies: they wait until it has heard who works here, or which language was chosen. */
function tellShop() {
  telling = home()
    .then(({ tellShop: tell }) => tell())
    .catch(() => undefined);
  return telling;
}

/** A badge that the shop was shown, since there was no shelf yet, is the phone's too. */
async function ofShop(event, route, request) {
  const answer = await fromShop(request);
  if (route.what === "badge" && request.method === "POST") {
    const asked = home().then(({ askWho }) => askWho());
    event.waitUntil(asked.catch(() => undefined));
  }
  return answer;
}

/** What only the shop has; where it cannot be reached, a page that says so. */
async function fromShop(request) {
  await telling;
  const first = request.mode === "navigate" ? await (await home()).beforeShop(request) : null;
  if (first) return first;
  const asked = fetch(request).catch(() => null);
  const late = new Promise((resolve) => setTimeout(resolve, SHOP_MS));
  const answer = await (request.method === "GET" ? Promise.race([asked, late]) : asked); // a form may have arrived
  if (answer?.status === 403 && request.method === "POST") learnToken().catch(() => undefined);
  if (answer) return answer;
  const { withoutShop } = await begin();
  return withoutShop(request, await app());
}
