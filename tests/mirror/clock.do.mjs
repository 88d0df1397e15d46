// The phone's clock, with the platform's own clocks set: {wall_ms, began_ms, since_ms} a reading, kept from one to the next.
import { readClock } from "../../static/phone/clock.js";

export function phoneClocks(readings) {
  const platform = { now: Date.now, performance: globalThis.performance };
  let kept;
  try {
    return readings.map(({ wall_ms, began_ms, since_ms }) => {
      Date.now = () => wall_ms;
      Object.defineProperty(globalThis, "performance", {
        value: { timeOrigin: began_ms, now: () => since_ms },
        configurable: true,
        writable: true,
      });
      const { clock, kept: next } = readClock(kept);
      kept = next;
      return clock;
    });
  } finally {
    Date.now = platform.now;
    Object.defineProperty(globalThis, "performance", { value: platform.performance, configurable: true, writable: true });
  }
}
