/*
 * A tap is handed to the phone's own server in a message: a browser takes a fifth of the time for that which it takes to
 * fetch a page from a worker. Where no answer comes (no worker, one of an older version, one that was stopped) it is
 * fetched under the same name, so that it is done once. That name is the event's own, so that even a worker which was
 * started in the meantime finds it on the disk.
 */

import { newId } from "./clock.js";

const PATIENCE_MS = 1_500;

/** In the place of `fetch`, for htmx. */
export async function hand(path, request) {
  const worker = navigator.serviceWorker?.controller;
  if (!worker || request.method !== "POST") return fetch(path, request);
  const tap = newId();
  // A field in which no file was chosen says nothing, and to hand over a file takes a page as long as all the rest.
  const fields = [...request.body].filter(([, value]) => typeof value === "string" || value.name);
  request.headers["Baybook-Tap"] = tap;
  // An engine that cannot hand over a photo says so at once; then too it is fetched.
  const answer = await heard(worker, { tap, path, fields }).catch(() => null);
  return answer ? answered(answer) : fetch(path, request);
}

/* What htmx asks of a response. To read a real one takes a page a way to another process and back, for a text that it has. */
function answered({ status, html }) {
  return { status, headers: new Headers(), text: async () => html };
}

function heard(worker, said) {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => {
      port1.close();
      resolve(data);
    };
    setTimeout(resolve, PATIENCE_MS, null);
    worker.postMessage(said, [port2]);
  });
}
