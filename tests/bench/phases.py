"""Where a tap's time goes on the phone: what its page and its worker say of themselves while a job is worked.

Nothing of it is in the app: the page is watched by a script that is added to it, the worker by its platform's own
functions, which are wrapped. Both tell times by one clock (`performance.timeOrigin` and on).
"""

from collections import defaultdict
from statistics import median, quantiles
from typing import Any

# A tap begins with the hand: the click, the scanner's Enter, the photo that was chosen (their timeStamp, which the
# browser takes before any script runs). It ends with the frame in which the page that answers it has been painted; that
# frame is asked for before the app itself asks for one, since its own work after the paint is no part of the tap.
WATCH = """
window.taps = [];
{
  const waiting = [];
  window.whenPainted = (count, done) => {
    if (window.taps.length >= count) done();
    else waiting.push(done);
  };
  let hand = null;
  let tap = null;
  const at = () => performance.timeOrigin + performance.now();
  const isHand = ({ type, key }) => type !== "keydown" || key === "Enter";
  for (const type of ["click", "keydown", "change"]) {
    addEventListener(type, (event) => {
      if (event.isTrusted && isHand(event)) hand = { at: performance.timeOrigin + event.timeStamp, type };
    }, true);
  }
  addEventListener("submit", ({ target }) => {
    const held = document.querySelector(".hold") ? "held" : null;
    const kind = held ?? document.querySelector("[data-kind]")?.dataset.kind ?? "other";
    tap = { kind, by: hand?.type ?? null, begun: hand?.at ?? null, submitted: at() };
    hand = null;
    performance.clearResourceTimings();
  }, true);
  addEventListener("htmx:before:request", () => { if (tap) tap.asked = at(); });
  addEventListener("htmx:before:response", () => { if (tap) tap.answered = at(); });
  addEventListener("htmx:after:request", () => { if (tap) tap.read = at(); });
  addEventListener("htmx:after:swap", () => {
    const done = tap;
    if (!done) return;
    tap = null;
    requestAnimationFrame(() => {
      done.framed = at();
      setTimeout(() => {
        done.painted = at();
        window.taps.push(done);
        for (const told of waiting.splice(0)) told();
      });
    });
    addEventListener("htmx:after:swap", () => { done.swapped = at(); }, { once: true });
  }, true);
}
addEventListener("load", () => requestAnimationFrame(() => setTimeout(() => { window.usable = performance.now(); })));
"""

# In the worker: when a tap came in, what its storage and its picture cost, and when the answer was made.
WATCH_WORKER = """() => {
  if (self.seen) return;
  self.seen = [];
  const at = () => performance.timeOrigin + performance.now();
  const note = (what, from, about = {}) => self.seen.push({ what, from, to: at(), ...about });
  const wrap = (of, name, what) => {
    const whole = of[name];
    of[name] = function (...given) {
      const from = at();
      const made = whole.apply(this, given);
      if (made instanceof Promise) made.finally(() => note(what, from)).catch(() => undefined);
      else note(what, from);
      return made;
    };
  };
  const came = new WeakMap();
  self.addEventListener("message", ({ ports: [port] }) => { if (port) came.set(port, at()); });
  const { postMessage } = MessagePort.prototype;
  MessagePort.prototype.postMessage = function (...given) {
    note("answer", came.get(this) ?? at());
    return postMessage.apply(this, given);
  };
  wrap(Request.prototype, "formData", "form");
  wrap(self, "createImageBitmap", "photo");
  wrap(OffscreenCanvas.prototype, "convertToBlob", "photo");
  wrap(Blob.prototype, "arrayBuffer", "photo");
  wrap(SubtleCrypto.prototype, "digest", "hash");
  const { transaction } = IDBDatabase.prototype;
  IDBDatabase.prototype.transaction = function (...given) {
    const from = at();
    const begun = transaction.apply(this, given);
    begun.addEventListener("complete", () => note(begun.mode === "readonly" ? "read" : "write", from));
    return begun;
  };
}"""
SEEN = "() => self.seen.splice(0)"

PAGE = {"hand": ("begun", "submitted"), "send": ("submitted", "asked"), "receive": ("answered", "read")}
PAGE |= {"swap": ("read", "swapped"), "frame": ("swapped", "framed"), "paint": ("framed", "painted")}

Tap = dict[str, Any]
Seen = list[dict[str, Any]]


def tap_ms(tap: Tap) -> float:
    """From the hand to the paint."""
    return float(tap["painted"] - tap["begun"])


def phases(tap: Tap, seen: Seen) -> dict[str, float]:
    """One tap's milliseconds by what was being done; `there` and `back` are the ways between page and worker."""
    found = {name: tap[to] - tap[begin] for name, (begin, to) in PAGE.items()}
    answer = next((one for one in seen if one["what"] == "answer" and one["from"] >= tap["asked"] - 1), None)
    if answer is None or answer["from"] > tap["answered"]:
        return found
    found |= {"there": answer["from"] - tap["asked"], "back": tap["answered"] - answer["to"]}
    inside = [one for one in seen if one["from"] >= answer["from"] and one["to"] <= answer["to"]]
    found |= dict.fromkeys(("form", "photo", "hash", "read", "write"), 0.0)
    for one in inside:
        if one is not answer:
            found[one["what"]] += one["to"] - one["from"]
    return found | {"worker": answer["to"] - answer["from"]}


def by_kind(taps: list[Tap], seen: Seen) -> dict[str, dict[str, Any]]:
    """For each kind of step: how many taps, their median and 95th percentile, and the median of each phase, in ms."""
    grouped: dict[str, list[Tap]] = defaultdict(list)
    for tap in taps:
        grouped[tap["kind"]].append(tap)
    return {kind: _told(grouped[kind], seen) for kind in sorted(grouped)}


def _told(taps: list[Tap], seen: Seen) -> dict[str, Any]:
    took = [tap_ms(tap) for tap in taps]
    each = [phases(tap, seen) for tap in taps]
    names = list(dict.fromkeys(name for one in each for name in one))
    middle = {name: round(median([one[name] for one in each if name in one]), 1) for name in names}
    return {"taps": len(taps), "median": round(median(took), 1), "p95": p95(took), "phases": middle}


def p95(values: list[float]) -> float:
    """The 95th percentile; of one value that value."""
    return round(quantiles(values, n=20, method="inclusive")[-1] if len(values) > 1 else values[0], 1)
