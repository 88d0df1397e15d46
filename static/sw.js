/*
 * The phone's own server. It answers the pages of a job that lies whole on this phone, always locally first, and lets
 * everything else through to the shop. `self.APP` is written above by the route that serves this file; build.mjs tells what becomes of import().
 */

import { routeOf, show, take } from "./phone/answer.js";
import { holds, progressOf } from "./phone/journal.js";
import { words } from "./phone/render.js";
import { told, truthOfAll } from "./phone/truth.js";
import { underway } from "./phone/underway.js";

const KEPT = `baybook-${self.APP.version}`;
const FILES = new Set(self.APP.files);

/** A tap waits at most so long for a packet that is on its way. */
const PATIENCE_MS = 5_000;

self.addEventListener("install", (event) => event.waitUntil(keepApp()));
self.addEventListener("activate", (event) => event.waitUntil(begin()));

const home = () => import("./phone/home.js");

/** The worker's parts are taken in now, since later none can be; the files of its pages go into a cache. */
async function keepApp() {
  for (const part of self.APP.parts) self.need(`./${part}`);
  const kept = await caches.open(KEPT);
  await kept.addAll([...FILES].map((path) => new Request(path, { cache: "reload" })));
}

async function begin() {
  for (const name of await caches.keys()) {
    if (name.startsWith("baybook-") && name !== KEPT) await caches.delete(name);
  }
  await self.clients.claim();
}

/** A page says that now is a good time: it was loaded, came to the front, found the network, or a minute went by. */
self.addEventListener("message", (event) => {
  if (event.data === "sync") event.waitUntil(bringHome());
});

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
    const truth = job ? (await progressOf(job))?.truth : await truthOfAll();
    if (truth) client.postMessage({ job, truth: told(truth, say), synced });
  }
}

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (url.origin !== self.location.origin) return;
  if (FILES.has(url.pathname)) {
    event.respondWith(file(url.pathname));
    return;
  }
  const route = routeOf(url);
  if (route && event.request.method === "GET") event.respondWith(page(event, route).catch(troubled));
  if (route && event.request.method === "POST" && !route.panel) event.respondWith(tapped(event, route).catch(troubled));
  if (/^\/phone\/kept(\/|$)/.test(url.pathname)) event.respondWith(kept(event).catch(troubled));
  if (url.pathname === "/badge" && event.request.method === "POST") event.respondWith(badge(event));
});

/** @param {string} path */
async function file(path) {
  return (await caches.match(path, { cacheName: KEPT })) ?? fetch(path);
}

function app() {
  return words(() => file("/app.json"));
}

/** A job's page from the disk; or from the shop, and then its packet is fetched for the next time. */
async function page(event, route) {
  const own = await show(event.request, route, await app());
  if (own) return own;
  const answer = await fetch(event.request);
  if (answer.ok && !answer.redirected) event.waitUntil(load(route.job).catch(() => undefined));
  return answer;
}

async function load(job) {
  await (await home()).loadPacket(job);
  await bringHome();
}

/** A tap. Once the phone holds the job nothing is asked of the shop; until then everything is. */
async function tapped(event, route) {
  const { request } = event;
  const passed = request.clone();
  await arrived(route.job);
  if (!(await holds(route.job))) return fetch(passed);
  const own = await take(request, await request.formData(), route, await app());
  event.waitUntil(bringHome());
  return own ?? Response.error();
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
  return (await answerKept(request, await app(), self.APP.version, bringHome)) ?? fetch(passed);
}

/** What is wrong with the phone's own storage is said on a page; anything else stays what it is. */
async function troubled(error) {
  return (await home()).troublePage(error, await app());
}

/** Who is working is asked of the shop; the phone then knows it too. */
async function badge(event) {
  const answer = await fetch(event.request);
  event.waitUntil(
    home()
      .then(({ loadPerson }) => loadPerson())
      .catch(() => undefined),
  );
  return answer;
}
