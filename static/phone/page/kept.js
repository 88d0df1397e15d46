/* The page of what lies on this phone: what only a page can do. Asking the browser to keep it, and saving a file. */

const asking = document.querySelector("[data-persist]");
asking?.addEventListener("click", async () => {
  if (await navigator.storage?.persist?.()) window.location.reload();
  document.querySelector("[data-persist-refused]").hidden = false;
});

/* While it is being sent the page waits for the worker's word, then shows what came of it. */
navigator.serviceWorker?.addEventListener("message", ({ data }) => {
  if (data.synced && document.querySelector("[data-sending]")) window.location.replace("/phone/kept");
});

/* A file that a worker makes is saved by the page: not every browser lets a worker answer a download. */
const saving = document.querySelector("[data-save]");
saving?.addEventListener("click", async (event) => {
  event.preventDefault();
  const answer = await fetch(saving.href);
  const [, name] = /filename="([^"]+)"/.exec(answer.headers.get("Content-Disposition") ?? "") ?? [];
  const link = document.createElement("a");
  link.href = URL.createObjectURL(await answer.blob());
  link.download = name ?? "journal.jsonl";
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
});
