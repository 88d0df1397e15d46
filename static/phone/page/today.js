/* Today as the phone has it after it has heard of the shop: a job that is ready offline now, one that another planned. */

async function showAnew() {
  const answer = await fetch("/");
  if (!answer.ok) return;
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector("main");
  const shown = document.querySelector("main");
  if (fresh && shown && fresh.innerHTML !== shown.innerHTML) shown.replaceWith(fresh);
}

navigator.serviceWorker?.addEventListener("message", ({ data }) => {
  if (data.synced) showAnew().catch(() => undefined);
});
